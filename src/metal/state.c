/* state.c - made whole once, then only where the clad changed. */
#include "metal/state.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

/* before: NULL, or what stood at site i until now. */
static struct stack stack_for(const struct metal *metal, size_t i, const struct stack *before) {
  struct stack_of of = {.plan = metal->plan,
                        .outlines = &metal->outlines,
                        .site = &metal->sites.items[i],
                        .layers = metal->layers,
                        .nominal = metal->nominal,
                        .known = {before, metal->other ? &metal->other->stacks[i] : NULL}};
  return slabs_stack(metal->arena, &of);
}

/* Where there is no site. */
static struct stack stack_beside(const struct metal *metal) {
  struct site none = {.volume_count = 0};
  struct stack_of of = {.plan = metal->plan,
                        .outlines = &metal->outlines,
                        .site = &none,
                        .layers = metal->layers,
                        .nominal = metal->nominal};
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
  metal->bare = stack_beside(metal);
  metal->stacks = arena_alloc(arena, metal->sites.count + 1, sizeof *metal->stacks);
  for (size_t i = 0; i < metal->sites.count; i++)
    metal->stacks[i] = stack_for(metal, i, NULL);
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
                               const struct metal *other, struct clad_state clad) {
  struct metal *metal = begin(arena, bare->plan, clad);
  metal->other = other;
  metal->outlines = bare->outlines;
  metal->sites = bare->sites;
  metal->bare = bare->bare;
  metal->stacks = arena_alloc(arena, metal->sites.count + 1, sizeof *metal->stacks);
  for (size_t i = 0; i < metal->sites.count; i++)
    metal->stacks[i] = has_clad(&metal->sites.items[i], metal->layers)
                           ? stack_for(metal, i, &bare->stacks[i])
                           : bare->stacks[i];
  return metal;
}

const struct metal *metal_make(struct arena *arena, const struct plan *plan,
                               struct clad_state clad) {
  return make(arena, plan, clad);
}

/* Stacks that no longer stand, beyond one for each site, before all is made afresh. */
enum { SPARE = 16 };

enum { AT_ONCE = 64 }; /* overlays compared */

/* -- following the work ------------------------------------------------------------------- */

/* The first overlay from there on with other layers than before; of many nearly all have the same.
 */
static size_t changed_from(const struct metal *metal, const size_t *layers, size_t from) {
  size_t count = metal->plan->overlay_count;
  while (count - from >= AT_ONCE &&
         memcmp(metal->layers + from, layers + from, AT_ONCE * sizeof *layers) == 0)
    from += AT_ONCE;
  while (from < count && metal->layers[from] == layers[from])
    from++;
  return from;
}

/* Each site that holds an overlay with other layers than before, once. */
static void stacks_renew(struct metal *metal, const size_t *layers) {
  size_t count = metal->plan->overlay_count, i = 0;
  while ((i = changed_from(metal, layers, i)) < count) {
    size_t at = metal->sites.of_overlay[i];
    const struct site *site = &metal->sites.items[at];
    for (size_t k = 0; k < site->overlay_count; k++)
      metal->layers[site->overlays[k]] = layers[site->overlays[k]];
    metal->stacks[at] = stack_for(metal, at, &metal->stacks[at]);
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
  bool at_home = kept->home && !kept->metal;
  arena_free(kept->arena);
  kept->arena = at_home ? NULL : arena_new();
  struct arena *arena = at_home ? kept->home : kept->arena;
  kept->metal =
      kept->bare ? make_from(arena, kept->bare, kept->other, clad) : make(arena, plan, clad);
  return kept->metal;
}

static void kept_begin(struct metal_kept *kept) {
  *kept = (struct metal_kept){.home = kept->home, .bare = kept->bare, .other = kept->other};
}

const struct metal *metal_kept_give(struct metal_kept *kept, struct arena *arena) {
  const struct metal *metal = kept->metal;
  if (kept->arena)
    arena_adopt(arena, kept->arena);
  kept_begin(kept);
  return metal;
}

void metal_kept_release(struct metal_kept *kept) {
  arena_free(kept->arena);
  kept_begin(kept);
}

/* -- what holds where --------------------------------------------------------------------- */

const struct stack *metal_stack_at(const struct metal *metal, vec2 p) {
  size_t site = site_at(&metal->sites, p);
  return site < metal->sites.count ? &metal->stacks[site] : &metal->bare;
}

struct metal_hit metal_no_hit(void) {
  return (struct metal_hit){.distance = HUGE_VAL, .kind = METAL_DATUM_FACE};
}

struct metal_hit metal_no_place(void) {
  return (struct metal_hit){.distance = 0, .kind = METAL_PART};
}
