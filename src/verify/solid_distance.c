/* solid_distance.c - how far a place is from metal.
 *
 * Slabs and strips of clad are looked at from the place outward, and no longer where the gap in
 * height alone is as large as what was found: that leaves nothing out that could be nearer.
 *
 * Clad: on every edge of the wall as thick as docs/semantics.md says there, over its band.  A place
 * is no nearer to it than to the wall's edge less that thickness, which is what is taken: exact
 * where the nearest place of the clad stands over that edge. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/solid.h"

static const double DEEP = 1e3; /* in a slab that is metal throughout */

static inline double lesser(double a, double b) {
  return a < b ? a : b;
}

static double gap(double from, double to, double bottom, double top) {
  double under = bottom - to, over = from - top, more = under > over ? under : over;
  return more > 0 ? more : 0;
}

/* Level distance, then both at right angles; negative where they meet. */
static double combine(double level, double height) {
  if (height == 0)
    return level;
  return level > 0 ? wall_hypot(level, height) : height;
}

/* -- envelope --------------------------------------------------------------------------------- */

/* An upright segment with a radius. */
struct upright {
  vec2 at;
  double from, to, radius;
};

static bool cut_holds(const struct cut *cut, vec2 at, double *level) {
  if (!cut->is_round)
    return wall_holds(cut->wall, at);
  const struct edge *edge = cut->wall->edges;
  vec2 arm = vec2_sub(at, edge->centre);
  double far = wall_hypot(arm.x, arm.y), side = edge->radius - far;
  if (cut->is_rim)
    *level = lesser(fabs(far - edge->radius), *level);
  return fabs(side) > 1e-6 ? side > 0 : wall_holds(cut->wall, at);
}

static double slab_distance(const struct slab *slab, const struct upright *part, double height) {
  double level = INFINITY;
  bool metal = slab->is_below_datum, is_free = false;
  for (size_t i = 0; i < slab->cut_count; i++) {
    const struct cut *cut = &slab->cuts[i];
    bool decides = !is_free && (cut->is_free || !metal);
    if ((!cut->is_rim && !decides) || !cut_holds(cut, part->at, &level) || !decides)
      continue;
    is_free = cut->is_free;
    metal = !cut->is_free;
  }
  for (size_t i = 0; i < slab->edge_count; i++)
    level = lesser(edge_distance(&slab->edges[i], part->at), level);
  if (metal)
    level = slab->has_border ? -level : -DEEP;
  return combine(level - part->radius, height);
}

/* From slab `first` on, upward or downward, as long as one may be nearer. */
static double slabs_distance(const struct solid *solid, const struct upright *part, size_t first,
                             bool upward, double least) {
  for (size_t i = first; i < solid->slab_count; i += upward ? 1 : (size_t)-1) {
    const struct slab *slab = &solid->slabs[i];
    double height = gap(part->from, part->to, slab->bottom, slab->top);
    if (height >= least)
      break;
    least = lesser(slab_distance(slab, part, height), least);
  }
  return least;
}

static double envelope_distance(const struct solid *solid, const struct upright *part) {
  size_t first = 0;
  while (first + 1 < solid->slab_count && solid->slabs[first].top < part->from)
    first++;
  double least = slabs_distance(solid, part, first, true, INFINITY);
  return first > 0 ? slabs_distance(solid, part, first - 1, false, least) : least;
}

/* -- clad ------------------------------------------------------------------------------------- */

/* One overlay's clad between two of its layers' edges. */
struct strip {
  double bottom, top;
  double *thick; /* over every edge of the wall; 0: none */
};
struct clad {
  const struct wall *wall;
  struct strip *strips; /* rising; only those in which clad stands */
  size_t count;
};

static bool set_thickness(struct strip *strip, const struct lay *first, size_t layers,
                          bool is_nominal) {
  double middle = (strip->bottom + strip->top) / 2;
  bool stands = false;
  for (size_t e = 0; e < first->wall->count; e++) {
    for (size_t k = 0; k < layers; k++)
      if (middle > -first[k].layer->depths.hi && middle < -first[k].layer->depths.lo)
        strip->thick[e] +=
            is_nominal ? first[k].nominal : lay_true(&first[k], &first->wall->edges[e]);
    stands |= strip->thick[e] > 0;
  }
  return stands;
}

static struct clad *clad_make(struct arena *arena, const struct lay *first, size_t layers,
                              bool is_nominal) {
  struct clad *clad = arena_alloc(arena, 1, sizeof *clad);
  double *z = arena_alloc(arena, 2 * layers, sizeof *z);
  size_t count = 0;
  for (size_t k = 0; k < layers; k++) {
    z[count++] = -first[k].layer->depths.hi;
    z[count++] = -first[k].layer->depths.lo;
  }
  count = solid_sort_heights(z, count);
  clad->wall = first->wall;
  clad->strips = arena_alloc(arena, count, sizeof *clad->strips);
  for (size_t i = 0; i + 1 < count; i++) {
    struct strip *strip = &clad->strips[clad->count];
    *strip = (struct strip){z[i], z[i + 1],
                            arena_alloc(arena, first->wall->count, sizeof *strip->thick)};
    clad->count += set_thickness(strip, first, layers, is_nominal);
  }
  return clad;
}

static double strip_distance(const struct clad *clad, const struct strip *strip, vec2 at) {
  double least = INFINITY;
  for (size_t e = 0; e < clad->wall->count; e++)
    if (strip->thick[e] > 0)
      least = lesser(edge_distance(&clad->wall->edges[e], at) - strip->thick[e], least);
  return least;
}

static double clad_distance(const struct clad *clad, const struct upright *part, double least) {
  for (size_t i = 0; i < clad->count; i++) {
    const struct strip *strip = &clad->strips[i];
    double height = gap(part->from, part->to, strip->bottom, strip->top);
    if (height > 0 && height >= least) /* at no gap it may be deeper in metal */
      continue;
    double level = strip_distance(clad, strip, part->at) - part->radius;
    if (isfinite(level))
      least = lesser(combine(level, height), least);
  }
  return least;
}

double solid_distance(const struct solid *solid, struct standing standing, vec2 at, double z_from,
                      double z_to, double radius) {
  struct upright part = {at, z_from, z_to, radius};
  double least = envelope_distance(solid, &part);
  const struct lay *lays = solid->stack->items;
  for (size_t i = 0; i < standing.layers;) {
    size_t layers = 1;
    while (i + layers < standing.layers && lays[i + layers].overlay == lays[i].overlay)
      layers++;
    struct clad **clad = &solid->clads[2 * (i + layers - 1) + standing.is_nominal];
    if (!*clad)
      *clad = clad_make(solid->arena, &lays[i], layers, standing.is_nominal);
    least = clad_distance(*clad, &part, least);
    i += layers;
  }
  return least;
}
