/* collide.c - bodies, torch, guards and electrode against the metal that stands at the moment.
 *
 * A distance changes by no more than the part moves, so a look that leaves room is good until the
 * part has moved by that much.  Where room is short every row is looked at.  Between two rows a
 * part whose points have speed V and, from the turning, acceleration A keeps D >= min(d0, d1) -
 * (V^2/L + A) h^2/8,      L = (d0 + d1 - V h)/2 > 0 since each distance from a place of the metal
 * has at most that second derivative; shorter stretches are looked at where that does not suffice.
 * Proof: docs/verify.md. */
#include "verify/collide_parts.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static const double NEAR_WORST = 0.1; /* mm that the worst shown may be above the truth */
static const double ELECTRODE_GIVE = 0.1;

/* -- a look ----------------------------------------------------------------------------------- */

static struct standing standing_for(const struct collide *collide, enum group_id id) {
  bool is_electrode = id == GROUP_ELECTRODE;
  return (struct standing){is_electrode ? collide->electrode : collide->standing, is_electrode};
}

double collide_look(const struct collide *collide, enum group_id id, const struct head *head,
                    double limit) {
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

double collide_moved(const struct head *a, const struct head *b, double lever) {
  double x = b->h.x - a->h.x, y = b->h.y - a->h.y, z = b->h.z - a->h.z;
  return sqrt(x * x + y * y + z * z) + lever * fabs(b->angle - a->angle);
}

double collide_bound(const struct head *a, const struct head *b, double lever, double d0,
                     double d1) {
  double way = collide_moved(a, b, lever), least = (d0 + d1 - way) / 2;
  if (!(least > 0))
    return least;
  double turn = b->angle - a->angle;
  return fmax(least, fmin(d0, d1) - (way * way / least + lever * turn * turn) / 8);
}

/* Looks between two rows.  At speeds that the axes allow some dozens do; a head that leaps by
 * metres or by many turns in a tick would take millions. */
enum { LOOKS_BETWEEN = 1000 };

static double stretch_distance(struct collide *collide, enum group_id id, const struct head *a,
                               const struct head *b, double d0, double d1, double limit) {
  double lever = collide->groups[id].lever;
  double bound = collide_bound(a, b, lever, d0, d1);
  if (bound >= limit || fmin(d0, d1) < limit || collide_moved(a, b, lever) < NEAR_FINEST)
    return fmin(d0, d1) < limit ? fmin(d0, d1) : bound;
  if (collide->looks_left == 0) {
    collide->is_untold = true;
    return fmin(d0, d1);
  }
  collide->looks_left--;
  struct head middle = head_between(a, b, 0.5, collide->cell, &collide->stack->lie);
  double d = collide_look(collide, id, &middle, limit);
  return fmin(stretch_distance(collide, id, a, &middle, d0, d, limit),
              stretch_distance(collide, id, &middle, b, d, d1, limit));
}

static const char *const WHO[] = {"a body", "the torch or a guard", "the electrode"};

static enum check_id check_of(enum group_id id) {
  return id == GROUP_BODIES ? CHECK_CLEARANCE : CHECK_TORCH;
}

double collide_calm(const struct collide *collide, enum group_id id, double limit) {
  const struct finding *finding = &collide->findings->items[check_of(id)];
  double spare = finding->has_worst ? finding->distance - NEAR_WORST : 0;
  return limit + (spare > 0 ? spare : 0);
}

bool collide_keep(struct collide *collide, enum group_id id, int64_t row, double least,
                  double limit) {
  double lever = collide->groups[id].lever;
  return finding_least(collide->findings, check_of(id), row, least, limit,
                       NEAR_FINEST + 4 * ROUND_MM + lever * ROUND_RAD);
}

static void tell_near(struct collide *collide, enum group_id id, int64_t row, double least,
                      double limit) {
  if (least < 0)
    finding_fault(collide->findings, check_of(id), row, "%s strikes metal, %.4g mm are asked for",
                  WHO[id], limit);
  else
    finding_fault(collide->findings, check_of(id), row,
                  "%s is %.4f mm from metal, %.4g mm are asked for", WHO[id], least, limit);
}

void collide_judge(struct collide *collide, enum group_id id, const struct head *from,
                   const struct head *head, int64_t row, double limit) {
  struct group *group = &collide->groups[id];
  double way = collide_moved(from, head, group->lever);
  if (group->room - way >= collide_calm(collide, id, limit)) {
    group->room -= way;
    group->is_exact &= way == 0;
    return;
  }
  double before = group->room;
  if (!group->is_exact && before < limit + way)
    before = collide_look(collide, id, from, limit);
  group->room = collide_look(collide, id, head, limit);
  group->is_exact = true;
  collide->looks_left = LOOKS_BETWEEN;
  collide->is_untold = false;
  double least =
      way > 0 ? stretch_distance(collide, id, from, head, before, group->room, limit) : group->room;
  if (!collide_keep(collide, id, row, least, limit))
    tell_near(collide, id, row, least, limit);
  else if (collide->is_untold)
    finding_fault(collide->findings, check_of(id), row,
                  "the head leaps so far in a tick that what %s passes on the way cannot be told",
                  WHO[id]);
}

/* -- what stands ------------------------------------------------------------------------------ */

void collide_forget(struct group *group) {
  group->room = -INFINITY;
  group->is_exact = false;
}

static void look_anew(struct collide *collide) {
  for (int id = 0; id < GROUP_COUNT; id++)
    collide_forget(&collide->groups[id]);
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
    collide_forget(&collide->groups[GROUP_ELECTRODE]);
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
  collide->groups[GROUP_BODIES] = (struct group){.lever = shift, .shift = shift};
  collide->groups[GROUP_TORCH] = (struct group){.lever = lever + shift, .shift = shift};
  collide->groups[GROUP_ELECTRODE] = (struct group){.lever = cell->reach};
  look_anew(collide);
  return collide;
}

/* -- rows ------------------------------------------------------------------------------------- */

double collide_limit(const struct collide *collide, enum group_id id) {
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
bool collide_is_judged(const struct collide *collide, enum group_id id) {
  bool touches = collide->is_begun && collide->row.phase == BORELAY_TOUCH;
  return id != GROUP_ELECTRODE || (isfinite(collide->arc_length) && !touches);
}

void collide_row(struct collide *collide, const struct borelay_row *row, const struct head *head) {
  if (!collide->is_begun)
    collide->head = *head;
  /* the way from the row before belongs to that row's phase and metal */
  for (int id = 0; id < GROUP_COUNT; id++)
    if (!collide_is_judged(collide, (enum group_id)id))
      collide_forget(&collide->groups[id]);
    else
      collide_judge(collide, (enum group_id)id, &collide->head, head, (int64_t)row->index,
                    collide_limit(collide, (enum group_id)id));
  follow(collide, row, head);
  collide->is_begun = true;
  collide->row = *row;
  collide->head = *head;
}
