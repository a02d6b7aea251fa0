/* boundary.c - from loops to the boundary of the metal.
 *
 * Every edge of every loop is cut where it meets another loop's.  Between two cuts nothing changes
 * along it, so its middle tells which loops hold its left and its right side; loops that run along
 * it change sides together with it.  It bounds the metal when just one side is metal.
 *
 * Loops of the same edges, as of a bore and its wall, run along each other everywhere and need no
 * cuts.  A loop of many edges that meets no other is all of it boundary, or none: its own tree,
 * made once, serves every cross-section. */
#include "metal/boundary.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"

/* Contours nearer than this run together, mm; a thousand times the rounding of coordinates of some
 * metres. */
static const double together = SECTION_TOGETHER;

struct cut { /* of an edge, and its place along the chord */
  vec2 point;
  double along;
  size_t order;
};

struct cuts {
  struct cut *items;
  size_t count, room;
};

struct listed { /* an edge and its loop */
  const struct edge *edge;
  size_t loop;
  bool meets; /* an edge of another loop, not one of the same edges */
  struct cuts cuts;
};

struct finder {
  struct arena *arena;
  const struct section_loop *loops;
  size_t loop_count;
  bool background;
  struct listed **lists; /* of each loop: its edges; of one of many NULL until one of them is cut */
  size_t *alike;         /* of each loop: the first of the same edges; itself where there is none */
  size_t few_count;      /* edges of all loops that are not many */
  bool *left, *right;    /* scratch, one for each loop */
  struct edge *kept;
  size_t kept_count, kept_room;
};

static bool is_many(const struct finder *finder, size_t loop) {
  return finder->loops[loop].loop.whole != NULL;
}

/* -- loops of the same edges ---------------------------------------------------- */

static bool same_point(vec2 p, vec2 q) {
  return p.x == q.x && p.y == q.y;
}

static bool same_edge(const struct edge *e, const struct edge *f) {
  return same_point(e->a, f->a) && same_point(e->b, f->b) && same_point(e->centre, f->centre) &&
         e->radius == f->radius && e->turn == f->turn;
}

static bool same_edges(const struct loop *p, const struct loop *q) {
  if (p->count != q->count || !same_point(p->box.lo, q->box.lo) ||
      !same_point(p->box.hi, q->box.hi))
    return false;
  for (size_t i = 0; i < p->count; i++)
    if (!same_edge(&p->edges[i], &q->edges[i]))
      return false;
  return true;
}

static size_t alike_find(const struct section_loop *loops, size_t loop) {
  for (size_t i = 0; i < loop; i++)
    if (same_edges(&loops[i].loop, &loops[loop].loop))
      return i;
  return loop;
}

/* -- cutting ------------------------------------------------------------------ */

static void cut(struct arena *arena, struct listed *item, vec2 p) {
  const struct edge *edge = item->edge;
  struct cuts *cuts = &item->cuts;
  struct box at = {p, p}, a = {edge->a, edge->a}, b = {edge->b, edge->b};
  if (box_gap2(at, a) <= together * together || box_gap2(at, b) <= together * together)
    return;
  if (cuts->count == cuts->room) {
    size_t room = cuts->room ? 2 * cuts->room : 4;
    cuts->items = arena_grow(arena, cuts->items, cuts->count, room, sizeof *cuts->items);
    cuts->room = room;
  }
  double along = vec2_dot(vec2_sub(p, edge->a), vec2_sub(edge->b, edge->a));
  cuts->items[cuts->count] = (struct cut){p, along, cuts->count};
  cuts->count++;
}

static void cut_both(struct finder *finder, struct listed *e, struct listed *f, vec2 p) {
  e->meets = f->meets = true;
  cut(finder->arena, e, p);
  cut(finder->arena, f, p);
}

static int by_place(const void *a, const void *b) {
  const struct cut *p = a, *q = b;
  if (p->along != q->along)
    return p->along < q->along ? -1 : 1;
  return p->order < q->order ? -1 : p->order > q->order;
}

/* Of two circles about one centre. */
static bool are_rings(const struct edge *e, const struct edge *f) {
  return e->radius > 0 && f->radius > 0 && same_point(e->centre, f->centre) &&
         fabs(e->radius - f->radius) > together;
}

static size_t meetings(const struct edge *e, const struct edge *f, vec2 points[EDGE_MEET_MOST]) {
  if (are_rings(e, f))
    return 0;
  if (edge_is_off_box(e, f->box, together) || edge_is_off_box(f, e->box, together))
    return 0;
  return edge_meet(e, f, together, points);
}

