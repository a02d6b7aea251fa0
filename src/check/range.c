/* range.c - H inside the shell, outside the boxes, over continuous motion.
 *
 * A controller runs straight between rows and so leaves the motion by at most A T^2 / 8 (the error
 * of linear interpolation: de Boor, A Practical Guide to Splines, 1978, chapter II), where A is the
 * largest acceleration of H in the phase, and by dv T / 4 at a step of velocity; phases begin and
 * end on rows, so a chord has one phase.  No distance changes faster than H moves, so each gives
 * way by as much.
 *
 * A phase's pieces are first looked at where they begin and end; those that may hold more inside
 * are held back, some of them at a time, until others have raised the worst: of a sway that comes
 * nearer cycle by cycle only the last cycles are searched, and in most phases, whose pieces all
 * hold less than an earlier phase, nothing is. */
#include "check/range.h"

#include <math.h>

#include "borelay/arena.h"
#include "check/boxes.h"
#include "check/shell.h"

static const double PLACE_TOLERANCE = 1e-6; /* mm */
static const double ROUNDED_UP = 1 + 1e-9;  /* of an acceleration */
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

static void values_of(const struct cell *cell, struct pose h, double *values) {
  values[RANGE_OUTER] = values[RANGE_HOLE] = values[RANGE_BOXES] = NOT_GIVEN;
  if (cell->has_working_range)
    shell_values(cell, h, &values[RANGE_OUTER]);
  if (cell->keep_out_count > 0)
    values[RANGE_BOXES] = -boxes_distance(cell, h, NULL);
}

static void range_values(const void *context, double t, double *values) {
  const struct range_context *c = context;
  values_of(c->cell, piece_at(c->piece, t), values);
}

static void bounds_rough(const struct cell *cell, const struct jet_range *range, double *bounds) {
  bounds[RANGE_OUTER] = bounds[RANGE_HOLE] = bounds[RANGE_BOXES] = NOT_GIVEN;
  if (cell->has_working_range)
    shell_bounds_rough(cell, range, &bounds[RANGE_OUTER]);
  if (cell->keep_out_count > 0)
    bounds[RANGE_BOXES] = -boxes_bound_rough(cell, range);
}

static void bounds_of(const struct cell *cell, const struct seen_stretch *stretch, double *bounds) {
  bounds[RANGE_OUTER] = bounds[RANGE_HOLE] = bounds[RANGE_BOXES] = NOT_GIVEN;
  if (cell->has_working_range)
    shell_bounds(cell, stretch, &bounds[RANGE_OUTER]);
  if (cell->keep_out_count > 0)
    bounds[RANGE_BOXES] = -boxes_bound(cell, stretch);
}

static void range_bounds(const void *context, double ta, double tb, double *bounds) {
  const struct range_context *c = context;
  struct jet_stretch jets;
  piece_jet_stretch(c->piece, ta, tb, &jets);
  struct seen_stretch stretch = {ta, tb, &jets};
  bounds_of(c->cell, &stretch, bounds);
}

struct range_judge range_begin(const struct scene *scene) {
  size_t most = is_asked(scene->motion->plan->job->cell) ? RANGE_HELD_MOST : 0;
  struct range_held *held = arena_room(scene->arena, most, sizeof *held);
  return (struct range_judge){.scene = scene, .held = held, .worst = -HUGE_VAL};
}

/* -- many half sways ----------------------------------------------------------------------------
 */

static void swings_bounds(const struct cell *cell, const struct swings *swings, double *bounds) {
  const struct piece *centre = &swings->centre;
  struct jet_stretch jets;
  piece_jet_stretch(centre, centre->t0, centre->t1, &jets);
  struct swung swung = {&jets, centre->t1 - centre->t0, swings->amplitude};
  bounds[RANGE_OUTER] = bounds[RANGE_HOLE] = bounds[RANGE_BOXES] = NOT_GIVEN;
  if (cell->has_working_range)
    shell_bounds_swung(cell, &swung, &bounds[RANGE_OUTER]);
  if (cell->keep_out_count > 0)
    bounds[RANGE_BOXES] = -boxes_bound_swung(cell, &swung);
}

