/* section.c - from loops to the boundary of the metal, and distances to it.
 *
 * Every edge of every loop is cut where it meets another.  Between two cuts nothing changes along
 * it, so its middle tells which loops hold its left and its right side; loops that run along it
 * change sides together with it.  It bounds the metal when just one side is metal. */
#include "metal/section.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/metal.h"
#include "borelay/num.h"
#include "metal/tree.h"

/* Contours nearer than this run together, mm; a thousand times the rounding of coordinates of some
 * metres. */
static const double together = 1e-8;

struct section {
  struct section_loop *loops;
  size_t loop_count;
  bool background;
  struct edge_tree tree;
};

/* What is metal, from the loops that hold a point. */
static bool is_metal(const struct section *section, const bool *inside) {
  bool metal = section->background, is_free = false;
  for (size_t i = 0; i < section->loop_count; i++) {
    if (!inside[i])
      continue;
    switch (section->loops[i].role) {
    case ROLE_FREE:
      is_free = true;
      break;
    case ROLE_SOLID:
      metal = true;
      break;
    case ROLE_CLAD_WALL:
      if (!inside[i + 1])
        return true;
      break;
    case ROLE_CLAD_FACE:
      break;
    }
  }
  return metal && !is_free;
}

bool section_holds(const struct section *section, vec2 p) {
  bool metal = section->background, is_free = false;
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_CLAD_FACE || !loop_holds(&item->loop, p))
      continue;
    if (item->role == ROLE_FREE)
      is_free = true;
    else if (item->role == ROLE_SOLID)
      metal = true;
    else if (!loop_holds(&section->loops[i + 1].loop, p))
      return true;
  }
  return metal && !is_free;
}

bool section_has_metal(const struct section *section) {
  return section->background || section->tree.edge_count > 0;
}

bool section_find_free(const struct section *section, vec2 p, size_t *index) {
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_FREE && loop_holds(&item->loop, p)) {
      *index = item->index;
      return true;
    }
  }
  return false;
}

const struct section_loop *section_owner(const struct section *section, vec2 p) {
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_SOLID && loop_holds(&item->loop, p))
      return item;
    if (item->role == ROLE_CLAD_WALL && loop_holds(&item->loop, p) &&
        !loop_holds(&section->loops[i + 1].loop, p))
      return item;
  }
  return NULL;
}

vec2 section_beside(const struct section *section, const struct edge *edge, vec2 p) {
  const double inward = 1e-3, aside = 10 * together;
  vec2 near = edge_nearest(edge, p), middle = edge_middle(edge);
  near = edge_nearest(edge, vec2_add(near, vec2_scale(vec2_sub(middle, near), inward)));
  vec2 along = edge_direction(edge, near);
  vec2 across = vec2_scale((vec2){-along.y, along.x}, aside / num_hypot(along.x, along.y));
  vec2 left = vec2_add(near, across);
  return section_holds(section, left) ? left : vec2_sub(near, across);
}

const struct edge *section_edges(const struct section *section, size_t *count) {
  *count = section->tree.edge_count;
  return section->tree.edges;
}

/* -- cutting ------------------------------------------------------------------ */

struct cuts { /* of one edge, by their place along its chord */
  vec2 *points;
  size_t count, room;
};

static double along_chord(const struct edge *edge, vec2 p) {
  return vec2_dot(vec2_sub(p, edge->a), vec2_sub(edge->b, edge->a));
}

static void cut(struct arena *arena, struct cuts *cuts, const struct edge *edge, vec2 p) {
  struct box at = {p, p}, a = {edge->a, edge->a}, b = {edge->b, edge->b};
  if (box_gap2(at, a) <= together * together || box_gap2(at, b) <= together * together)
    return;
  if (cuts->count == cuts->room) {
    size_t room = cuts->room ? 2 * cuts->room : 4;
    cuts->points = arena_grow(arena, cuts->points, cuts->count, room, sizeof *cuts->points);
    cuts->room = room;
  }
  size_t i = cuts->count++;
  for (; i > 0 && along_chord(edge, cuts->points[i - 1]) > along_chord(edge, p); i--)
    cuts->points[i] = cuts->points[i - 1];
  cuts->points[i] = p;
}

struct listed { /* an edge and its loop, for the sweep over x */
  const struct edge *edge;
  size_t loop, order;
  struct cuts cuts;
};

static int by_left_end(const void *a, const void *b) {
  const struct listed *p = a, *q = b;
  double x = p->edge->box.lo.x, y = q->edge->box.lo.x;
  if (x != y)
    return x < y ? -1 : 1;
  return p->order < q->order ? -1 : p->order > q->order;
}

static void cut_pair(struct arena *arena, struct listed *e, struct listed *f) {
  vec2 points[EDGE_MEET_MOST];
  size_t count = edge_meet(e->edge, f->edge, together, points);
  for (size_t i = 0; i < count; i++) {
    cut(arena, &e->cuts, e->edge, points[i]);
    cut(arena, &f->cuts, f->edge, points[i]);
  }
}

static void cut_all(struct arena *arena, struct listed *list, size_t count) {
  for (size_t i = 0; i < count; i++) {
    struct box reach = list[i].edge->box;
    for (size_t j = i + 1; j < count && list[j].edge->box.lo.x <= reach.hi.x + together; j++)
      if (box_gap2(reach, list[j].edge->box) <= together * together)
        cut_pair(arena, &list[i], &list[j]);
  }
}