static int by_left_end(const void *a, const void *b) {
  const struct listed *p = *(struct listed *const *)a, *q = *(struct listed *const *)b;
  double x = p->edge->box.lo.x, y = q->edge->box.lo.x;
  if (x != y)
    return x < y ? -1 : 1;
  return p < q ? -1 : p > q; /* of one array */
}

/* The edges of loops that are not many. */
static struct listed **few_list(const struct finder *finder) {
  struct listed **list = arena_alloc(finder->arena, finder->few_count + 1, sizeof(struct listed *));
  size_t count = 0;
  for (size_t i = 0; i < finder->loop_count; i++)
    for (size_t k = 0; !is_many(finder, i) && k < finder->loops[i].loop.count; k++)
      list[count++] = &finder->lists[i][k];
  return list;
}

/* With one another: a sweep over x. */
static void cut_few(struct finder *finder, struct listed **list) {
  qsort(list, finder->few_count, sizeof *list, by_left_end);
  for (size_t i = 0; i < finder->few_count; i++) {
    double reach = list[i]->edge->box.hi.x + together;
    for (size_t j = i + 1; j < finder->few_count && list[j]->edge->box.lo.x <= reach; j++) {
      vec2 points[EDGE_MEET_MOST];
      size_t count = 0;
      if (finder->alike[list[i]->loop] != finder->alike[list[j]->loop])
        count = meetings(list[i]->edge, list[j]->edge, points);
      for (size_t k = 0; k < count; k++)
        cut_both(finder, list[i], list[j], points[k]);
    }
  }
}

static struct listed *listed_of(struct finder *finder, size_t loop, size_t edge) {
  const struct loop *of = &finder->loops[loop].loop;
  struct listed **list = &finder->lists[loop];
  if (!*list) {
    *list = arena_alloc(finder->arena, of->count, sizeof **list);
    for (size_t i = 0; i < of->count; i++)
      (*list)[i] = (struct listed){.edge = &of->edges[i], .loop = loop};
  }
  return &(*list)[edge];
}

/* A loop that is many with one edge of another loop; `item`: that edge, or NULL where it is still
 * to be listed. */
static void cut_many(struct finder *finder, size_t loop, struct listed *item, size_t other,
                     size_t other_edge) {
  const struct edge *edge = item ? item->edge : &finder->loops[other].loop.edges[other_edge];
  struct loop_walk walk;
  size_t at;
  loop_walk_begin(&walk, &finder->loops[loop].loop, edge, together);
  while (loop_walk_next(&walk, &at)) {
    vec2 points[EDGE_MEET_MOST];
    size_t count = meetings(edge, &finder->loops[loop].loop.edges[at], points);
    if (count > 0 && !item)
      item = listed_of(finder, other, other_edge);
    for (size_t k = 0; k < count; k++)
      cut_both(finder, item, listed_of(finder, loop, at), points[k]);
  }
}

static void cut_all(struct finder *finder) {
  struct listed **few = few_list(finder);
  cut_few(finder, few);
  for (size_t i = 0; i < finder->loop_count; i++) {
    if (!is_many(finder, i))
      continue;
    for (size_t k = 0; k < finder->few_count; k++)
      cut_many(finder, i, few[k], 0, 0);
    for (size_t j = i + 1; j < finder->loop_count; j++)
      if (is_many(finder, j) && finder->alike[i] != finder->alike[j])
        for (size_t k = 0; k < finder->loops[j].loop.count; k++)
          cut_many(finder, i, NULL, j, k);
  }
}

/* -- keeping ------------------------------------------------------------------ */

enum bounds { BOUNDS_NOTHING, BOUNDS_METAL, RUNS_ALONG /* another loop: more is not said */ };

static enum bounds bounds_of(const struct finder *finder, size_t own, const struct edge *part,
                             bool ask_along) {
  vec2 middle = edge_middle(part), direction = edge_direction(part, middle);
  bool *left = finder->left, *right = finder->right;
  for (size_t i = 0; i < finder->loop_count; i++) {
    if (finder->alike[i] == finder->alike[own]) {
      left[i] = true;
      right[i] = false;
      continue;
    }
    struct loop_place place = loop_place_of(&finder->loops[i].loop, middle, together);
    if (place.on && ask_along)
      return RUNS_ALONG;
    bool same = vec2_dot(place.direction, direction) > 0;
    left[i] = place.on ? same : place.inside;
    right[i] = place.on ? !same : place.inside;
  }
  return section_is_metal(finder->loops, finder->loop_count, finder->background, left) !=
                 section_is_metal(finder->loops, finder->loop_count, finder->background, right)
             ? BOUNDS_METAL
             : BOUNDS_NOTHING;
}

