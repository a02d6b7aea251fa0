/* Random jobs whose torch sways: the working range, the axes and the zones as the checks tell them,
 * which pass over most pieces by bounds, against every piece looked at all along. */
#include "check/axes.h"
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
    "}\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm; at (30, 10, 5) mm; turned 4 deg "
    "}\n";

static struct judged judge_random(struct random *random) {
  static const char *const patterns[] = {"spiral", "stepped", "rings"};
  int x = random_whole(random, -300, -110), y = random_whole(random, -300, 300);
  char text[4000];
  snprintf(text, sizeof text, JOB, random_whole(random, 25, 45), random_whole(random, -400, 400),
           random_whole(random, -900, -300), random_whole(random, 300, 900), x, y,
           x + random_whole(random, 1, 40), y + random_whole(random, 1, 80),
           random_whole(random, 300, 900), random_whole(random, 150, 400),
           random_whole(random, 2, 6), random_whole(random, 20, 80), random_whole(random, 120, 170),
           random_whole(random, 36, 60), patterns[random_whole(random, 0, 2)],
           random_whole(random, 24, 34), random_whole(random, 0, 359));
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
  seen->outer_phase = fmax(seen->outer_phase, away - cell->range_radius.hi);
  for (size_t i = 0; i < cell->keep_out_count; i++)
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
};

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
    piece_iter_begin(&iter, made->motion, phase);
    while (piece_iter_next(&iter, &piece)) {
      struct jet_stretch whole;
      piece_jet_stretch(&piece, piece.t0, piece.t1, &whole);
      axes_piece(&judges->axes, phase, &piece, &whole);
      range_piece(&judges->range, phase, &piece, &whole);
      tip_piece(&judges->tip, phase, &piece);
      for (int k = 0; k <= LOOKS; k++)
        look(&seen, made, allowance, phase, &piece, piece.t0 + (piece.t1 - piece.t0) * k / LOOKS);
    }
    piece_iter_release(&iter);
    double chord = seen.accel * tick * tick / 8;
    seen.outer = fmax(seen.outer, seen.outer_phase + chord);
    seen.box = fmax(seen.box, seen.box_phase + chord);
  }
  return seen;
}

/* Between two looks at 700 mm/s2 over less than 1 ms lies less than 1e-4 mm. */
static const double BETWEEN = 1e-4, ROUNDING = 1e-9;

static void judge_as_all_pieces_show(const struct judged *made) {
  struct scene scene = {made->told.arena, made->motion, false};
  struct judges judges = {axes_begin(&scene), range_begin(&scene), tip_begin(&scene)};
  const struct allowance *allowance =
      allowance_make(made->told.arena, made->plan, &made->plan->overlays[0]);
  struct seen seen = walk(made, allowance, &judges);
  const struct cell *cell = made->plan->job->cell;
  struct check_result axes[4];
  axes_end(&judges.axes, axes);
  range_end(&judges.range);
  double worst = fmax(seen.outer, seen.box);
  assert_true(judges.range.worst >= worst - 1e-6 - ROUNDING);
  assert_true(judges.range.worst <= worst + BETWEEN);
  assert_close(judges.range.worst_part == RANGE_BOXES, seen.box > seen.outer, 0, 0);
  /* The search tells a place that was reached; what is left of the tolerance is the search's. */
  double told = -judges.tip.zones.search.best[0].value, tolerance = 1e-6 + 0.02 * fmax(told, 0);
  assert_true(told <= seen.spare + tolerance + ROUNDING);
  assert_true(told >= seen.spare - BETWEEN);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *l = &cell->axis[axis];
    const double limit[4] = {0, l->speed, l->accel, l->jerk};
    for (int k = 1; k < 4; k++)
      assert_true(judges.axes.search.best[4 * axis + k].value >=
                  seen.rate[axis][k] / limit[k] - 1e-6);
    /* Nothing steps in velocity. */
    assert_true(judges.axes.search.best[4 * axis + 1].value <=
                seen.rate[axis][1] / limit[1] + 1e-4);
  }
}

static void as_every_piece_shows(void **state) {
  (void)state;
  struct random random = {SEED};
  print_message("seed %u\n", SEED);
  for (int i = 0; i < JOBS; i++) {
    struct judged made = judge_random(&random);
    judge_as_all_pieces_show(&made);
    told_end(&made.told);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(as_every_piece_shows)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
