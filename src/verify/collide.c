/* collide.c - bodies, torch, guards and electrode against the metal that stands at the moment.
 *
 * A distance changes by no more than the part moves, so a look that leaves room is good until the
 * part has moved by that much.  Where room is short every row is looked at.  Between two rows a
 * part whose points have speed V and, from the turning, acceleration A keeps D >= min(d0, d1) -
 * (V^2/L + A) h^2/8,      L = (d0 + d1 - V h)/2 > 0 since each distance from a place of the metal
 * has at most that second derivative; shorter stretches are looked at where that does not suffice.
 * Proof: docs/verify.md. */
#include "verify/collide.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/near.h"

static const double NEAR_WORST = 0.25; /* mm that the worst shown may be above the truth */
static const double ELECTRODE_GIVE = 0.1;

struct group {
  double room;  /* a lower bound of the least distance at the row before; -INFINITY: none */
  double lever; /* of its farthest point, shift included */
  double shift; /* to either side along the torch */
};

struct collide {
  const struct cell *cell;
  const struct lay_stack *stack;
  const struct solid *solid;
  struct findings *findings;
  struct group groups[GROUP_COUNT];
  size_t standing, electrode; /* layers of the stack that count as metal */
  size_t laying;              /* index in the stack; stack->count: none yet */
  bool resumes, is_begun, backs_off;
  vec3 left_at;      /* tip at the end of the last run */
  double arc_length; /* that the electrode keeps on this way */
  struct borelay_row row;
  struct head head;
};

/* -- a look ----------------------------------------------------------------------------------- */

static struct standing standing_for(const struct collide *collide, enum group_id id) {
  bool is_electrode = id == GROUP_ELECTRODE;
  return (struct standing){is_electrode ? collide->electrode : collide->standing, is_electrode};
}

/* The group's least distance with the head here, for every shift. */
static double head_distance(const struct collide *collide, enum group_id id,
                            const struct head *head, double limit) {
  const struct lie *lie = &collide->stack->lie;
  struct look look = {.cell = collide->cell,
                      .solid = collide->solid,
                      .standing = standing_for(collide, id),
                      .id = id,
                      .limit = limit,
                      .shift = collide->groups[id].shift,
                      .h = lie_to_part(lie, (vec2){head->h.x, head->h.y}),
                      .z = head->h.z - lie->at.z,
                      .torch = head->torch};
  return look_distance(&look);
}

/* -- between rows ----------------------------------------------------------------------------- */

static double moved(const struct head *a, const struct head *b, double lever) {
  double x = b->h.x - a->h.x, y = b->h.y - a->h.y, z = b->h.z - a->h.z;
  return sqrt(x * x + y * y + z * z) + lever * fabs(b->angle - a->angle);
}

/* Lower bound between two places with d0, d1 at them. */
static double bend_bound(const struct head *a, const struct head *b, double lever, double d0,
                         double d1) {
  double way = moved(a, b, lever), least = (d0 + d1 - way) / 2;
  if (!(least > 0))
    return least;
  double turn = b->angle - a->angle;
  return fmax(least, fmin(d0, d1) - (way * way / least + lever * turn * turn) / 8);
}

static double stretch_distance(const struct collide *collide, enum group_id id,
                               const struct head *a, const struct head *b, double d0, double d1,
                               double limit) {
  double lever = collide->groups[id].lever;
  double bound = bend_bound(a, b, lever, d0, d1);
  if (bound >= limit || fmin(d0, d1) < limit || moved(a, b, lever) < NEAR_FINEST)
    return fmin(d0, d1) < limit ? fmin(d0, d1) : bound;
  struct head middle = head_between(a, b, 0.5, collide->cell, &collide->stack->lie);
  double d = head_distance(collide, id, &middle, limit);
  return fmin(stretch_distance(collide, id, a, &middle, d0, d, limit),
              stretch_distance(collide, id, &middle, b, d, d1, limit));
}

static const char *const WHO[] = {"a body", "the torch or a guard", "the electrode"};

/* Room that is not even near to the worst needs no look: how much must be left for that. */
static double calm_room(const struct collide *collide, enum group_id id, double limit) {
  enum check_id check = id == GROUP_BODIES ? CHECK_CLEARANCE : CHECK_TORCH;
  const struct finding *finding = &collide->findings->items[check];
  double spare = finding->has_worst ? finding->distance - NEAR_WORST : 0;
  return limit + (spare > 0 ? spare : 0);
}

