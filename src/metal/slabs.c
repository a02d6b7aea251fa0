/* slabs.c - depths at which the metal of a site changes, and the loops that hold between them. */
#include "metal/slabs.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "metal/reach.h"

struct depths {
  double *at;
  size_t count;
};

static int by_size(const void *a, const void *b) {
  const double *x = a, *y = b;
  return *x < *y ? -1 : *x > *y;
}

static void add_range(struct depths *depths, struct range range) {
  depths->at[depths->count++] = range.lo;
  depths->at[depths->count++] = range.hi;
}

/* The topmost standing layer whose band holds a depth, counted from 1; 0: none. */
static size_t layers_at(const struct plan_overlay *overlay, size_t standing, double depth) {
  for (size_t k = standing; k > 0; k--) {
    struct range band = overlay->layers[k - 1].layer->depths;
    if (band.lo <= depth && depth <= band.hi)
      return k;
  }
  return 0;
}

/* All depths of the site's volumes and clad, and the datum face; rising, each once. */
static struct depths depths_find(struct arena *arena, const struct stack_of *of) {
  const struct site *site = of->site;
  size_t room = 1 + 2 * site->volume_count;
  for (size_t i = 0; i < site->overlay_count; i++)
    room += 2 * of->layers[site->overlays[i]];
  struct depths depths = {arena_alloc(arena, room, sizeof *depths.at), 0};
  depths.at[depths.count++] = 0;
  for (size_t i = 0; i < site->volume_count; i++)
    add_range(&depths, of->plan->job->envelope->volumes[site->volumes[i]].depths);
  for (size_t i = 0; i < site->overlay_count; i++)
    for (size_t k = 0; k < of->layers[site->overlays[i]]; k++)
      add_range(&depths, of->plan->overlays[site->overlays[i]].layers[k].layer->depths);
  qsort(depths.at, depths.count, sizeof *depths.at, by_size);
  size_t kept = 0;
  for (size_t i = 0; i < depths.count; i++)
    if (kept == 0 || depths.at[i] - depths.at[kept - 1] > SLAB_LEAST)
      depths.at[kept++] = depths.at[i];
  depths.count = kept;
  return depths;
}

size_t slabs_up_to(const struct stack *stack, size_t from, double z) {
  size_t lo = from, hi = stack->count;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (stack->slabs[middle].z_hi < z)
      lo = middle + 1;
    else
      hi = middle;
  }
  return lo;
}

/* Between ledges the same cross-section comes back after a slab or two. */
enum { LOOK_BACK = 3 };

static struct section *section_below(const struct stack *stack, const struct section_loop *loops,
                                     size_t count, bool background) {
  for (size_t i = stack->count; i > 0 && i + LOOK_BACK > stack->count; i--)
    if (section_is_of(stack->slabs[i - 1].section, loops, count, background))
      return stack->slabs[i - 1].section;
  return NULL;
}

/* What a stack has at that height, if it is of the same loops. */
static struct section *section_known(const struct stack *known, double z,
                                     const struct section_loop *loops, size_t count,
                                     bool background) {
  size_t at = slabs_up_to(known, 0, z);
  if (at == known->count || !section_is_of(known->slabs[at].section, loops, count, background))
    return NULL;
  return known->slabs[at].section;
}

/* The loops at a depth of what reaches it; the clad's faces are not made yet. */
static size_t loops_at(const struct stack_of *of, const struct reaches *reaches, double depth,
                       struct section_loop *loops) {
  const struct site *site = of->site;
  size_t count = 0;
  for (size_t i = 0; i < reaches->here_count; i++) {
    size_t place = reaches->here[i].place;
    if (place < site->volume_count) {
      size_t index = site->volumes[place];
      const struct volume *volume = &of->plan->job->envelope->volumes[index];
      if (volume->depths.lo < depth && depth < volume->depths.hi)
        loops[count++] = (struct section_loop){of->outlines->volumes[index],
                                               volume->is_free ? ROLE_FREE : ROLE_SOLID, index, 0};
      continue;
    }
    size_t index = site->overlays[place - site->volume_count];
    size_t layers = layers_at(&of->plan->overlays[index], of->layers[index], depth);
    if (layers == 0)
      continue;
    loops[count++] = (struct section_loop){of->outlines->walls[index], ROLE_CLAD_WALL, index, 0};
    loops[count++] =
        (struct section_loop){.role = ROLE_CLAD_FACE, .index = index, .layers = layers};
  }
  return count;
}

/* The cross-section at a depth within a slab; one that is known already where there is one.  loops:
 * room for all that there may be; of many volumes few reach one depth. */
static struct section *section_at(struct arena *arena, const struct stack_of *of,
                                  const struct stack *stack, const struct reaches *reaches,
                                  double depth, struct section_loop *loops) {
  size_t count = loops_at(of, reaches, depth, loops);
  struct section *same = section_below(stack, loops, count, depth > 0);
  for (int i = 0; i < 2 && !same; i++)
    if (of->known[i])
      same = section_known(of->known[i], of->plan->placement.at.z - depth, loops, count, depth > 0);
  if (same)
    return same;
  struct section_loop *own = arena_alloc(arena, count + 1, sizeof *own);
  for (size_t i = 0; i < count; i++) {
    own[i] = loops[i];
    if (own[i].role == ROLE_CLAD_FACE)
      own[i].loop = outline_of_clad(arena, of->plan, own[i].index, own[i].layers, of->nominal);
  }
  return section_make(arena, own, count, depth > 0);
}

struct stack slabs_stack(struct arena *arena, const struct stack_of *of) {
  struct depths depths = depths_find(arena, of);
  double face_z = of->plan->placement.at.z, below = -HUGE_VAL;
  double deepest = depths.at[depths.count - 1];
  struct stack stack = {.slabs = arena_alloc(arena, depths.count, sizeof *stack.slabs)};
  size_t loops_most = of->site->volume_count + 2 * of->site->overlay_count;
  struct section_loop *loops = arena_room(arena, loops_most + 1, sizeof *loops);
  struct reaches reaches = reaches_begin(arena, of->plan, of->site, of->layers);
  for (size_t i = depths.count; i > 0; i--) {
    double depth = depths.at[i - 1], middle = depth + 1;
    if (depth < deepest)
      middle = 0.5 * (depth + depths.at[i]);
    reaches_go_to(&reaches, middle);
    struct section *section = section_at(arena, of, &stack, &reaches, middle, loops);
    struct slab *slab = &stack.slabs[stack.count++];
    *slab = (struct slab){below, face_z - depth, section};
    below = slab->z_hi;
    if (middle > 0)
      stack.upper = stack.count;
  }
  return stack;
}

double slab_gap(const struct slab *slab, double z_lo, double z_hi) {
  if (slab->z_lo > z_hi)
    return slab->z_lo - z_hi;
  return z_lo > slab->z_hi ? z_lo - slab->z_hi : 0;
}