static struct edge part_of(const struct edge *edge, vec2 a, vec2 b) {
  struct edge part = *edge;
  part.a = a;
  part.b = b;
  part.box = box_of(a, b);
  return part;
}

static void keep(struct finder *finder, struct edge part) {
  if (finder->kept_count == finder->kept_room) {
    size_t room = finder->kept_room ? 2 * finder->kept_room : 4;
    finder->kept =
        arena_grow(finder->arena, finder->kept, finder->kept_count, room, sizeof *finder->kept);
    finder->kept_room = room;
  }
  finder->kept[finder->kept_count++] = part;
}

static void keep_parts(struct finder *finder, const struct listed *item) {
  vec2 from = item->edge->a;
  if (item->cuts.count > 1)
    qsort(item->cuts.items, item->cuts.count, sizeof *item->cuts.items, by_place);
  for (size_t i = 0; i <= item->cuts.count; i++) {
    vec2 to = i < item->cuts.count ? item->cuts.items[i].point : item->edge->b;
    struct box at = {from, from}, next = {to, to};
    if (box_gap2(at, next) <= together * together && i < item->cuts.count)
      continue;
    struct edge part = part_of(item->edge, from, to);
    if (bounds_of(finder, item->loop, &part, false) == BOUNDS_METAL)
      keep(finder, part);
    from = to;
  }
}

/* Of a loop that meets no other: all of it, or none, as some of its edges say with one voice.
 * False: they do not. */
static bool keep_whole(struct finder *finder, size_t loop, struct boundary *boundary) {
  enum { VOICES = 16 };
  const struct loop *of = &finder->loops[loop].loop;
  enum bounds first = BOUNDS_NOTHING;
  for (size_t i = 0; i < VOICES; i++) {
    enum bounds here = bounds_of(finder, loop, &of->edges[i * of->count / VOICES], true);
    if (here == RUNS_ALONG || (i > 0 && here != first))
      return false;
    first = here;
  }
  if (first == BOUNDS_METAL)
    boundary->wholes[boundary->whole_count++] = of->whole;
  return true;
}

/* Edges in a row that meet nothing bound metal all alike: one in a few is asked. */
static void keep_loop(struct finder *finder, size_t loop, struct boundary *boundary) {
  enum { ASK_EVERY = 16 };
  enum bounds bounds = BOUNDS_NOTHING;
  size_t like = 0; /* so many edges before this one are known to be like it unless it meets */
  if (is_many(finder, loop) && !finder->lists[loop] && keep_whole(finder, loop, boundary))
    return;
  for (size_t k = 0; k < finder->loops[loop].loop.count; k++) {
    const struct listed *item = listed_of(finder, loop, k);
    if (item->meets) {
      keep_parts(finder, item);
      like = 0;
      continue;
    }
    if (like % ASK_EVERY == 0)
      bounds = bounds_of(finder, loop, item->edge, false);
    like++;
    if (bounds == BOUNDS_METAL)
      keep(finder, *item->edge);
  }
}

/* -- all of it ------------------------------------------------------------------ */

static struct finder finder_make(struct arena *arena, const struct section_loop *loops,
                                 size_t count, bool background) {
  struct finder finder = {.arena = arena,
                          .loops = loops,
                          .loop_count = count,
                          .background = background,
                          .lists = arena_alloc(arena, count + 1, sizeof(struct listed *)),
                          .alike = arena_alloc(arena, count + 1, sizeof *finder.alike),
                          .left = arena_alloc(arena, count + 1, sizeof *finder.left),
                          .right = arena_alloc(arena, count + 1, sizeof *finder.right)};
  for (size_t i = 0; i < count; i++) {
    finder.alike[i] = alike_find(loops, i);
    finder.few_count += is_many(&finder, i) ? 0 : loops[i].loop.count;
  }
  struct listed *few = arena_alloc(arena, finder.few_count + 1, sizeof *few);
  for (size_t i = 0; i < count; i++) {
    if (is_many(&finder, i))
      continue;
    finder.lists[i] = few;
    for (size_t k = 0; k < loops[i].loop.count; k++)
      *few++ = (struct listed){.edge = &loops[i].loop.edges[k], .loop = i};
  }
  return finder;
}

struct boundary boundary_find(struct arena *arena, const struct section_loop *loops, size_t count,
                              bool background) {
  struct boundary boundary = {.wholes =
                                  arena_alloc(arena, count + 1, sizeof(const struct edge_tree *))};
  struct finder finder = finder_make(arena, loops, count, background);
  cut_all(&finder);
  for (size_t i = 0; i < count; i++)
    keep_loop(&finder, i, &boundary);
  boundary.parts = edge_tree_make(arena, finder.kept, finder.kept_count);
  return boundary;
}