static void judge_group(struct collide *collide, enum group_id id, const struct head *from,
                        const struct head *head, int64_t row, double limit) {
  struct group *group = &collide->groups[id];
  enum check_id check = id == GROUP_BODIES ? CHECK_CLEARANCE : CHECK_TORCH;
  double way = moved(from, head, group->lever);
  if (group->room - way >= calm_room(collide, id, limit)) {
    group->room -= way;
    return;
  }
  double before = group->room;
  if (isinf(before) || before < limit + way)
    before = head_distance(collide, id, from, limit);
  group->room = head_distance(collide, id, head, limit);
  double least =
      way > 0 ? stretch_distance(collide, id, from, head, before, group->room, limit) : group->room;
  double rounding = NEAR_FINEST + 4 * ROUND_MM + group->lever * ROUND_RAD;
  if (!finding_least(collide->findings, check, row, least, limit, rounding))
    finding_fault(collide->findings, check, row, "%s is %.4f mm from metal, %.4g mm are asked for",
                  WHO[id], least, limit);
}

/* -- what stands ------------------------------------------------------------------------------ */

static void look_anew(struct collide *collide) {
  for (int id = 0; id < GROUP_COUNT; id++)
    collide->groups[id].room = -INFINITY;
}

static size_t stack_index(const struct lay_stack *stack, const struct borelay_row *row) {
  const struct lay *lay = lay_find(stack, row->overlay, row->layer);
  return lay ? (size_t)(lay - stack->items) : stack->count;
}

static bool is_at_wall(uint8_t phase) {
  return phase == BORELAY_TOUCH || phase == BORELAY_PREFLOW || phase == BORELAY_UPSLOPE ||
         phase == BORELAY_WELD_PHASE;
}

static void begin_layer(struct collide *collide, size_t index) {
  collide->laying = index;
  collide->standing = index + 1;
  collide->electrode = index;
  look_anew(collide);
}

/* After a layer's last run the electrode leaves it by `retract`; then the layer counts for it. */
static void end_back_off(struct collide *collide, const struct borelay_row *row,
                         const struct head *head) {
  vec3 a = collide->left_at, b = head->tip;
  double way =
      sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y) + (b.z - a.z) * (b.z - a.z));
  double retract = collide->stack->items[collide->laying].overlay->retract;
  if (way < retract - 1e-3 && row->phase == BORELAY_MOVE)
    return;
  collide->backs_off = false;
  collide->electrode = collide->laying + 1;
  look_anew(collide);
}

static double arc_length_of(const struct collide *collide, size_t index) {
  if (index >= collide->stack->count)
    return INFINITY;
  return collide->stack->items[index].procedure->arc_length;
}

static void follow(struct collide *collide, const struct borelay_row *row,
                   const struct head *head) {
  size_t index = stack_index(collide->stack, row);
  if (!collide->is_begun && collide->resumes && index < collide->stack->count)
    begin_layer(collide, index);
  if (is_at_wall(row->phase) && index < collide->stack->count && index != collide->laying)
    begin_layer(collide, index);
  bool leaves = collide->laying < collide->stack->count && index != collide->laying &&
                stack_index(collide->stack, &collide->row) == collide->laying;
  if (collide->is_begun && leaves) {
    collide->backs_off = true;
    collide->left_at = head->tip;
  } else if (collide->backs_off) {
    end_back_off(collide, row, head);
  }
  /* on a way from one procedure to another the lesser of both */
  double length = fmin(arc_length_of(collide, index), arc_length_of(collide, collide->laying));
  if (length != collide->arc_length) {
    collide->arc_length = length;
    collide->groups[GROUP_ELECTRODE].room = -INFINITY;
  }
}

/* -- making it -------------------------------------------------------------------------------- */

static double lever_of(vec3 place) {
  return num_hypot(place.x, place.y);
}

struct collide *collide_new(struct arena *arena, const struct job *job,
                            const struct lay_stack *stack, struct findings *findings,
                            bool resumes) {
  struct collide *collide = arena_alloc(arena, 1, sizeof *collide);
  const struct cell *cell = job->cell;
  *collide = (struct collide){.cell = cell,
                              .stack = stack,
                              .solid = solid_make(arena, job, stack),
                              .findings = findings,
                              .laying = stack->count,
                              .resumes = resumes,
                              .arc_length = INFINITY};
  double lever = fmax(lever_of(cell->torch.from), lever_of(cell->torch.to));
  for (size_t i = 0; i < cell->guard_count; i++)
    lever = fmax(lever, fmax(lever_of(cell->guards[i].from), lever_of(cell->guards[i].to)));
  double shift = cell->correction;
  collide->groups[GROUP_BODIES] = (struct group){-INFINITY, shift, shift};
  collide->groups[GROUP_TORCH] = (struct group){-INFINITY, lever + shift, shift};
  collide->groups[GROUP_ELECTRODE] = (struct group){-INFINITY, cell->reach, 0};
  return collide;
}

