/* solid.c - cross-sections of the envelope.
 *
 * Every depth at which a volume begins or ends cuts the metal into slabs.  In a slab the metal's
 * boundary is made of the volumes' edges; an edge that lies inside another free volume bounds
 * nothing.  That is decided by halves: D being the distance from a part's middle to the other
 * volume's wall, a part of half length h < D lies on one side of it.  What is shorter than 0.002 mm
 * counts as boundary, and so do walls that run together.  Above the datum face, where only solids
 * are metal, an edge of a free volume counts inside a solid.
 */
#include "verify/solid.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static const double SPLINTER = 0.002; /* mm */
static const double ALONG = 1e-6;     /* mm: walls that run together */
static const double SAME_DEPTH = 1e-7;

/* -- making it -------------------------------------------------------------------------------- */

static bool spans(const struct volume *volume, double z) {
  return z < -volume->depths.lo && z > -volume->depths.hi;
}

struct edge_list {
  struct arena *arena;
  struct edge *items;
  size_t count, room;
};

static void list_add(struct edge_list *list, const struct edge *edge) {
  if (list->count == list->room) {
    size_t room = 2 * list->room + 8;
    list->items = arena_grow(list->arena, list->items, list->count, room, sizeof *list->items);
    list->room = room;
  }
  list->items[list->count++] = *edge;
}

/* On which side of a wall a part of an edge lies. */
enum side { SIDE_OUT, SIDE_IN, SIDE_ALONG, SIDE_UNTOLD };

static enum side side_of(const struct wall *wall, const struct edge *part) {
  double half = part->length / 2;
  double middle = wall_foot(wall, edge_at(part, half)).inside;
  if (fabs(middle) > half)
    return middle > 0 ? SIDE_IN : SIDE_OUT;
  bool is_along = fabs(middle) < ALONG && fabs(wall_foot(wall, part->from).inside) < ALONG &&
                  fabs(wall_foot(wall, part->to).inside) < ALONG;
  return is_along ? SIDE_ALONG : SIDE_UNTOLD;
}

/* The part beside all volumes of one kind but its own: in one of them, or else untold, along or
 * out, in this order. */
static enum side side_of_all(const struct solid *solid, size_t own, bool of_free, double z,
                             const struct edge *part) {
  const struct envelope *envelope = solid->job->envelope;
  enum side all = SIDE_OUT;
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    if (i == own || volume->is_free != of_free || !spans(volume, z))
      continue;
    enum side side = side_of(solid->stack->volumes[i], part);
    if (side == SIDE_IN)
      return side;
    if (side > all)
      all = side;
  }
  return all;
}

/* In another free volume an edge bounds nothing; above the datum face that of a free volume bounds
 * only what is solid there.  Whatever cannot be told is kept: that is the safe side. */
static void keep_edge(struct edge_list *list, const struct solid *solid, size_t own, double z,
                      const struct edge *part) {
  enum side in_free = side_of_all(solid, own, true, z, part);
  bool needs_solid = z > 0 && solid->job->envelope->volumes[own].is_free;
  enum side in_solid = needs_solid ? side_of_all(solid, own, false, z, part) : SIDE_IN;
  if (in_free == SIDE_IN || in_solid == SIDE_OUT)
    return;
  if ((in_free != SIDE_UNTOLD && in_solid != SIDE_UNTOLD) || part->length < SPLINTER) {
    list_add(list, part);
    return;
  }
  struct edge first = edge_part(part, 0, part->length / 2);
  struct edge second = edge_part(part, part->length / 2, part->length);
  first.s0 = second.s0 = 0;
  keep_edge(list, solid, own, z, &first);
  keep_edge(list, solid, own, z, &second);
}

static bool is_round(const struct wall *wall) {
  return wall->count == 1 && wall->edges[0].bend > 0 && wall->edges[0].turn > NUM_TURN - 1e-9;
}

/* Parts of one edge that follow on one another, from `first` on in the list, become one again: the
 * fewer there are the faster a distance is found. */
