/* Random jobs whose torch sways: the working range, the axes and the zones as the checks tell them,
 * which pass over most pieces by bounds, against every piece looked at all along.  Many half sways
 * judged at once come to the same as piece by piece. */
#include "check/axes.h"
#include "check/collide.h"
#include "check/judged_job.h"
#include "check/range.h"
#include "check/tip.h"
#include "support/close.h"
#include "support/random.h"

#define SEED 8114u
enum { JOBS = 10, LOOKS = 100 }; /* places looked at of each piece */

static const char *const JOB =
    "cell c {\n"
    "  tick 8 ms; park (20, -160, 700) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach %d mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm }\n"
    "  body lower { radius 20 mm; heights -350 .. 0 mm }\n"
    "  working_range { from (%d, %d, %d) mm; radius 20 .. 1600 mm }\n"
    "  keep_out post { from (%d, %d, 200) mm; to (%d, %d, %d) mm }\n"
    "  keep_out fence { from (-900, 700, 0) mm; to (900, 900, 1400) mm }\n"
    "}\n"
    "procedure first {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed %d mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 6 mm; arc_length 3 mm\n"
    "  oscillation { width %d mm; frequency 1 Hz; dwell %d ms }\n"
    "  preflow 1 s; upslope 0.5 s; downslope 1 s; postflow 1 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "}\n"
    "shape seal round { diameter %d mm; centre (6, 2) mm }\n"
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay wall { wall seal; depths 20 .. %d mm; procedure first; overlap 30 %%; pattern %s\n"
    "  zone port { arc off; cross_bore { diameter 12 mm; depth %d mm; toward %d deg }; margin 1 mm "
    "}\n"
    "  zone sump { arc off; cross_bore { diameter 10 mm; depth %d mm; toward %d deg } }\n"
    "}\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm; at (30, 10, 5) mm; turned 4 deg "
    "}\n";

static struct judged judge_random(struct random *random) {
  static const char *const patterns[] = {"spiral", "stepped", "rings"};
  int x = random_whole(random, -300, -110), y = random_whole(random, -300, 300);
  char text[4000];
  int floor_depth = random_whole(random, 36, 60);
  snprintf(text, sizeof text, JOB, random_whole(random, 25, 45), random_whole(random, -400, 400),
           random_whole(random, -900, -300), random_whole(random, 300, 900), x, y,
           x + random_whole(random, 1, 40), y + random_whole(random, 1, 80),
           random_whole(random, 300, 900), random_whole(random, 150, 400),
           random_whole(random, 2, 6), random_whole(random, 20, 80), random_whole(random, 120, 170),
           floor_depth, patterns[random_whole(random, 0, 2)], random_whole(random, 24, 34),
           random_whole(random, 0, 359), floor_depth + random_whole(random, 5, 9),
           random_whole(random, 0, 359));
  return judge(text);
}

struct seen {        /* the worst of what every piece shows */
  double outer, box; /* mm beyond the shell, into a box: with the share of the rows' chords */
  double outer_phase, box_phase, accel;
  double rate[AXIS_COUNT][4];
  double spare; /* least allowance */
};

static double box_inside(const struct keep_out *box, struct pose h) {
  double x = fmax(box->lo.x - h.x, h.x - box->hi.x), y = fmax(box->lo.y - h.y, h.y - box->hi.y),
         z = fmax(box->lo.z - h.z, h.z - box->hi.z);
  double most = fmax(x, fmax(y, z));
  return most <= 0 ? -most : -sqrt(pow(fmax(x, 0), 2) + pow(fmax(y, 0), 2) + pow(fmax(z, 0), 2));
}

static double allowance_of(const struct judged *made, const struct allowance *allowance,
                           struct pose h) {
  const struct cell *cell = made->plan->job->cell;
  const struct contour *contour = made->plan->overlays[0].contour;
  double x = h.x + cell->reach * cos(h.head) - contour->centre.x;
  double y = h.y + cell->reach * sin(h.head) - contour->centre.y;
  double depth = made->plan->placement.at.z + cell->drop - h.z;
  return allowance_at(allowance, contour_s_at_angle(contour, atan2(y, x)), depth);
}

static void look(struct seen *seen, const struct judged *made, const struct allowance *allowance,
                 const struct phase *phase, const struct piece *piece, double t) {
  const struct cell *cell = made->plan->job->cell;
  struct jet jet = piece_jet(piece, t);
  struct pose h = piece_at(piece, t);
  double away = sqrt(pow(h.x - cell->range_from.x, 2) + pow(h.y - cell->range_from.y, 2) +
                     pow(h.z - cell->range_from.z, 2));
  if (phase->kind == PHASE_WELD)
    seen->outer_phase = fmax(seen->outer_phase, away - cell->range_radius.hi);
  for (size_t i = 0; phase->kind == PHASE_WELD && i < cell->keep_out_count; i++)
    seen->box_phase = fmax(seen->box_phase, box_inside(&cell->keep_outs[i], h));
  double accel =
      sqrt(pow(jet.d[AXIS_X][2], 2) + pow(jet.d[AXIS_Y][2], 2) + pow(jet.d[AXIS_Z][2], 2));
  seen->accel = fmax(seen->accel, accel);
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 1; k < 4; k++)
      seen->rate[axis][k] = fmax(seen->rate[axis][k], fabs(jet.d[axis][k]));
  if (phase->arc)
    seen->spare = fmin(seen->spare, allowance_of(made, allowance, h));
}

