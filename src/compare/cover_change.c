/* The unrolled wall is cut into upright slabs at every end of a strip: within a slab the edges of
 * strips are straight.  Where edges cross inside a slab it is halved, until it is narrower than any
 * drawing shows.  In each slab what only one side covers is a few stretches of depth; those of
 * neighbouring slabs that touch are one part. */
#include "compare/cover_change.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/stretches.h"

static const double NARROW = 0.1; /* mm */

struct bit {                  /* a stretch of depth in a slab */
  double from, to;            /* s */
  struct stretch depth;       /* in the slab's middle */
  struct stretch left, right; /* at its sides */
  size_t part;                /* another bit of the same part; itself: its first one */
};

struct slabs {
  struct arena *arena; /* of the result */
  struct arena *scratch;
  const struct laid *with, *without;
  struct bit *bits;
  size_t count, room;
  size_t column; /* where the last column's bits begin */
};

static void cover_at(const struct laid *laid, double s, struct stretches *set, bool cut) {
  for (size_t i = 0; i < laid->count; i++) {
    const struct laid_strip *strip = &laid->strips[i];
    if (s < strip->s_from || s > strip->s_to)
      continue;
    double share = (s - strip->s_from) / (strip->s_to - strip->s_from);
    double depth = strip->depth_from + share * (strip->depth_to - strip->depth_from);
    if (cut)
      stretches_cut(set, depth - strip->half_width, depth + strip->half_width);
    else
      stretches_add(set, depth - strip->half_width, depth + strip->half_width);
  }
}

static struct stretches only_at(const struct slabs *slabs, double s) {
  struct stretches set = {.arena = slabs->scratch};
  cover_at(slabs->with, s, &set, false);
  if (set.count > 0)
    cover_at(slabs->without, s, &set, true);
  return stretches_sift(&set, COVER_LEAST / 2);
}

static void add_bit(struct slabs *slabs, struct bit bit) {
  if (slabs->count == slabs->room) {
    slabs->room = 2 * slabs->room + 256;
    slabs->bits =
        arena_grow(slabs->scratch, slabs->bits, slabs->count, slabs->room, sizeof *slabs->bits);
  }
  bit.part = slabs->count;
  slabs->bits[slabs->count++] = bit;
}

static size_t part_of(struct slabs *slabs, size_t bit) {
  while (slabs->bits[bit].part != bit)
    bit = slabs->bits[bit].part = slabs->bits[slabs->bits[bit].part].part;
  return bit;
}

static void join_touching(struct slabs *slabs, size_t a_from, size_t a_to, size_t b_from,
                          size_t b_to) {
  for (size_t a = a_from; a < a_to; a++)
    for (size_t b = b_from; b < b_to; b++) {
      const struct stretch *x = &slabs->bits[a].depth, *y = &slabs->bits[b].depth;
      if (x->from <= y->to && y->from <= x->to)
        slabs->bits[part_of(slabs, b)].part = part_of(slabs, a);
    }
}

/* Bits of one slab whose edges do not cross, or which is narrow. */
static void take_column(struct slabs *slabs, double from, double to, const struct stretches *left,
                        const struct stretches *set, const struct stretches *right) {
  size_t last = slabs->column, begin = slabs->count;
  for (size_t i = 0; i < set->count; i++)
    add_bit(slabs, (struct bit){from, to, set->items[i], left->items[i], right->items[i], 0});
  if (begin > last && slabs->bits[last].to >= from - 1e-9)
    join_touching(slabs, last, begin, begin, slabs->count);
  slabs->column = begin;
}

static bool is_midway(double left, double here, double right) {
  return fabs(left + right - 2 * here) <= 1e-5;
}

/* Its edges run straight from the one side to the other: none crosses another on the way. */
static bool runs_straight(const struct stretches *left, const struct stretches *here,
                          const struct stretches *right) {
  if (left->count != here->count || right->count != here->count)
    return false;
  for (size_t i = 0; i < here->count; i++)
    if (!is_midway(left->items[i].from, here->items[i].from, right->items[i].from) ||
        !is_midway(left->items[i].to, here->items[i].to, right->items[i].to))
      return false;
  return true;
}

static void take_slab(struct slabs *slabs, double from, double to) {
  double inside = fmin((to - from) / 1000, 1e-6);
  struct stretches left = only_at(slabs, from + inside), right = only_at(slabs, to - inside);
  double middle = from + (to - from) / 2;
  struct stretches here = only_at(slabs, middle);
  bool is_straight = runs_straight(&left, &here, &right);
  if (is_straight || to - from <= NARROW) {
    take_column(slabs, from, to, is_straight ? &left : &here, &here, is_straight ? &right : &here);
    return;
  }
  take_slab(slabs, from, middle);
  take_slab(slabs, middle, to);
}

/* -- where slabs begin ------------------------------------------------------------------------- */

static int by_value(const void *one, const void *other) {
  const double *a = one, *b = other;
  return (*a > *b) - (*a < *b);
}

static double *edges_make(struct slabs *slabs, double perimeter, size_t *count) {
  const struct laid *both[] = {slabs->with, slabs->without};
  double *edges =
      arena_alloc(slabs->scratch, 2 * (both[0]->count + both[1]->count) + 2, sizeof *edges);
  size_t n = 0, kept = 0;
  edges[n++] = 0;
  edges[n++] = perimeter;
  for (int i = 0; i < 2; i++)
    for (size_t k = 0; k < both[i]->count; k++) {
      edges[n++] = both[i]->strips[k].s_from;
      edges[n++] = both[i]->strips[k].s_to;
    }
  qsort(edges, n, sizeof *edges, by_value);
  for (size_t i = 0; i < n; i++)
    if (kept == 0 || edges[i] - edges[kept - 1] > 1e-6)
      edges[kept++] = edges[i];
  *count = kept;
  return edges;
}