/* -- rows ------------------------------------------------------------------------------------- */

static double limit_of(const struct collide *collide, enum group_id id) {
  switch (id) {
  case GROUP_BODIES:
    return collide->cell->clearance;
  case GROUP_TORCH:
    return collide->cell->torch_clearance;
  case GROUP_ELECTRODE:
  case GROUP_COUNT:
    break;
  }
  return collide->arc_length - ELECTRODE_GIVE;
}

/* The electrode is meant to touch in a touch, and counts once there is a layer to keep off. */
static bool is_judged(const struct collide *collide, enum group_id id) {
  bool touches = collide->is_begun && collide->row.phase == BORELAY_TOUCH;
  return id != GROUP_ELECTRODE || (isfinite(collide->arc_length) && !touches);
}

static void judge_one(struct collide *collide, const struct borelay_row *row,
                      const struct head *head) {
  if (!collide->is_begun)
    collide->head = *head;
  /* the way from the row before belongs to that row's phase and metal */
  for (int id = 0; id < GROUP_COUNT; id++)
    if (is_judged(collide, (enum group_id)id))
      judge_group(collide, (enum group_id)id, &collide->head, head, (int64_t)row->index,
                  limit_of(collide, (enum group_id)id));
  follow(collide, row, head);
  collide->is_begun = true;
  collide->row = *row;
  collide->head = *head;
}

/* The first row of a block from i on that needs a look, or `to`; the room is what is left there.
 * The way is taken off row by row, as judge_group() does it. */
static size_t skip(struct group *group, const struct block *block, size_t i, size_t to,
                   double calm) {
  double room = group->room, lever = group->lever;
  for (; i < to; i++) {
    double left = room - (block->moved[i] + lever * block->turned[i]);
    if (!(left >= calm))
      break;
    room = left;
  }
  group->room = room;
  return i;
}

/* Rows in which nothing begins to count or ceases to.  The groups of one check are looked at in the
 * order of rows, since how far one may skip depends on the worst that any of them has met; it never
 * grows, so what was skipped before a look of another stays skipped. */
static void judge_even(struct collide *collide, const struct block *block, size_t from, size_t to,
                       enum group_id first, enum group_id last) {
  size_t at[GROUP_COUNT] = {0};
  double limit[GROUP_COUNT] = {0};
  for (enum group_id id = first; id <= last; id++) {
    limit[id] = limit_of(collide, id);
    at[id] = skip(&collide->groups[id], block, from, to, calm_room(collide, id, limit[id]));
  }
  for (;;) {
    enum group_id id = last > first && at[last] < at[first] ? last : first;
    size_t i = at[id];
    if (i == to)
      return;
    struct head head = block_head(block, i);
    struct head before = i > from ? block_head(block, i - 1) : collide->head;
    judge_group(collide, id, &before, &head, (int64_t)block->rows[i].index, limit[id]);
    at[id] = skip(&collide->groups[id], block, i + 1, to, calm_room(collide, id, limit[id]));
  }
}

static void judge_stretch(struct collide *collide, const struct block *block, size_t from,
                          size_t to) {
  judge_even(collide, block, from, to, GROUP_BODIES, GROUP_BODIES);
  judge_even(collide, block, from, to, GROUP_TORCH,
             is_judged(collide, GROUP_ELECTRODE) ? GROUP_ELECTRODE : GROUP_TORCH);
  collide->row = block->rows[to - 1];
  collide->head = block_head(block, to - 1);
}

static bool is_even(const struct collide *collide, const struct borelay_row *row) {
  const struct borelay_row *before = &collide->row;
  return row->phase == before->phase && row->overlay == before->overlay &&
         row->layer == before->layer;
}

void collide_block(struct collide *collide, struct block *block) {
  struct head head = block_head(block, 0);
  block->moved[0] = collide->is_begun ? moved(&collide->head, &head, 0) : 0;
  block->turned[0] = collide->is_begun ? fabs(head.angle - collide->head.angle) : 0;
  for (size_t i = 0; i < block->count;) {
    size_t to = i;
    if (collide->is_begun && !collide->backs_off && is_even(collide, &block->rows[i]))
      for (to = i + 1; to < block->count && is_even(collide, &block->rows[to]);)
        to++;
    if (to > i) {
      judge_stretch(collide, block, i, to);
      i = to;
      continue;
    }
    head = block_head(block, i);
    judge_one(collide, &block->rows[i++], &head);
  }
}