static void search_piece(struct range_judge *judge, const struct piece *piece,
                         const double *bounds) {
  struct range_context context = {cell_of(judge), piece};
  struct subject subject = {range_values, range_bounds, &context, judge->phase};
  search_bounded(&judge->phase_search, &subject, piece->t0, piece->t1, bounds);
}

static void search_sway(struct range_judge *judge, const struct swings *swings) {
  struct piece pieces[SWAY_PIECES];
  size_t count = swings_sway(swings, 0, pieces);
  for (size_t i = 0; i < count; i++) {
    double bounds[RANGE_PARTS];
    struct range_context context = {cell_of(judge), &pieces[i]};
    range_bounds(&context, pieces[i].t0, pieces[i].t1, bounds);
    if (search_may_raise(&judge->phase_search, bounds))
      search_piece(judge, &pieces[i], bounds);
  }
}

/* By halves, the more promising one first, down to a single sway. */
static void search_swings(struct range_judge *judge, const struct swings *swings) {
  if (swings->count == 2) {
    search_sway(judge, swings);
    return;
  }
  struct swings halves[2] = {swings_halved(swings, 0), swings_halved(swings, 1)};
  double bounds[2][RANGE_PARTS];
  const struct search *search = &judge->phase_search;
  for (int i = 0; i < 2; i++)
    swings_bounds(cell_of(judge), &halves[i], bounds[i]);
  int first = search_room(search, bounds[1]) > search_room(search, bounds[0]);
  for (int i = 0; i < 2; i++)
    if (!search_is_settled(search, bounds[i == 0 ? first : 1 - first]))
      search_swings(judge, &halves[i == 0 ? first : 1 - first]);
}

/* -- what is held back ------------------------------------------------------------------------- */

/* What has the most room is searched; the rest keep their order. */
static void held_search(struct range_judge *judge) {
  const struct search *search = &judge->phase_search;
  size_t best = 0;
  for (size_t i = 1; i < judge->held_count; i++)
    if (search_room(search, judge->held[i].bounds) > search_room(search, judge->held[best].bounds))
      best = i;
  const struct range_held *held = &judge->held[best];
  if (held->swings.count > 0)
    search_swings(judge, &held->swings);
  else
    search_piece(judge, &held->swings.centre, held->bounds);
  judge->held_count--;
  for (size_t i = best; i < judge->held_count; i++)
    judge->held[i] = judge->held[i + 1];
}

static bool may_raise(const struct search *search, const struct range_held *held) {
  return held->swings.count > 0 ? !search_is_settled(search, held->bounds)
                                : search_may_raise(search, held->bounds);
}

/* Whether the worst of all phases may be in there, chords included. */
static bool may_be_worst(const struct range_judge *judge, const double *bounds, double chord) {
  for (int part = 0; part < RANGE_PARTS; part++)
    if (!(bounds[part] + chord <= judge->worst))
      return true;
  return false;
}

static void held_drop(struct range_judge *judge, double chord) {
  size_t kept = 0;
  for (size_t i = 0; i < judge->held_count; i++) {
    const struct range_held *held = &judge->held[i];
    if (!may_raise(&judge->phase_search, held) || !may_be_worst(judge, held->bounds, chord))
      continue;
    if (kept < i)
      judge->held[kept] = *held;
    kept++;
  }
  judge->held_count = kept;
}

static void held_add(struct range_judge *judge, const struct swings *swings, const double *bounds) {
  if (judge->held_count == RANGE_HELD_MOST)
    held_drop(judge, HUGE_VAL); /* what chords will cost is not known yet */
  if (judge->held_count == RANGE_HELD_MOST)
    held_search(judge);
  struct range_held *held = &judge->held[judge->held_count++];
  held->swings = *swings;
  for (int part = 0; part < RANGE_PARTS; part++)
    held->bounds[part] = bounds[part];
}