/* -- keeping ------------------------------------------------------------------ */

static bool bounds_metal(const struct section *section, size_t own, const struct edge *part,
                         bool *left, bool *right) {
  vec2 middle = edge_middle(part), direction = edge_direction(part, middle);
  for (size_t i = 0; i < section->loop_count; i++) {
    if (i == own) {
      left[i] = true;
      right[i] = false;
      continue;
    }
    struct loop_place place = loop_place_of(&section->loops[i].loop, middle, together);
    bool same = vec2_dot(place.direction, direction) > 0;
    left[i] = place.on ? same : place.inside;
    right[i] = place.on ? !same : place.inside;
  }
  return is_metal(section, left) != is_metal(section, right);
}

static struct edge part_of(const struct edge *edge, vec2 a, vec2 b) {
  struct edge part =
      edge->radius == 0 ? edge_line(a, b) : edge_arc(a, b, edge->centre, edge->radius, edge->turn);
  part.right_half = edge->right_half;
  return part;
}

struct keeper {
  struct arena *arena;
  struct section *section;
  struct edge *kept;
  size_t count, room;
  bool *left, *right; /* scratch, one for each loop */
};

static void keep(struct keeper *keeper, size_t loop, struct edge part) {
  const struct section_loop *owner = &keeper->section->loops[loop];
  bool is_clad = owner->role == ROLE_CLAD_WALL || owner->role == ROLE_CLAD_FACE;
  if (!bounds_metal(keeper->section, loop, &part, keeper->left, keeper->right))
    return;
  part.kind = is_clad ? METAL_CLAD : METAL_VOLUME;
  part.index = owner->index;
  if (keeper->count == keeper->room) {
    size_t room = keeper->room ? 2 * keeper->room : 32;
    keeper->kept =
        arena_grow(keeper->arena, keeper->kept, keeper->count, room, sizeof *keeper->kept);
    keeper->room = room;
  }
  keeper->kept[keeper->count++] = part;
}

static void keep_parts(struct keeper *keeper, const struct listed *item) {
  vec2 from = item->edge->a;
  for (size_t i = 0; i <= item->cuts.count; i++) {
    vec2 to = i < item->cuts.count ? item->cuts.points[i] : item->edge->b;
    struct box at = {from, from}, next = {to, to};
    if (box_gap2(at, next) <= together * together && i < item->cuts.count)
      continue;
    keep(keeper, item->loop, part_of(item->edge, from, to));
    from = to;
  }
}

static void find_boundary(struct arena *arena, struct section *section) {
  size_t count = 0, k = 0;
  for (size_t i = 0; i < section->loop_count; i++)
    count += section->loops[i].loop.count;
  struct listed *list = arena_alloc(arena, count + 1, sizeof *list);
  for (size_t i = 0; i < section->loop_count; i++)
    for (size_t j = 0; j < section->loops[i].loop.count; j++, k++)
      list[k] = (struct listed){.edge = &section->loops[i].loop.edges[j], .loop = i, .order = k};
  qsort(list, count, sizeof *list, by_left_end);
  cut_all(arena, list, count);
  struct keeper keeper = {.arena = arena, .section = section};
  keeper.left = arena_alloc(arena, section->loop_count + 1, sizeof *keeper.left);
  keeper.right = arena_alloc(arena, section->loop_count + 1, sizeof *keeper.right);
  for (size_t i = 0; i < count; i++)
    keep_parts(&keeper, &list[i]);
  section->tree = edge_tree_make(arena, keeper.kept, keeper.count);
}

struct section *section_make(struct arena *arena, const struct section_loop *loops, size_t count,
                             bool background) {
  struct section *section = arena_alloc(arena, 1, sizeof *section);
  section->loops = arena_alloc(arena, count + 1, sizeof *section->loops);
  for (size_t i = 0; i < count; i++)
    section->loops[i] = loops[i];
  section->loop_count = count;
  section->background = background;
  find_boundary(arena, section);
  return section;
}

const struct edge *section_edge_beside(const struct section *section, vec2 p, double within) {
  const struct edge *edge = NULL;
  return isinf(edge_tree_distance(&section->tree, p, p, within, &edge)) ? NULL : edge;
}

bool section_is_of(const struct section *section, const struct section_loop *loops, size_t count,
                   bool background) {
  if (section->loop_count != count || section->background != background)
    return false;
  for (size_t i = 0; i < count; i++) {
    const struct section_loop *own = &section->loops[i];
    if (own->role != loops[i].role || own->index != loops[i].index ||
        own->layers != loops[i].layers)
      return false;
  }
  return true;
}

struct section_hit section_distance(const struct section *section, vec2 p, vec2 q, double cap) {
  if (section_holds(section, p))
    return (struct section_hit){0, NULL};
  struct section_hit hit = {HUGE_VAL, NULL};
  hit.distance = edge_tree_distance(&section->tree, p, q, cap, &hit.edge);
  return hit;
}

bool section_stays_off(const struct section *section, const struct metal_region *region,
                       double distance) {
  return edge_tree_stays_off(&section->tree, region, distance) &&
         !section_holds(section, region->within);
}