struct judges {
  struct axes_judge axes;
  struct range_judge range;
  struct tip_judge tip;
  struct collide_judge collide;
};

static struct judges judges_begin(const struct scene *scene) {
  return (struct judges){axes_begin(scene), range_begin(scene), tip_begin(scene),
                         collide_begin(scene)};
}

static void judge_piece(struct judges *judges, const struct phase *phase,
                        const struct piece *piece) {
  struct jet_stretch whole;
  piece_jet_stretch(piece, piece->t0, piece->t1, &whole);
  axes_piece(&judges->axes, phase, piece, &whole);
  if (phase->kind == PHASE_WELD) /* there the worst place is to be */
    range_piece(&judges->range, phase, piece, &whole);
  else
    judges->range.has_last = false;
  tip_piece(&judges->tip, phase, piece);
  collide_piece(&judges->collide, phase, piece);
}

/* Returns how many half sways were judged at once. */
static int64_t walk_joined(const struct motion *motion, struct judges *judges) {
  int64_t joined = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    struct piece_iter iter;
    struct piece piece;
    struct swings swings;
    collide_phase_begin(&judges->collide, phase);
    piece_iter_begin_joined(&iter, motion, phase);
    while (piece_iter_next(&iter, &piece))
      if (piece_iter_swings(&iter, &piece, &swings)) {
        axes_swings(&judges->axes, phase, &swings);
        range_swings(&judges->range, phase, &swings);
        tip_swings(&judges->tip, phase, &swings);
        collide_swings(&judges->collide, phase, &swings);
        joined += swings.count;
      } else {
        judge_piece(judges, phase, &piece);
      }
    piece_iter_release(&iter);
    collide_phase_end(&judges->collide, phase);
  }
  return joined;
}

/* Every piece looked at; the same pieces handed to the judges. */
static struct seen walk(const struct judged *made, const struct allowance *allowance,
                        struct judges *judges) {
  double tick = made->plan->job->cell->tick;
  struct seen seen = {.outer = -HUGE_VAL, .box = -HUGE_VAL, .spare = HUGE_VAL};
  for (size_t i = 0; i < made->motion->phase_count; i++) {
    const struct phase *phase = &made->motion->phases[i];
    struct piece_iter iter;
    struct piece piece;
    seen.outer_phase = seen.box_phase = -HUGE_VAL;
    seen.accel = 0;
    collide_phase_begin(&judges->collide, phase);
    piece_iter_begin(&iter, made->motion, phase);
    while (piece_iter_next(&iter, &piece)) {
      judge_piece(judges, phase, &piece);
      for (int k = 0; k <= LOOKS; k++)
        look(&seen, made, allowance, phase, &piece, piece.t0 + (piece.t1 - piece.t0) * k / LOOKS);
    }
    piece_iter_release(&iter);
    collide_phase_end(&judges->collide, phase);
    double chord = seen.accel * tick * tick / 8;
    seen.outer = fmax(seen.outer, seen.outer_phase + chord);
    seen.box = fmax(seen.box, seen.box_phase + chord);
  }
  return seen;
}

/* Between two looks at 700 mm/s2 over less than 1 ms lies less than 1e-4 mm. */
static const double BETWEEN = 1e-4, ROUNDING = 1e-9;

