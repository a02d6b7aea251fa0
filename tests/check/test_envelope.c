/* Envelopes of every make, judged through the whole check: the clearance, the place, what comes
 * near to what, the overlay's line.  Each figure is worked out beside its row.
 *
 * The bench: a bore of radius 60, one ring at depth 90 with the torch level; reach 30 and arc
 * length 3 leave H on a circle of 60 - 3 - 30 = 27, backed off by 5 on one of 22; H lies at depth
 * 90 - 200 = -110, in the cell at z 510.  One bead of area pi/4 1.2^2 1000/200 = 5.655 and width 8
 * is 0.7069 thick, on the round 60 - sqrt(3600 - 120 * 0.7069) = 0.7111: TAU. */
#include "borelay/check.h"
#include "support/job_text.h"

#define TAU 0.71107

static const char bench[] =
    "cell c {\n"
    "  tick 2 ms; park (0, 0, 800) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 220 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 30 mm; drop 200 mm; electrode_extension 8 mm; radius 4 mm; }\n"
    "  body lower { radius 10 mm; heights -206 .. -100 mm }\n"
    "  clearance 2 mm; torch_clearance 1 mm; correction 0 mm\n"
    "}\n"
    "procedure p {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 200 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm; tie_in 8 mm; gas_flow 14 L/min\n"
    "  preflow 0.5 s; upslope 0.5 s; downslope 2 s; postflow 0.5 s\n"
    "}\n"
    "shape bore round { diameter 120 mm }\n"
    "envelope e { free bore { depths 0 .. 130 mm } }\n"
    "overlay seal_ring {\n"
    "  wall bore; depths 86 .. 94 mm; procedure p; pattern rings; overlap 0 %\n"
    "  start_angle 180 deg; retract 5 mm\n"
    "}\n"
    "job \"bench\" { cell c; envelope e; safe_height 60 mm; at (0, 0, 400) mm; turned 0 deg }\n";

enum when { ANY_TIME, NOT_WELDING, WELDING, BEFORE_WELD, AFTER_WELD };
#define ANY NAN

enum { CHANGES = 6 };
struct row {
  const char *name;
  const char *changes[CHANGES][2];
  const char *check, *what; /* what comes near to what: begins the detail */
  double worst;
  double x, y, z, head; /* NAN: not told by hand */
  enum when when;
  const char *doing; /* how the detail ends; NULL: any */
};

#define BODY   "body lower { radius 10 mm; heights -206 .. -100 mm }"
#define FREE   "free bore { depths 0 .. 130 mm }"
#define SHAPES "shape bore round { diameter 120 mm }"
#define KEEP   "torch_clearance 1 mm"
#define GUARD  "radius 4 mm; }"
#define START  "start_angle 180 deg; retract"

/* Where a row is about the torch body or a guard its torch_clearance lies just below the figure, so
 * that the electrode, which always is 0.1 mm from its own limit, has more room. */
