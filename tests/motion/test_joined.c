/* Random jobs that sway: pieces joined over many half sways stand for the very pieces of the plain
 * iteration, where a half sway lasts long enough; and the pose at a time is that of the piece that
 * holds it. */
#include "support/told.h"

#include <unistd.h>

#include "borelay/motion.h"
#include "borelay/resolve.h"
#include "motion/build.h"
#include "support/random.h"

enum { JOBS = 24 };

static const char *const JOB =
    "cell c {\n"
    "  tick 8 ms; park (0, 0, 700) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach %d mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm }\n"
    "  body lower { radius 20 mm; heights -350 .. 0 mm }\n"
    "}\n"
    "procedure first {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed %d mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 6 mm; arc_length 3 mm\n"
    "  oscillation { width %d mm; frequency 0.%d Hz; dwell %d ms }\n"
    "  preflow 1 s; upslope 0.5 s; downslope 1 s; postflow 1 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "}\n"
    "shape seal %s\n"
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay wall { wall seal; depths 20 .. %d mm; procedure first; overlap 30 %%; pattern %s\n"
    "  %s\n}\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm }\n";

static const char *const SHAPES[] = {
    "round { diameter 150 mm }", "racetrack { width 130 mm; length 210 mm }",
    "rectangle { width 160 mm; length 190 mm; corner_radius 50 mm }"};
static const char *const PATTERNS[] = {"spiral", "stepped", "rings"};
static const char *const ZONES[] = {
    "",
    "zone port { arc off; cross_bore { diameter 12 mm; depth 40 mm; toward 70 deg }; margin 1 mm }",
    "sector up { angles 20 .. 70 deg; travel_speed 190 mm/min; ramp 12 mm }"};

static const struct motion *motion_random(struct told *told, struct random *random) {
  char text[4000];
  const char *unreadable = NULL;
  snprintf(text, sizeof text, JOB, random_whole(random, 30, 40), random_whole(random, 150, 300),
           random_whole(random, 2, 6), random_whole(random, 5, 9), random_whole(random, 0, 3) * 40,
           SHAPES[random_whole(random, 0, 2)], random_whole(random, 46, 60),
           PATTERNS[random_whole(random, 0, 2)], ZONES[random_whole(random, 0, 2)]);
  char path[] = "/tmp/borelay_motion_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0 && write(descriptor, text, strlen(text)) == (ssize_t)strlen(text));
  close(descriptor);
  const struct job *job =
      job_resolve(told->arena, told->sources, told->diags, path, NULL, 0, &unreadable);
  unlink(path);
  const struct plan *plan = job ? plan_make(told->arena, job, told->diags) : NULL;
  return plan ? motion_make(told->arena, plan, told->diags) : NULL;
}

static void same_motion(const struct piece *a, const struct piece *b) {
  assert_close(a->t0, b->t0, 1e-9, 0);
  assert_close(a->t1, b->t1, 1e-9, 0);
  for (int look = 1; look < 8; look++) {
    double t = b->t0 + (b->t1 - b->t0) * look / 8;
    struct jet is = piece_jet(a, t), asked = piece_jet(b, t);
    for (int axis = 0; axis < AXIS_COUNT; axis++)
      for (int k = 0; k < 4; k++)
        assert_close(is.d[axis][k], asked.d[axis][k], k < 3 ? 1e-8 : 1e-6, 1e-8);
  }
}

/* Returns how many half sways were joined. */
static int64_t judge_phase(const struct motion *motion, const struct phase *phase) {
  struct piece_iter joined, plain;
  struct piece piece, next;
  int64_t count = 0;
  piece_iter_begin_joined(&joined, motion, phase);
  piece_iter_begin(&plain, motion, phase);
  while (piece_iter_next(&joined, &piece)) {
    struct swings swings;
    if (!piece_iter_swings(&joined, &piece, &swings)) {
      assert_true(piece_iter_next(&plain, &next));
      same_motion(&piece, &next);
      continue;
    }
    double t1 = 0;
    for (int64_t i = 0; i < swings.count; i++) {
      struct piece parts[HALF_PIECES];
      size_t parts_count = swings_pieces(&swings, i, parts);
      for (size_t k = 0; k < parts_count; k++) {
        assert_true(piece_iter_next(&plain, &next));
        same_motion(&parts[k], &next);
        t1 = next.t1;
      }
    }
    assert_close(piece.t1, t1, 1e-9, 0);
    count += swings.count;
  }
  assert_false(piece_iter_next(&plain, &next));
  piece_iter_release(&joined);
  piece_iter_release(&plain);
  return count;
}

static void joined_pieces_stand_for_the_plain_ones(void **state) {
  (void)state;
  struct random random = {90210};
  int made = 0, with_joined = 0;
  for (int i = 0; i < JOBS; i++) {
    struct told told = told_begin();
    const struct motion *motion = motion_random(&told, &random);
    int64_t joined = 0;
    for (size_t k = 0; motion && k < motion->phase_count; k++)
      joined += judge_phase(motion, &motion->phases[k]);
    made += motion != NULL;
    with_joined += joined > 200;
    told_end(&told);
  }
  print_message("%d of %d jobs made, %d of them joined much\n", made, JOBS, with_joined);
  assert_true(made >= JOBS / 2 && with_joined >= JOBS / 4);
}

static void a_pose_is_that_of_the_piece(void **state) {
  (void)state;
  struct random random = {90211};
  int looked = 0;
  for (int i = 0; i < JOBS / 4; i++) {
    struct told told = told_begin();
    const struct motion *motion = motion_random(&told, &random);
    for (size_t k = 0; motion && k < motion->phase_count; k++) {
      struct piece_iter iter;
      struct piece piece;
      piece_iter_begin(&iter, motion, &motion->phases[k]);
      for (int n = 0; piece_iter_next(&iter, &piece); n++) {
        if (n % 50 > 2)
          continue;
        double t = n == 0 ? piece.t0 : random_between(&random, piece.t0, piece.t1);
        struct pose is = phase_pose(motion, &motion->phases[k], t), asked = piece_at(&piece, t);
        assert_close(is.x, asked.x, 1e-9, 0);
        assert_close(is.y, asked.y, 1e-9, 0);
        assert_close(is.z, asked.z, 1e-9, 0);
        assert_close(is.head, asked.head, 1e-9, 0);
        looked++;
      }
      piece_iter_release(&iter);
    }
    told_end(&told);
  }
  assert_true(looked > 500);
}

/* How many half sways are joined of the run of a phase, its sway so many times as fast. */
static int64_t joined_when_faster(const struct motion *motion, const struct phase *phase,
                                  int times) {
  struct motion_run run = *phase->track;
  struct phase changed = *phase;
  struct sway *sway = &run.track.sway;
  sway->half /= times;
  sway->cross /= times;
  sway->first *= times;
  sway->last *= times;
  changed.track = &run;
  struct piece_iter joined;
  struct piece piece;
  int64_t count = 0;
  piece_iter_begin_joined(&joined, motion, &changed);
  while (piece_iter_next(&joined, &piece)) {
    struct swings swings;
    if (piece_iter_swings(&joined, &piece, &swings))
      count += swings.count;
  }
  piece_iter_release(&joined);
  return count;
}

/* Who judges many half sways at once sees from what is beside them no farther than into the one
 * that is left apart: it has to last for three rows (src/check/steps.h). */
static void half_sways_of_few_rows_stay_apart(void **state) {
  (void)state;
  struct random random = {90210};
  struct told told = told_begin();
  int looked = 0;
  for (int i = 0; i < JOBS; i++) {
    const struct motion *motion = motion_random(&told, &random);
    for (size_t k = 0; motion && k < motion->phase_count; k++) {
      const struct phase *phase = &motion->phases[k];
      if (phase->kind != PHASE_WELD || phase->track->profile.course ||
          judge_phase(motion, phase) < 100)
        continue;
      double rows = phase->track->track.sway.half / motion->plan->job->cell->tick;
      int times = (int)floor(rows / 3);
      assert_true(joined_when_faster(motion, phase, times) > 0);
      assert_int_equal(joined_when_faster(motion, phase, times + 1), 0);
      looked++;
      break; /* one of each job is enough */
    }
  }
  told_end(&told);
  assert_true(looked >= 4);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(joined_pieces_stand_for_the_plain_ones),
                                     cmocka_unit_test(a_pose_is_that_of_the_piece),
                                     cmocka_unit_test(half_sways_of_few_rows_stay_apart)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