static void judge_as_all_pieces_show(const struct cell *cell, const struct seen *seen,
                                     const struct judges *judges) {
  double worst = fmax(seen->outer, seen->box);
  assert_true(judges->range.worst >= worst - 1e-6 - ROUNDING);
  assert_true(judges->range.worst <= worst + BETWEEN);
  assert_close(judges->range.worst_part == RANGE_BOXES, seen->box > seen->outer, 0, 0);
  /* The search tells a place that was reached; what is left of the tolerance is the search's. */
  double told = -judges->tip.zones.search.best[0].value, tolerance = 1e-6 + 0.02 * fmax(told, 0);
  assert_true(told <= seen->spare + tolerance + ROUNDING);
  assert_true(told >= seen->spare - BETWEEN);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *l = &cell->axis[axis];
    const double limit[4] = {0, l->speed, l->accel, l->jerk};
    const struct peak *told_of = &judges->axes.search.best[4 * axis];
    for (int k = 1; k < 4; k++)
      assert_true(told_of[k].value / limit[k] >= seen->rate[axis][k] / limit[k] - 1e-6);
    /* Nothing steps in velocity. */
    assert_true(told_of[1].value / limit[1] <= seen->rate[axis][1] / limit[1] + 1e-4);
  }
}

enum { AXES, RANGE = 4, TIP, CLEARANCE = 9, TOLD = 11 };

static void judges_end(struct judges *judges, struct check_result told[TOLD]) {
  axes_end(&judges->axes, &told[AXES]);
  told[RANGE] = range_end(&judges->range);
  tip_end(&judges->tip, &told[TIP]);
  collide_end(&judges->collide, &told[CLEARANCE]);
}

/* Both find the worst within their tolerances, by other ways. */
static void judge_alike(const struct check_result *joined, const struct check_result *plain) {
  for (int i = 0; i < TOLD; i++) {
    assert_string_equal(joined[i].name, plain[i].name);
    assert_int_equal(joined[i].passed, plain[i].passed);
    double tolerance = i >= CLEARANCE ? 0.01 : 2e-6 * (1 + fabs(plain[i].limit));
    assert_close(joined[i].worst, plain[i].worst, tolerance, 0);
  }
}

static int64_t judge_job(const struct judged *made) {
  struct scene scene = {made->told.arena, made->motion, false};
  struct judges plain = judges_begin(&scene), joined = judges_begin(&scene);
  const struct allowance *allowance =
      allowance_make(made->told.arena, made->plan, &made->plan->overlays[0]);
  struct seen seen = walk(made, allowance, &plain);
  int64_t count = walk_joined(made->motion, &joined);
  struct check_result as_pieces[TOLD], at_once[TOLD];
  judges_end(&plain, as_pieces);
  judges_end(&joined, at_once);
  judge_as_all_pieces_show(made->plan->job->cell, &seen, &plain);
  judge_as_all_pieces_show(made->plan->job->cell, &seen, &joined);
  judge_alike(at_once, as_pieces);
  return count;
}

static void as_every_piece_shows(void **state) {
  (void)state;
  struct random random = {SEED};
  print_message("seed %u\n", SEED);
  int64_t joined = 0;
  for (int i = 0; i < JOBS; i++) {
    struct judged made = judge_random(&random);
    joined += judge_job(&made);
    told_end(&made.told);
  }
  print_message("%d half sways judged at once\n", (int)joined);
  assert_true(joined > 2000);
}

static bool first_swings(const struct motion *motion, const struct phase **phase,
                         struct swings *swings) {
  bool found = false;
  for (size_t i = 0; !found && i < motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    *phase = &motion->phases[i];
    piece_iter_begin_joined(&iter, motion, *phase);
    while (!found && piece_iter_next(&iter, &piece))
      found = piece_iter_swings(&iter, &piece, swings);
    piece_iter_release(&iter);
  }
  return found;
}

static double tip_off(const struct judged *made, const struct phase *phase,
                      const struct swings *swings) {
  struct scene scene = {made->told.arena, made->motion, false};
  struct tip_judge judge = tip_begin(&scene);
  tip_swings(&judge, phase, swings);
  return judge.off.value;
}

/* Wider, later, slower across or farther apart than the procedure asks for, or somewhere else. */
static void another_sway_is_seen(void **state) {
  (void)state;
  struct random random = {SEED + 1};
  for (int i = 0; i < JOBS / 2; i++) {
    struct judged made = judge_random(&random);
    const struct phase *phase = NULL;
    struct swings is;
    assert_true(first_swings(made.motion, &phase, &is));
    assert_true(tip_off(&made, phase, &is) < 1e-6);
    struct swings wider = is, later = is, slower = is, apart = is, deeper = is;
    wider.amplitude += 0.01;
    later.first += 2;
    slower.cross *= 1.01;
    apart.half *= 1.002;
    deeper.centre.curve.z.c0 -= 0.01;
    const struct swings others[] = {wider, later, slower, apart, deeper};
    for (size_t k = 0; k < sizeof others / sizeof *others; k++)
      assert_true(tip_off(&made, phase, &others[k]) >= 0.0099);
    told_end(&made.told);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(as_every_piece_shows),
                                     cmocka_unit_test(another_sway_is_seen)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