static const struct row rows[] = {
    {"the ring being laid counts for bodies",
     {{"", ""}},
     "clearance",
     "body lower to the clad of seal_ring",
     60 - TAU - 27 - 10,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* The torch body's round end, axis at radius 45, over the ledge's rim at radius 50. */
    {"a ledge",
     {{FREE, "free bore { depths 0 .. 100 mm }; free low { depths 100 .. 160 mm }"},
      {SHAPES, SHAPES "\nshape low round { diameter 100 mm }"},
      {KEEP, "torch_clearance 7.16 mm"}},
     "torch-clearance",
     "torch body to the wall of free low",
     7.18034, /* hypot(5, 10) - 4 */
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"a ledge, the head shifted towards it",
     {{FREE, "free bore { depths 0 .. 100 mm }; free low { depths 100 .. 160 mm }"},
      {SHAPES, SHAPES "\nshape low round { diameter 100 mm }"},
      {"correction 0 mm", "correction 1 mm"},
      {KEEP, "torch_clearance 6.75 mm"}},
     "torch-clearance",
     "torch body to the wall of free low",
     6.77033, /* hypot(4, 10) - 4 */
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* The lower body's top at depth 54 reaches out to radius 37, under a throat of radius 35. */
    {"a shoulder above",
     {{FREE, "free throat { depths 0 .. 50 mm }; free bore { depths 50 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape throat round { diameter 70 mm }"},
      {BODY, "body lower { radius 10 mm; heights -206 .. -164 mm }\n"
             "  body upper { radius 3 mm; heights -164 .. 0 mm }"}},
     "clearance",
     "body lower to the shoulder of free bore",
     4,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"a floor",
     {{FREE, "free bore { depths 0 .. 100 mm }"}},
     "clearance",
     "body lower to the floor of free bore",
     4, /* the body ends at depth 96 */
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* A slanted guard's round end: its centre at depth 95, radius 2.5. */
    {"a round end over the floor",
     {{FREE, "free bore { depths 0 .. 100 mm }"},
      {GUARD,
       "radius 4 mm; guard hose { radius 2.5 mm; from (10, 2, -150) mm; to (20, 2, -205) mm } }"},
      {KEEP, "torch_clearance 2.48 mm"}},
     "torch-clearance",
     "guard hose to the floor of free bore",
     2.5,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* A flange that reaches over the edge of the bore, its underside at depth -5. */
    {"the datum face",
     {{BODY, BODY "; body flange { radius 50 mm; heights -105 .. -95 mm }"}},
     "clearance",
     "body flange to the datum face",
     5,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"a collar",
     {{BODY, BODY "; body flange { radius 50 mm; heights -86.5 .. -75 mm }"},
      {FREE, "solid collar { depths -20 .. 0 mm }; free bore { depths -20 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape collar round { diameter 160 mm }"}},
     "clearance",
     "body flange to solid collar",
     3.5, /* its underside at depth -23.5, the collar's top at -20 */
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"volumes that touch",
     {{FREE, "free bore { depths 0 .. 50 mm }; free bore { depths 50 .. 130 mm }"}},
     "clearance",
     "body lower to the clad of seal_ring",
     60 - TAU - 27 - 10,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"volumes that overlap in depth",
     {{FREE, "free bore { depths 0 .. 60 mm }; free bore { depths 40 .. 130 mm }"}},
     "clearance",
     "body lower to the clad of seal_ring",
     60 - TAU - 27 - 10,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    {"a sheet of metal between volumes",
     {{FREE, "free bore { depths 0 .. 50 mm }; free bore { depths 50.001 .. 130 mm }"}},
     "clearance",
     "body lower strikes the floor of free bore",
     0,
     0,
     0,
     ANY,
     ANY,
     BEFORE_WELD,
     NULL},
    {"a solid inside a free is no metal",
     {{FREE, FREE "; solid stub { depths 0 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape stub round { diameter 30 mm; centre (20, 0) mm }"}},
     "clearance",
     "body lower to the clad of seal_ring",
     60 - TAU - 27 - 10,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* A post of radius 12 at 95 from the axis; the flange's underside 15 above the face. */
    {"a post on the face",
     {{BODY, BODY "; body flange { radius 50 mm; heights -95 .. -85 mm }"},
      {FREE, FREE "; solid post { depths -40 .. 0 mm }"},
      {SHAPES, SHAPES "\nshape post round { diameter 24 mm; centre (95, 0) mm }"}},
     "clearance",
     "body flange to solid post",
     6, /* 95 - 12 - 50 - 27 */
     27,
     0,
     510,
     360,
     WELDING,
     "; overlay seal_ring, layer 1, lap 1, weld"},
    {"a post on the face of a part turned and moved",
     {{BODY, BODY "; body flange { radius 50 mm; heights -95 .. -85 mm }"},
      {FREE, FREE "; solid post { depths -40 .. 0 mm }"},
      {SHAPES, SHAPES "\nshape post round { diameter 24 mm; centre (95, 0) mm }"},
      {"at (0, 0, 400) mm; turned 0 deg", "at (100, -50, 400) mm; turned 30 deg"}},
     "clearance",
     "body flange to solid post",
     6,
     123.38269, /* 100 + 27 cos 30 deg */
     -36.5,     /* -50 + 27 sin 30 deg */
     510,
     390,
     WELDING,
     "; overlay seal_ring, layer 1, lap 1, weld"},
    {"a free inside a solid leaves a tube",
     {{BODY, BODY "; body flange { radius 50 mm; heights -95 .. -85 mm }"},
      {FREE, FREE "; solid post { depths -40 .. 0 mm }; free hole { depths -40 .. 0 mm }"},
      {SHAPES, SHAPES "\nshape post round { diameter 24 mm; centre (95, 0) mm }\n"
                      "shape hole round { diameter 23.9 mm; centre (95, 0) mm }"}},
     "clearance",
     "body flange to solid post",
     6,
     27,
     0,
     510,
     360,
     WELDING,
     NULL},
    {"a free that holds all of a solid leaves nothing",
     {{BODY, BODY "; body flange { radius 50 mm; heights -95 .. -85 mm }"},
      {FREE, FREE "; free hole { depths -40 .. 0 mm }; solid post { depths -40 .. 0 mm }"},
      {SHAPES, SHAPES "\nshape post round { diameter 24 mm; centre (95, 0) mm }\n"
                      "shape hole round { diameter 24.1 mm; centre (95, 0) mm }"}},
     "clearance",
     "body flange to the datum face",
     15,
     ANY,
     ANY,
     510,
     ANY,
     ANY_TIME,
     NULL},
    /* Two rounds of radius 40 about (-20, 0) and (20, 0) meet in cusps at (0, +-34.641). */
    {"a throat of two rounds that overlap in part",
     {{FREE, "free left { depths 0 .. 50 mm }; free right { depths 0 .. 50 mm }\n"
             "  free bore { depths 50 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape left round { diameter 80 mm; centre (-20, 0) mm }\n"
                      "shape right round { diameter 80 mm; centre (20, 0) mm }"},
      {BODY, "body lower { radius 10 mm; heights -206 .. -170 mm }\n"
             "  body upper { radius 3 mm; heights -170 .. 0 mm }"}},
     "clearance",
     "body upper to the wall of free ",
     4.64102, /* sqrt(1200) - 27 - 3 */
     0,
     ANY,
     510,
     ANY,
     WELDING,
     NULL},
    /* A racetrack 76 wide: H stands at (0, 0) backed off from (0, 38), and the head turns there
     * from the entry's 0 to 90 deg.  An upright guard 30 from H, at 225 deg from the torch, passes
     * the wall at y = -38 when the head is at 45 deg.  Rows are 100 ms apart. */
    {"a guard that comes near only in mid-turn",
     {{SHAPES, "shape bore racetrack { length 160 mm; width 76 mm }"},
      {GUARD, "radius 4 mm; guard arm { radius 3 mm; from (-21.2132034, -21.2132034, -150) mm\n"
              "    to (-21.2132034, -21.2132034, -180) mm } }"},
      {START, "start_angle 90 deg; entry (0, 0) mm; entry_angle 0 deg; retract"},
      {"tick 2 ms", "tick 100 ms"},
      {KEEP, "torch_clearance 4.98 mm"}},
     "torch-clearance",
     "guard arm to the wall of free bore",
     5,
     ANY, /* H back at the entry after the ring turns as near */
     0,
     510,
     45,
     NOT_WELDING,
     NULL},
    /* At the entry H lies 35 from the axis, where the ring now stands. */
    {"a body that comes near only on the way out",
     {{START, "start_angle 0 deg; entry (35, 0) mm; entry_angle 180 deg; retract"}},
     "clearance",
     "body lower to the clad of seal_ring",
     60 - TAU - 35 - 10,
     35,
     0,
     510,
     540,
     AFTER_WELD,
     NULL},
    /* The body ends above the ring; at a throat of radius 50 it is nearest where H comes down. */
    {"a body that comes near only at the entry",
     {{START, "start_angle 0 deg; entry (33, 0) mm; entry_angle 180 deg; retract"},
      {FREE, "free throat { depths 0 .. 50 mm }; free bore { depths 50 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape throat round { diameter 100 mm }"},
      {BODY, "body lower { radius 10 mm; heights -160 .. -100 mm }"}},
     "clearance",
     "body lower to the wall of free throat",
     7, /* 50 - 33 - 10; welding 13 */
     33,
     0,
     ANY,
     ANY,
     NOT_WELDING,
     NULL},
    /* Two rings at depths 90 and 82, the second a quarter turn on.  An upright guard 60 behind the
     * head is 38 beyond the axis while H goes along the backed-off circle of 22 (33 welding), and
     * in a throat 90 wide, turned by 45 deg, is nearest to its wall with the head at 225 deg. */
    {"a guard that comes near only between rings",
     {{"depths 86 .. 94 mm", "depths 78 .. 94 mm"},
      {START, "start_angle 180 deg; stagger 90 deg; entry (-8, 0) mm; retract"},
      {FREE, "free throat { depths 0 .. 50 mm }; free bore { depths 50 .. 130 mm }"},
      {SHAPES, SHAPES
       "\nshape throat rectangle { length 160 mm; width 90 mm; corner 10 mm; turned 135 deg }"},
      {"radius 4 mm; }\n  " BODY,
       "radius 4 mm; guard behind { radius 3 mm; from (-60, 0, -150) mm; to (-60, 0, -120) mm } }\n"
       "  body lower { radius 10 mm; heights -206 .. -172 mm }"},
      {KEEP, "torch_clearance 3.98 mm"}},
     "torch-clearance",
     "guard behind to the wall of free throat",
     4, /* 45 - 38 - 3 */
     -15.55635,
     -15.55635,
     ANY,
     585,
     NOT_WELDING,
     NULL},
    /* A bead of 5.9 at depth 52.95, under the shoulder of a throat narrower by 10. */
    {"the electrode under a shoulder",
     {{"bead_width 8 mm", "bead_width 5.9 mm"},
      {"depths 86 .. 94 mm", "depths 50 .. 55.9 mm"},
      {FREE, "free throat { depths 0 .. 50 mm }; free bore { depths 50 .. 130 mm }"},
      {SHAPES, SHAPES "\nshape throat round { diameter 100 mm }"}},
     "torch-clearance",
     "electrode to the shoulder of free bore",
     2.95,
     ANY,
     ANY,
     547.05,
     ANY,
     ANY_TIME,
     NULL},
};

/* -- what the check said ------------------------------------------------------------------- */

static const struct check_result *result_of(const struct verdict *verdict, const char *name) {
  for (size_t i = 0; i < verdict->result_count; i++)
    if (strcmp(verdict->results[i].name, name) == 0)
      return &verdict->results[i];
  fail_msg("no check %s", name);
  return NULL;
}

static char *row_text(const struct row *row) {
  char *text = strdup(bench);
  assert_non_null(text);
  for (size_t i = 0; i < CHANGES && row->changes[i][0]; i++)
    text = text_again(text, row->changes[i][0], row->changes[i][1]);
  return text;
}

/* Where the phases say that the head is at t. */
static struct pose pose_at(const struct motion *motion, double t) {
  double tick = motion->plan->job->cell->tick;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if ((double)(phase->tick0 + phase->ticks) * tick < t - 1e-9)
      continue;
    struct piece_iter iter;
    struct piece piece;
    struct pose pose = {0, 0, 0, 0};
    piece_iter_begin(&iter, motion, phase);
    while (piece_iter_next(&iter, &piece) && piece.t0 <= t)
      pose = piece_at(&piece, fmin(t, piece.t1));
    piece_iter_release(&iter);
    return pose;
  }
  fail_msg("no phase at %g s", t);
  return (struct pose){0, 0, 0, 0};
}

static void assert_time(const struct motion *motion, double t, enum when when) {
  double tick = motion->plan->job->cell->tick, begin = HUGE_VAL, end = 0;
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_WELD || motion->phases[i].kind == PHASE_DOWNSLOPE) {
      begin = fmin(begin, (double)motion->phases[i].tick0 * tick);
      end = fmax(end, (double)(motion->phases[i].tick0 + motion->phases[i].ticks) * tick);
    }
  if (when == WELDING)
    assert_true(t >= begin && t <= end);
  if (when == BEFORE_WELD)
    assert_true(t < begin);
  if (when == AFTER_WELD)
    assert_true(t > end);
}

static void assert_near(double got, double want, double within, const char *what) {
  if (!isnan(want) && !(fabs(got - want) <= within)) {
    print_error("%s %.6f, wanted %.6f\n", what, got, want);
    fail();
  }
}

static void assert_place(const struct motion *motion, const struct row *row,
                         const struct check_result *result) {
  const char *at = strstr(result->detail, " at x ");
  struct pose told, there = pose_at(motion, result->t);
  assert_non_null(at);
  assert_int_equal(
      sscanf(at, " at x %lf y %lf z %lf mm, head %lf deg", &told.x, &told.y, &told.z, &told.head),
      4);
  assert_near(told.x, row->x, 0.3, "x"); /* near its least a distance hardly changes */
  assert_near(told.y, row->y, 0.3, "y");
  assert_near(told.z, row->z, 6e-4, "z");
  assert_near(remainder(told.head - row->head, 360), isnan(row->head) ? NAN : 0, 0.7, "head");
  assert_near(told.x, there.x, 6e-4, "x at that time");
  assert_near(told.y, there.y, 6e-4, "y at that time");
  assert_near(told.z, there.z, 6e-4, "z at that time");
  assert_near(told.head, there.head * 180 / NUM_PI, 6e-4, "head at that time");
  assert_time(motion, result->t, row->when);
}

static void assert_line(const char *text, const struct check_result *result) {
  static const char head[] = "overlay seal_ring";
  assert_memory_equal(text + result->at.begin, head, strlen(head));
}

static void test_row(void **state) {
  const struct row *row = *state;
  char *text = row_text(row);
  struct job_motion made = job_motion_make(text);
  if (!made.motion)
    print_error("%s", made.told);
  assert_non_null(made.motion);
  const struct check_result *result = result_of(check_motion(made.arena, made.motion), row->check);
  if (strncmp(result->detail, row->what, strlen(row->what)) != 0 ||
      !(result->worst <= row->worst + 2e-5 && result->worst >= row->worst - 0.0105))
    print_error("%s: %.6f, %s; wanted %.6f, %s\n", row->name, result->worst, result->detail,
                row->worst, row->what);
  assert_memory_equal(result->detail, row->what, strlen(row->what));
  assert_true(result->worst <= row->worst + 2e-5 && result->worst >= row->worst - 0.0105);
  assert_place(made.motion, row, result);
  assert_line(text, result);
  if (row->doing)
    assert_string_equal(result->detail + strlen(result->detail) - strlen(row->doing), row->doing);
  job_motion_end(&made);
  free(text);
}

int main(void) {
  enum { COUNT = sizeof rows / sizeof *rows };
  struct CMUnitTest tests[COUNT];
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){rows[i].name, test_row, NULL, NULL, (void *)(uintptr_t)&rows[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
