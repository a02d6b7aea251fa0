/* state.c - made whole once, then only where the clad changed. */
#include "metal/state.h"

#include <math.h>

#include "borelay/arena.h"

static struct stack stack_for(const struct metal *metal, const struct site *site,
                              const struct stack *before) {
  struct stack_of of = {metal->plan, &metal->outlines, site, metal->layers, metal->nominal, before};
  return slabs_stack(metal->arena, &of);
}

static void layers_take(struct metal *metal, const size_t *layers) {
  for (size_t i = 0; i < metal->plan->overlay_count; i++)
    metal->layers[i] = layers ? layers[i] : 0;
}

static struct metal *begin(struct arena *arena, const struct plan *plan, struct clad_state clad) {
  struct metal *metal = arena_alloc(arena, 1, sizeof *metal);
  *metal = (struct metal){
      .arena = arena, .plan = plan, .nominal = clad.nominal, .face_z = plan->placement.at.z};
  metal->layers = arena_alloc(arena, plan->overlay_count + 1, sizeof *metal->layers);
  layers_take(metal, clad.layers);
  return metal;
}

static struct metal *make(struct arena *arena, const struct plan *plan, struct clad_state clad) {
  struct metal *metal = begin(arena, plan, clad);
  metal->outlines = outlines_make(arena, plan);
  metal->sites = sites_find(arena, plan, &metal->outlines);
  metal->bare = stack_for(metal, &(struct site){.volume_count = 0}, NULL);
  metal->stacks = arena_alloc(arena, metal->sites.count + 1, sizeof *metal->stacks);
  for (size_t i = 0; i < metal->sites.count; i++)
    metal->stacks[i] = stack_for(metal, &metal->sites.items[i], NULL);
  return metal;
}

static bool has_clad(const struct site *site, const size_t *layers) {
  for (size_t i = 0; i < site->overlay_count; i++)
    if (layers[site->overlays[i]] > 0)
      return true;
  return false;
}

/* Sites do not depend on what clad stands; nor does what is above and below it. */
static struct metal *make_from(struct arena *arena, const struct metal *bare,
                               struct clad_state clad) {
  struct metal *metal = begin(arena, bare->plan, clad);
  metal->outlines = bare->outlines;
  metal->sites = bare->sites;
  metal->bare = bare->bare;
  metal->stacks = arena_alloc(arena, metal->sites.count + 1, sizeof *metal->stacks);
  for (size_t i = 0; i < metal->sites.count; i++) {
    const struct site *site = &metal->sites.items[i];
    metal->stacks[i] =
        has_clad(site, metal->layers) ? stack_for(metal, site, &bare->stacks[i]) : bare->stacks[i];
  }
  return metal;
}

const struct metal *metal_make(struct arena *arena, const struct plan *plan,
                               struct clad_state clad) {
  return make(arena, plan, clad);
}

/* Stacks that no longer stand, beyond one for each site, before all is made afresh. */
enum { SPARE = 16 };

/* -- following the work ------------------------------------------------------------------- */

/* Each site that holds an overlay with other layers than before, once. */
static void stacks_renew(struct metal *metal, const size_t *layers) {
  size_t count = metal->plan->overlay_count;
  for (size_t i = 0; i < count; i++) {
    if (metal->layers[i] == layers[i])
      continue;
    const struct site *site = &metal->sites.items[metal->sites.of_overlay[i]];
    for (size_t k = 0; k < site->overlay_count; k++)
      metal->layers[site->overlays[k]] = layers[site->overlays[k]];
    struct stack *stack = &metal->stacks[metal->sites.of_overlay[i]];
    *stack = stack_for(metal, site, stack);
    metal->made++;
  }
}

const struct metal *metal_keep(struct metal_kept *kept, const struct plan *plan,
                               struct clad_state clad) {
  /* Begun afresh now and then, so that memory does not grow with what no longer stands. */
  if (kept->metal && kept->metal->made < kept->metal->sites.count + SPARE) {
    stacks_renew(kept->metal, clad.layers);
    return kept->metal;
  }
  arena_free(kept->arena);
  kept->arena = arena_new();
  kept->metal =
      kept->bare ? make_from(kept->arena, kept->bare, clad) : make(kept->arena, plan, clad);
  return kept->metal;
}

void metal_kept_release(struct metal_kept *kept) {
  arena_free(kept->arena);
  *kept = (struct metal_kept){.bare = kept->bare};
}

/* -- what holds where --------------------------------------------------------------------- */

const struct stack *metal_stack_at(const struct metal *metal, vec2 p) {
  size_t site = site_at(&metal->sites, p);
  return site < metal->sites.count ? &metal->stacks[site] : &metal->bare;
}

struct metal_hit metal_no_hit(void) {
  return (struct metal_hit){.distance = HUGE_VAL, .kind = METAL_DATUM_FACE};
}
