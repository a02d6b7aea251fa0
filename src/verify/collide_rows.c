/* collide_rows.c - the head beside the metal, many rows at a time.
 *
 * What a look leaves is used up by the way from row to row.  Where that is soon, as for an
 * electrode at its arc length, the next look is taken many rows ahead: H and the head stay within e
 * of the even way from the one place to the other, so that no distance in between is below the
 * bound of that way less e.  Proof: docs/verify.md, "Many rows at a time". */
#include <math.h>

#include "borelay/lanes.h"
#include "verify/collide_parts.h"

static const double SURE = 1e-9;       /* mm: far more than roundings of one way */
static const double SUM_SHARE = 1e-13; /* of a sum of so many ways: more than its roundings */

enum { STRIDE_LEAST = 6, STRIDE_FIRST = 16, REST = 256 };

/* A block's ways summed up: those of rows 0 .. i - 1 at [i]. */
struct ways {
  double moved[BLOCK_ROWS + 1], turned[BLOCK_ROWS + 1];
  size_t count;
};

static void ways_sum(struct ways *ways, const struct block *block) {
  ways->count = block->count;
  ways->moved[0] = ways->turned[0] = 0;
  for (size_t i = 0; i < block->count; i++) {
    ways->moved[i + 1] = ways->moved[i] + block->moved[i];
    ways->turned[i + 1] = ways->turned[i] + block->turned[i];
  }
}

struct walk {
  struct collide *collide;
  const struct block *block;
  const struct ways *ways;
  size_t from, to; /* rows in which nothing begins to count or ceases to */
};

/* What is left of a group's room at row k, having been that before row i. */
static double left_at(const struct walk *walk, const struct group *group, size_t i, size_t k) {
  const struct ways *ways = walk->ways;
  double lever = group->lever, all = ways->moved[ways->count] + lever * ways->turned[ways->count];
  return group->room - (ways->moved[k + 1] - ways->moved[i]) -
         lever * (ways->turned[k + 1] - ways->turned[i]) - SUM_SHARE * all;
}

/* The first row from i on that needs a look, or `to`. */
static size_t next_look(const struct walk *walk, const struct group *group, size_t i, double calm) {
  size_t least = i, most = walk->to;
  if (i < most && left_at(walk, group, i, most - 1) >= calm)
    return most;
  while (least < most) { /* what is left only falls */
    size_t middle = (least + most) / 2;
    if (left_at(walk, group, i, middle) >= calm)
      least = middle + 1;
    else
      most = middle;
  }
  return least;
}

static struct head head_before(const struct walk *walk, size_t i) {
  return i > walk->from ? block_head(walk->block, i - 1) : walk->collide->head;
}

/* Rows need no look up to the one that is returned; where a look ahead may well pass over more than
 * the room that is known exactly, it is not used up. */
static size_t pass(const struct walk *walk, enum group_id id, size_t i, double limit) {
  struct group *group = &walk->collide->groups[id];
  size_t next = next_look(walk, group, i, collide_calm(walk->collide, id, limit));
  bool looks_ahead = group->is_exact && next < walk->to && next - i < group->stride;
  if (looks_ahead)
    return i;
  if (next > i) {
    group->room = left_at(walk, group, i, next - 1);
    group->is_exact = false;
  }
  return next;
}

/* Is the head never farther than `most` from the even way between two places, in rows i .. j? */
LANES(bool, keeps_even_way,
      (const struct block *block, const struct head *a, const struct head *b, size_t i, size_t j,
       double lever, double most),
      (block, a, b, i, j, lever, most)) {
  const double *px = block->x + i, *py = block->y + i, *pz = block->z + i,
               *angle = block->angle + i;
  int count = (int)(j - i + 1), beyond = 0;
  double ax = a->h.x, ay = a->h.y, az = a->h.z, from = a->angle, step = 1.0 / count;
  double wx = (b->h.x - ax) * step, wy = (b->h.y - ay) * step, wz = (b->h.z - az) * step;
  double turn = (b->angle - from) * step;
  for (int k = 0; k < count; k++) {
    double n = k + 1;
    double x = px[k] - (ax + n * wx), y = py[k] - (ay + n * wy), z = pz[k] - (az + n * wz);
    double left = most - lever * fabs(angle[k] - (from + n * turn));
    beyond |= !(left >= 0) | !(x * x + y * y + z * z <= left * left);
  }
  return !beyond;
}