/* -- parts ------------------------------------------------------------------------------------- */

/* What hangs together over s = 0. */
static void join_over_zero(struct slabs *slabs, double perimeter) {
  size_t first = 0, last = slabs->count;
  while (first < slabs->count && slabs->bits[first].from <= 1e-6)
    first++;
  while (last > 0 && slabs->bits[last - 1].to >= perimeter - 1e-6)
    last--;
  if (first <= last)
    join_touching(slabs, 0, first, last, slabs->count);
}

struct part_draft {
  struct cover_part part;
  double gap_from, gap_to; /* the widest stretch of s without a bit so far */
  double first, last;
  double thickest;
};

static void draft_take(struct part_draft *draft, const struct bit *bit) {
  if (draft->part.area <= 0) {
    draft->first = bit->from;
    draft->part.depth = (struct range){bit->depth.from, bit->depth.to};
  } else if (bit->from - draft->last > draft->gap_to - draft->gap_from) {
    draft->gap_from = draft->last;
    draft->gap_to = bit->from;
  }
  draft->last = fmax(draft->last, bit->to);
  draft->part.depth.lo = fmin(draft->part.depth.lo, bit->depth.from);
  draft->part.depth.hi = fmax(draft->part.depth.hi, bit->depth.to);
  draft->thickest = fmax(draft->thickest, bit->depth.to - bit->depth.from);
  draft->part.area += (bit->to - bit->from) * (bit->depth.to - bit->depth.from);
}

/* s from behind the widest gap on, once round. */
static void draft_end(struct part_draft *draft, double perimeter) {
  double over_zero = draft->first + perimeter - draft->last;
  bool is_all = over_zero <= 1e-6 && draft->gap_to - draft->gap_from <= 1e-6;
  if (is_all)
    draft->part.s = (struct range){0, perimeter};
  else if (over_zero >= draft->gap_to - draft->gap_from)
    draft->part.s = (struct range){draft->first, draft->last};
  else
    draft->part.s = (struct range){draft->gap_to, draft->gap_from + perimeter};
}

/* Wide enough along the shape, too: as if it were as deep everywhere as where it is deepest. */
static bool counts(const struct part_draft *draft) {
  return draft->thickest >= COVER_LEAST && draft->part.area >= COVER_LEAST * draft->thickest;
}

static int by_area(const void *one, const void *other) {
  const struct cover_part *a = one, *b = other;
  if (a->area > b->area || a->area < b->area)
    return a->area > b->area ? -1 : 1;
  return a->depth.lo > b->depth.lo ? 1 : a->depth.lo < b->depth.lo ? -1 : 0;
}

static struct cover_patch patch_of(const struct bit *bit) {
  return (struct cover_patch){
      bit->from, bit->to, {bit->left.from, bit->left.to}, {bit->right.from, bit->right.to}};
}

static struct cover_parts parts_make(struct slabs *slabs, double perimeter) {
  struct cover_parts parts = {.count = 0};
  struct part_draft *drafts = arena_alloc(slabs->scratch, slabs->count + 1, sizeof *drafts);
  for (size_t i = 0; i < slabs->count; i++)
    draft_take(&drafts[part_of(slabs, i)], &slabs->bits[i]);
  parts.items = arena_alloc(slabs->arena, slabs->count + 1, sizeof *parts.items);
  for (size_t i = 0; i < slabs->count; i++) {
    if (!counts(&drafts[i]))
      continue;
    draft_end(&drafts[i], perimeter);
    parts.items[parts.count++] = drafts[i].part;
    parts.area += drafts[i].part.area;
  }
  qsort(parts.items, parts.count, sizeof *parts.items, by_area);
  parts.patches = arena_alloc(slabs->arena, slabs->count + 1, sizeof *parts.patches);
  for (size_t i = 0; i < slabs->count; i++)
    if (counts(&drafts[part_of(slabs, i)]))
      parts.patches[parts.patch_count++] = patch_of(&slabs->bits[i]);
  return parts;
}

struct cover_parts cover_only(struct arena *arena, const struct laid *with,
                              const struct laid *without, double perimeter) {
  struct slabs slabs = {.arena = arena, .scratch = arena_new(), .with = with, .without = without};
  size_t count;
  double *edges = edges_make(&slabs, perimeter, &count);
  for (size_t i = 0; i + 1 < count; i++)
    take_slab(&slabs, edges[i], edges[i + 1]);
  join_over_zero(&slabs, perimeter);
  struct cover_parts parts = parts_make(&slabs, perimeter);
  arena_free(slabs.scratch);
  return parts;
}

struct laid laid_scaled(struct arena *arena, const struct laid *laid, double factor) {
  struct laid scaled = {arena_alloc(arena, laid->count + 1, sizeof *scaled.strips), laid->count};
  for (size_t i = 0; i < laid->count; i++) {
    scaled.strips[i] = laid->strips[i];
    scaled.strips[i].s_from *= factor;
    scaled.strips[i].s_to *= factor;
  }
  return scaled;
}