static void join_parts(struct edge_list *list, size_t first) {
  size_t kept = first;
  for (size_t i = first; i < list->count; i++) {
    struct edge *last = &list->items[kept > first ? kept - 1 : first], *next = &list->items[i];
    if (kept > first && wall_apart(last->to, next->from) < SPLINTER / 100)
      *last = edge_joined(last, next);
    else
      list->items[kept++] = *next;
  }
  list->count = kept;
}

/* The wall of a volume as the slab's boundary. */
static void add_wall(struct edge_list *list, const struct solid *solid, size_t own, double z,
                     struct cut *cut) {
  size_t before = list->count;
  for (size_t k = 0; k < cut->wall->count; k++) {
    const struct edge *whole = &cut->wall->edges[k];
    size_t first_part = list->count;
    /* halves, so that no part is a whole round */
    struct edge first = edge_part(whole, 0, whole->length / 2);
    struct edge second = edge_part(whole, whole->length / 2, whole->length);
    keep_edge(list, solid, own, z, &first);
    keep_edge(list, solid, own, z, &second);
    join_parts(list, first_part);
  }
  cut->is_rim =
      cut->is_round && list->count == before + 1 && list->items[before].turn > NUM_TURN - 1e-9;
  if (cut->is_rim)
    list->count = before;
}

static void fill_slab(struct arena *arena, const struct solid *solid, struct slab *slab) {
  const struct envelope *envelope = solid->job->envelope;
  struct edge_list list = {.arena = arena};
  double z = isfinite(slab->bottom) ? (slab->bottom + slab->top) / 2 : slab->top - 1;
  slab->is_below_datum = z < 0;
  slab->cuts = arena_alloc(arena, envelope->volume_count, sizeof *slab->cuts);
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    if (!spans(volume, z))
      continue;
    struct cut *cut = &slab->cuts[slab->cut_count++];
    cut->wall = solid->stack->volumes[i];
    cut->is_free = volume->is_free;
    cut->is_round = is_round(cut->wall);
    if (!slab->is_below_datum || volume->is_free)
      add_wall(&list, solid, i, z, cut);
    slab->has_border |= cut->is_rim;
  }
  slab->edges = list.items;
  slab->edge_count = list.count;
  slab->has_border |= list.count > 0;
}

size_t solid_sort_heights(double *z, size_t count) {
  size_t kept = 0;
  for (size_t i = 1; i < count; i++)
    for (size_t k = i; k > 0 && z[k] < z[k - 1]; k--) {
      double swap = z[k];
      z[k] = z[k - 1];
      z[k - 1] = swap;
    }
  for (size_t i = 0; i < count; i++)
    if (kept == 0 || z[i] - z[kept - 1] > SAME_DEPTH)
      z[kept++] = z[i];
  return kept;
}

struct solid *solid_make(struct arena *arena, const struct job *job,
                         const struct lay_stack *stack) {
  const struct envelope *envelope = job->envelope;
  struct solid *solid = arena_alloc(arena, 1, sizeof *solid);
  double *z = arena_alloc(arena, 2 * envelope->volume_count + 1, sizeof *z);
  size_t count = 0;
  z[count++] = 0;
  for (size_t i = 0; i < envelope->volume_count; i++) {
    z[count++] = -envelope->volumes[i].depths.lo;
    z[count++] = -envelope->volumes[i].depths.hi;
  }
  count = solid_sort_heights(z, count);
  solid->job = job;
  solid->stack = stack;
  solid->slabs = arena_alloc(arena, count, sizeof *solid->slabs);
  for (size_t i = 0; i < count; i++) {
    struct slab *slab = &solid->slabs[solid->slab_count++];
    slab->bottom = -INFINITY;
    if (i > 0)
      slab->bottom = z[i - 1];
    slab->top = z[i];
    fill_slab(arena, solid, slab);
  }
  solid->arena = arena;
  solid->clads = arena_alloc(arena, 2 * stack->count + 1, sizeof *solid->clads);
  return solid;
}