/* A look some rows ahead of i: the row behind those that need none, or i. */
static size_t look_ahead(const struct walk *walk, enum group_id id, size_t i, double limit) {
  struct collide *collide = walk->collide;
  struct group *group = &collide->groups[id];
  uint64_t row = walk->block->rows[i].index;
  if (id != GROUP_ELECTRODE) /* others keep so far off that looks are rare */
    return i;
  if (group->stride < STRIDE_LEAST) {
    if (row < group->retry)
      return i;
    group->stride = STRIDE_FIRST;
  }
  size_t j = i + group->stride - 1 < walk->to ? i + group->stride - 1 : walk->to - 1;
  if (j < i + STRIDE_LEAST - 1)
    return i;
  struct head a = head_before(walk, i), b = block_head(walk->block, j);
  double d0 = group->is_exact ? group->room : collide_look(collide, id, &a, limit);
  double d1 = collide_look(collide, id, &b, limit);
  double bound = collide_bound(&a, &b, group->lever, d0, d1) - SURE;
  if (bound >= limit)
    collide_keep(collide, id, (int64_t)walk->block->rows[j].index, fmin(d0, d1), limit);
  double spare = bound - collide_calm(collide, id, limit);
  if (!(spare >= 0) || !keeps_even_way(walk->block, &a, &b, i, j, group->lever, spare)) {
    group->stride /= 4;
    group->retry = row + REST;
    return i;
  }
  group->room = d1;
  group->is_exact = true;
  group->stride = group->stride < BLOCK_ROWS / 2 ? 2 * group->stride : BLOCK_ROWS;
  return j + 1;
}

/* The groups of one check are looked at in the order of rows: how far one may go on without a look
 * depends on the worst that any of them has met. */
static void judge_even(const struct walk *walk, enum group_id first, enum group_id last) {
  struct collide *collide = walk->collide;
  size_t at[GROUP_COUNT] = {0};
  double limit[GROUP_COUNT] = {0};
  for (enum group_id id = first; id <= last; id++) {
    limit[id] = collide_limit(collide, id);
    at[id] = pass(walk, id, walk->from, limit[id]);
  }
  for (;;) {
    enum group_id id = last > first && at[last] < at[first] ? last : first;
    size_t i = at[id];
    if (i == walk->to)
      return;
    size_t next = look_ahead(walk, id, i, limit[id]);
    if (next == i) {
      struct head head = block_head(walk->block, i), before = head_before(walk, i);
      collide_judge(collide, id, &before, &head, (int64_t)walk->block->rows[i].index, limit[id]);
      next = i + 1;
    }
    at[id] = pass(walk, id, next, limit[id]);
  }
}

static void judge_stretch(const struct walk *walk) {
  struct collide *collide = walk->collide;
  judge_even(walk, GROUP_BODIES, GROUP_BODIES);
  bool has_electrode = collide_is_judged(collide, GROUP_ELECTRODE);
  judge_even(walk, GROUP_TORCH, has_electrode ? GROUP_ELECTRODE : GROUP_TORCH);
  if (!has_electrode)
    collide_forget(&collide->groups[GROUP_ELECTRODE]);
  collide->row = walk->block->rows[walk->to - 1];
  collide->head = block_head(walk->block, walk->to - 1);
}

static bool is_even(const struct collide *collide, const struct borelay_row *row) {
  const struct borelay_row *before = &collide->row;
  return row->phase == before->phase && row->overlay == before->overlay &&
         row->layer == before->layer;
}

void collide_block(struct collide *collide, struct block *block) {
  struct ways ways;
  struct head head = block_head(block, 0);
  block->moved[0] = collide->is_begun ? collide_moved(&collide->head, &head, 0) : 0;
  block->turned[0] = collide->is_begun ? fabs(head.angle - collide->head.angle) : 0;
  ways_sum(&ways, block);
  for (size_t i = 0; i < block->count;) {
    struct walk walk = {collide, block, &ways, i, i};
    if (collide->is_begun && !collide->backs_off && is_even(collide, &block->rows[i]))
      for (walk.to = i + 1; walk.to < block->count && is_even(collide, &block->rows[walk.to]);)
        walk.to++;
    if (walk.to > i) {
      judge_stretch(&walk);
      i = walk.to;
      continue;
    }
    head = block_head(block, i);
    collide_row(collide, &block->rows[i++], &head);
  }
}