static void phase_settle(struct range_judge *judge) {
  if (!judge->phase)
    return;
  double tick = cell_of(judge)->tick;
  double chord = judge->accel * tick * tick / 8 + judge->velocity_step * tick / 4;
  for (held_drop(judge, chord); judge->held_count > 0; held_drop(judge, chord))
    held_search(judge);
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

static void note_step(struct range_judge *judge, const struct jet *before,
                      const struct jet *after) {
  double sum = 0;
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    double step = after->d[axis][1] - before->d[axis][1];
    sum += step * step;
  }
  judge->velocity_step = fmax(judge->velocity_step, sqrt(sum));
}

static void look(struct range_judge *judge, const struct jet *jet, double t) {
  double values[RANGE_PARTS];
  values_of(cell_of(judge), jet_place(jet), values);
  for (size_t part = 0; part < RANGE_PARTS; part++)
    search_raise(&judge->phase_search, part, values[part], t, judge->phase);
}

/* By the three axes apart; where that may be more than was seen before, as closely as it is known.
 */
static void note_accel(struct range_judge *judge, const struct piece *piece,
                       const struct jet_stretch *whole) {
  double sum = 0;
  for (int axis = AXIS_X; axis <= AXIS_Z; axis++) {
    struct range accel = whole->all.d[axis][2];
    sum += fmax(accel.lo * accel.lo, accel.hi * accel.hi);
  }
  if (sqrt(sum) > judge->accel * ROUNDED_UP)
    judge->accel = fmax(judge->accel, piece_point_bound(piece, piece->t0, piece->t1, 0).accel);
}

static void note_ends(struct range_judge *judge, const struct jet_stretch *whole) {
  if (judge->has_last)
    note_step(judge, &judge->last, &whole->from);
  judge->has_last = true;
  judge->last = whole->to;
}

/* Most pieces can be seen to hold nothing worse by the box that holds H. */
static void look_at_piece(struct range_judge *judge, const struct piece *piece,
                          const struct jet_stretch *whole) {
  const struct cell *cell = cell_of(judge);
  double bounds[RANGE_PARTS];
  bounds_rough(cell, &whole->all, bounds);
  if (!search_may_raise(&judge->phase_search, bounds))
    return;
  look(judge, &whole->from, piece->t0);
  look(judge, &whole->to, piece->t1);
  struct seen_stretch stretch = {piece->t0, piece->t1, whole};
  bounds_of(cell, &stretch, bounds);
  if (search_may_raise(&judge->phase_search, bounds))
    held_add(judge, &(struct swings){.centre = *piece}, bounds);
}

void range_piece(struct range_judge *judge, const struct phase *phase, const struct piece *piece,
                 const struct jet_stretch *whole) {
  if (!is_asked(cell_of(judge)))
    return;
  if (phase != judge->phase)
    phase_begin(judge, phase);
  note_ends(judge, whole);
  note_accel(judge, piece, whole);
  look_at_piece(judge, piece, whole);
}

void range_swings(struct range_judge *judge, const struct phase *phase,
                  const struct swings *swings) {
  if (!is_asked(cell_of(judge)))
    return;
  if (phase != judge->phase)
    phase_begin(judge, phase);
  struct jet_stretch whole;
  swings_stretch(swings, &whole);
  note_ends(judge, &whole);
  struct motion_bound bound = swings_bound(swings);
  judge->accel = fmax(judge->accel, motion_point_bound(&bound, 0).accel);
  double bounds[RANGE_PARTS];
  swings_bounds(cell_of(judge), swings, bounds);
  if (!search_is_settled(&judge->phase_search, bounds))
    held_add(judge, swings, bounds);
}

static struct check_result shell_result(const struct range_judge *judge) {
  const struct cell *cell = cell_of(judge);
  bool passed = judge->worst <= PLACE_TOLERANCE;
  struct check_result result = finding_at(judge->scene, "working-range", &judge->peak, passed, "H");
  bool outer = judge->worst_part == RANGE_OUTER;
  result.limit = outer ? cell->range_radius.hi : cell->range_radius.lo;
  result.worst = outer ? result.limit + judge->worst : result.limit - judge->worst;
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
  struct check_result result =
      finding_at(judge->scene, "working-range", &judge->peak, passed, what);
  result.worst = passed || judge->worst > 0 ? -judge->worst : 0;
  result.limit = 0;
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
