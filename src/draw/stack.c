/* stack.c - every volume is a prism between two depths, so the plane cuts rectangles: between two
 * neighbouring edges of depth the metal is a set of stretches of the plane's level line. */
#include "draw/stack.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/stretches.h"

static size_t clad_prisms(struct arena *arena, const struct outcome *outcome, size_t overlay,
                          size_t layers, struct prism *to) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  for (size_t k = 0; k < layers; k++)
    to[k] = (struct prism){PRISM_CLAD,
                           over->layers[k].layer->depths,
                           rim_of_contour(arena, over->contour, 0),
                           rim_of_clad(arena, over, k + 1, false),
                           overlay,
                           k + 1};
  return layers;
}

struct stack stack_make(struct arena *arena, const struct outcome *outcome, const size_t *layers) {
  const struct envelope *envelope = outcome->job->envelope;
  size_t most = envelope->volume_count;
  for (size_t i = 0; layers && i < outcome->plan->overlay_count; i++)
    most += layers[i];
  struct stack stack = {arena_alloc(arena, most, sizeof *stack.prisms), 0};
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    stack.prisms[stack.count++] =
        (struct prism){.kind = volume->is_free ? PRISM_FREE : PRISM_SOLID,
                       .depths = volume->depths,
                       .rim = rim_of_contour(arena, outcome->plan->volume_contours[i], 0),
                       .index = i};
  }
  for (size_t i = 0; layers && i < outcome->plan->overlay_count; i++)
    stack.count += clad_prisms(arena, outcome, i, layers[i], stack.prisms + stack.count);
  return stack;
}

/* -- cutting --------------------------------------------------------------------------------- */

struct plane {
  struct arena *arena;
  const struct stack *stack;
  vec2 from, along;
  struct range out;
};

static struct stretches cut_of(const struct plane *plane, const struct rim *rim) {
  struct stretches set = {.arena = plane->arena};
  double *outs;
  size_t count = rim_cut(plane->arena, rim, plane->from, plane->along, &outs);
  for (size_t i = 0; i + 1 < count; i += 2)
    stretches_add(&set, fmax(outs[i], plane->out.lo), fmin(outs[i + 1], plane->out.hi));
  return set;
}

static void cut_away(struct stretches *set, const struct stretches *by) {
  for (size_t i = 0; i < by->count; i++)
    stretches_cut(set, by->items[i].from, by->items[i].to);
}

static bool holds(const struct prism *prism, double depth) {
  return depth > prism->depths.lo && depth < prism->depths.hi;
}

static struct stretches metal_at(const struct plane *plane, double depth) {
  struct stretches metal = {.arena = plane->arena};
  if (depth > 0)
    stretches_add(&metal, plane->out.lo, plane->out.hi);
  for (int frees = 0; frees < 2; frees++)
    for (size_t i = 0; i < plane->stack->count; i++) {
      const struct prism *prism = &plane->stack->prisms[i];
      if (!holds(prism, depth) || prism->kind != (frees ? PRISM_FREE : PRISM_SOLID))
        continue;
      struct stretches cut = cut_of(plane, &prism->rim);
      for (size_t k = 0; !frees && k < cut.count; k++)
        stretches_add(&metal, cut.items[k].from, cut.items[k].to);
      if (frees)
        cut_away(&metal, &cut);
    }
  return metal;
}

/* The topmost layer of an overlay that holds the depth stands with all below it. */
static const struct prism *clad_at(const struct plane *plane, size_t overlay, double depth) {
  const struct prism *top = NULL;
  for (size_t i = 0; i < plane->stack->count; i++) {
    const struct prism *prism = &plane->stack->prisms[i];
    if (prism->kind == PRISM_CLAD && prism->index == overlay && holds(prism, depth))
      top = prism;
  }
  return top;
}

struct slabs_out {
  struct arena *arena;
  struct slab_part *parts;
  size_t count, room;
};

static void part_add(struct slabs_out *to, struct slab_part part) {
  if (to->count == to->room) {
    size_t room = 2 * to->room + 32;
    to->parts = arena_grow(to->arena, to->parts, to->room, room, sizeof part);
    to->room = room;
  }
  to->parts[to->count++] = part;
}

static void slab_cut(const struct plane *plane, struct range depths, struct slabs_out *to) {
  double depth = depths.lo + (depths.hi - depths.lo) / 2;
  struct stretches metal = metal_at(plane, depth);
  for (size_t i = 0; i < metal.count; i++)
    part_add(to, (struct slab_part){{metal.items[i].from, metal.items[i].to}, depths, false, 0, 0});
  size_t overlays = 0;
  for (size_t i = 0; i < plane->stack->count; i++)
    if (plane->stack->prisms[i].kind == PRISM_CLAD && plane->stack->prisms[i].index >= overlays)
      overlays = plane->stack->prisms[i].index + 1;
  for (size_t i = 0; i < overlays; i++) {
    const struct prism *clad = clad_at(plane, i, depth);
    if (!clad)
      continue;
    struct stretches set = cut_of(plane, &clad->rim), face = cut_of(plane, &clad->face);
    cut_away(&set, &face);
    for (size_t k = 0; k < set.count; k++)
      part_add(to, (struct slab_part){
                       {set.items[k].from, set.items[k].to}, depths, true, i, clad->layers});
  }
}

static int by_figure(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

size_t stack_cut(struct arena *arena, const struct stack *stack, vec2 from, vec2 along,
                 struct range out, struct range depths, struct slab_part **parts) {
  struct plane plane = {arena, stack, from, along, out};
  double *edges = arena_alloc(arena, 2 * stack->count + 3, sizeof *edges);
  size_t count = 0;
  edges[count++] = depths.lo;
  edges[count++] = depths.hi;
  edges[count++] = 0;
  for (size_t i = 0; i < stack->count; i++) {
    edges[count++] = stack->prisms[i].depths.lo;
    edges[count++] = stack->prisms[i].depths.hi;
  }
  qsort(edges, count, sizeof *edges, by_figure);
  struct slabs_out to = {.arena = arena};
  for (size_t i = 0; i + 1 < count; i++) {
    struct range slab = {fmax(edges[i], depths.lo), fmin(edges[i + 1], depths.hi)};
    if (slab.hi - slab.lo > 1e-7)
      slab_cut(&plane, slab, &to);
  }
  *parts = to.parts;
  return to.count;
}
