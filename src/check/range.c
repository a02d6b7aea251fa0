/* range.c - H inside the shell, outside the boxes, over continuous motion.
 *
 * A controller runs straight between rows and so leaves the motion by at most A T^2 / 8 (the error
 * of linear interpolation: de Boor, A Practical Guide to Splines, 1978, chapter II), where A is the
 * largest acceleration of H in the phase, and by dv T / 4 at a step of velocity; phases begin and
 * end on rows, so a chord has one phase.  No distance changes faster than H moves, so each gives
 * way by as much. */
#include "check/range.h"

#include <math.h>

#include "borelay/arena.h"
#include "check/boxes.h"
#include "check/shell.h"

static const double PLACE_TOLERANCE = 1e-6; /* mm */
static const double NOT_GIVEN = -1e9;       /* mm: room without end */

struct range_context {
  const struct cell *cell;
  const struct piece *piece;
};

static const struct cell *cell_of(const struct range_judge *judge) {
  return judge->scene->motion->plan->job->cell;
}

static bool is_asked(const struct cell *cell) {
  return cell->has_working_range || cell->keep_out_count > 0;
}

static void range_values(const void *context, double t, double *values) {
  const struct range_context *c = context;
  values[RANGE_OUTER] = values[RANGE_HOLE] = values[RANGE_BOXES] = NOT_GIVEN;
  if (c->cell->has_working_range)
    shell_values(c->cell, c->piece, t, &values[RANGE_OUTER]);
  if (c->cell->keep_out_count > 0)
    values[RANGE_BOXES] = -boxes_distance(c->cell, piece_at(c->piece, t), NULL);
}

static void range_bounds(const void *context, double ta, double tb, double *bounds) {
  const struct range_context *c = context;
  struct jet_range jet = piece_jet_range(c->piece, ta, tb);
  bounds[RANGE_OUTER] = bounds[RANGE_HOLE] = bounds[RANGE_BOXES] = NOT_GIVEN;
  if (c->cell->has_working_range)
    shell_bounds(c->cell, c->piece, ta, tb, &jet, &bounds[RANGE_OUTER]);
  if (c->cell->keep_out_count > 0)
    bounds[RANGE_BOXES] = -boxes_bound(c->cell, c->piece, ta, tb, &jet);
}

struct range_judge range_begin(const struct scene *scene) {
  return (struct range_judge){.scene = scene, .worst = -HUGE_VAL};
}

static void phase_settle(struct range_judge *judge) {
  if (!judge->phase)
    return;
  double tick = cell_of(judge)->tick;
  double chord = judge->accel * tick * tick / 8 + judge->velocity_step * tick / 4;
  for (int part = 0; part < RANGE_PARTS; part++) {
    const struct peak *peak = &judge->phase_search.best[part];
    if (peak->value + chord <= judge->worst)
      continue;
    judge->worst = peak->value + chord;
    judge->worst_part = (enum range_part)part;
    judge->peak = *peak;
  }
}

static void phase_begin(struct range_judge *judge, const struct phase *phase) {
  phase_settle(judge);
  judge->phase = phase;
  judge->accel = judge->velocity_step = 0;
  search_begin(&judge->phase_search, RANGE_PARTS);
  for (int part = 0; part < RANGE_PARTS; part++)
    judge->phase_search.tolerance[part] = PLACE_TOLERANCE;
}

static void note_step(struct range_judge *judge, const struct piece *piece) {
  struct jet before = piece_jet(&judge->last, judge->last.t1), after = piece_jet(piece, piece->t0);
  double sum = 0;
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    double step = after.d[axis][1] - before.d[axis][1];
    sum += step * step;
  }
  judge->velocity_step = fmax(judge->velocity_step, sqrt(sum));
}

void range_piece(struct range_judge *judge, const struct phase *phase, const struct piece *piece) {
  const struct cell *cell = cell_of(judge);
  if (!is_asked(cell))
    return;
  if (phase != judge->phase)
    phase_begin(judge, phase);
  if (judge->has_last)
    note_step(judge, piece);
  judge->has_last = true;
  judge->last = *piece;
  judge->accel = fmax(judge->accel, piece_point_bound(piece, piece->t0, piece->t1, 0).accel);
  struct range_context context = {cell, piece};
  struct subject subject = {range_values, range_bounds, &context, phase};
  search_stretch(&judge->phase_search, &subject, piece->t0, piece->t1);
}

static struct check_result shell_result(const struct range_judge *judge) {
  const struct cell *cell = cell_of(judge);
  struct check_result result = finding_at(judge->scene, "working-range", &judge->peak, "H");
  bool outer = judge->worst_part == RANGE_OUTER;
  result.limit = outer ? cell->range_radius.hi : cell->range_radius.lo;
  result.worst = outer ? result.limit + judge->worst : result.limit - judge->worst;
  result.passed = judge->worst <= PLACE_TOLERANCE;
  return result;
}

/* The boxes are closed: H on a face is inside.  What is nearer than the search can tell is taken
 * for being on it. */
static struct check_result boxes_result(const struct range_judge *judge) {
  const struct keep_out *box = NULL;
  boxes_distance(cell_of(judge), peak_pose(judge->scene, &judge->peak), &box);
  bool passed = judge->worst < -PLACE_TOLERANCE;
  const char *what =
      arena_format(judge->scene->arena, "H %s keep_out %s", passed ? "to" : "in", box->name);
  struct check_result result = finding_at(judge->scene, "working-range", &judge->peak, what);
  result.worst = passed || judge->worst > 0 ? -judge->worst : 0;
  result.limit = 0;
  result.passed = passed;
  result.note_at = box->origin.head;
  result.note = arena_format(judge->scene->arena, "keep_out `%s` stands here", box->name);
  return result;
}

struct check_result range_end(struct range_judge *judge) {
  phase_settle(judge);
  if (!judge->phase)
    return finding_not_asked("working-range", "mm");
  struct check_result result =
      judge->worst_part == RANGE_BOXES ? boxes_result(judge) : shell_result(judge);
  result.unit = "mm";
  return result;
}
