/* Boxes beside whole jobs: what a controller's straights between rows come nearest to, approach,
 * links and return included, against the verdict. */
#include <string.h>

#include "check/judged_job.h"
#include "check/range.h"
#include "support/random.h"

#define SEED 6021u

static const char *const JOB =
    "cell c {\n"
    "  tick 20 ms; park (20, -160, 700) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 46 mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm }\n"
    "  body lower { radius 26 mm; heights -350 .. 0 mm }\n"
    "}\n"
    "procedure first {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 400 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm\n"
    "  preflow 1 s; upslope 0.5 s; downslope 1 s; postflow 1 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "}\n"
    "SHAPE\n"
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay wall { wall seal; depths 20 .. 40 mm; procedure first; overlap 45 %; PATTERN }\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm; at (30, 10, 5) mm; turned 4 deg "
    "}\n";

static const char *const SHAPES[][2] = {
    {"shape seal round { diameter 150 mm }", "pattern rings; stagger 60 deg"},
    {"shape seal racetrack { length 200 mm; width 150 mm; turned 20 deg }", "pattern spiral"},
    {"shape seal rectangle { length 180 mm; width 150 mm; corner 30 mm }", "pattern stepped"}};

struct way { /* H at every row */
  vec3 *rows;
  size_t count;
};

static struct way way_of(const struct judged *made) {
  double tick = made->plan->job->cell->tick;
  struct way way = {calloc((size_t)made->motion->ticks + 1, sizeof(vec3)), 0};
  struct pose pose = {0};
  for (size_t i = 0; i < made->motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, made->motion, &made->motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      for (; (double)way.count * tick < piece.t1 - 1e-9; way.count++) {
        pose = piece_at(&piece, (double)way.count * tick);
        way.rows[way.count] = (vec3){pose.x, pose.y, pose.z};
      }
      pose = piece_at(&piece, piece.t1);
    }
    piece_iter_release(&iter);
  }
  way.rows[way.count++] = (vec3){pose.x, pose.y, pose.z};
  assert_int_equal(way.count, made->motion->ticks + 1);
  return way;
}

static double box_distance(const struct keep_out *box, vec3 h) {
  double x = fmax(box->lo.x - h.x, h.x - box->hi.x), y = fmax(box->lo.y - h.y, h.y - box->hi.y),
         z = fmax(box->lo.z - h.z, h.z - box->hi.z);
  double most = fmax(x, fmax(y, z));
  return most <= 0 ? most : sqrt(pow(fmax(x, 0), 2) + pow(fmax(y, 0), 2) + pow(fmax(z, 0), 2));
}

/* The straights between rows, each looked at often enough that no place is farther than `step` from
 * a look: the least distance, at most `step` above the truth. */
static double chords_least(const struct way *way, const struct keep_out *box, double step) {
  double least = HUGE_VAL;
  for (size_t i = 0; i + 1 < way->count; i++) {
    vec3 a = way->rows[i], b = way->rows[i + 1];
    vec3 d = {b.x - a.x, b.y - a.y, b.z - a.z};
    double length = sqrt(d.x * d.x + d.y * d.y + d.z * d.z);
    least = fmin(least, box_distance(box, b));
    if (box_distance(box, a) - length > least)
      continue;
    int looks = 1 + (int)(length / (2 * step));
    for (int k = 0; k <= looks; k++) {
      double u = (double)k / looks;
      least = fmin(least, box_distance(box, (vec3){a.x + u * d.x, a.y + u * d.y, a.z + u * d.z}));
    }
  }
  return least;
}

static struct check_result range_judge_all(const struct judged *made) {
  struct scene scene = {made->told.arena, made->motion, false};
  struct range_judge range = range_begin(&scene);
  for (size_t i = 0; i < made->motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, made->motion, &made->motion->phases[i]);
    while (piece_iter_next(&iter, &piece)) {
      struct jet_stretch whole;
      piece_jet_stretch(&piece, piece.t0, piece.t1, &whole);
      range_piece(&range, &made->motion->phases[i], &piece, &whole);
    }
    piece_iter_release(&iter);
  }
  return range_end(&range);
}

/* The verdict is a lower bound on what the straights show, and near it: the chords' share of 700
 * mm/s2 in each axis is 0.061 mm at a tick of 20 ms, and the chords may leave the motion on the far
 * side by as much. */
static void straights_between_rows(void **state) {
  const char *const *variant = *state;
  struct random random = {SEED};
  const double step = 1e-3, share = 2 * 700 * 1.7320508 * 0.02 * 0.02 / 8;
  char *shaped = text_with(JOB, "SHAPE", variant[0]);
  char *text = text_with(shaped, "PATTERN", variant[1]);
  struct judged made = judge(text);
  struct way way = way_of(&made);
  union { /* the job is the test's own: its cell may be given a box */
    const struct cell *given;
    struct cell *cell;
  } cell = {.given = made.plan->job->cell};
  struct keep_out box = {.name = "box"};
  cell.cell->keep_outs = &box;
  cell.cell->keep_out_count = 1;
  int refused = 0;
  enum { BOXES = 60 };
  for (int i = 0; i < BOXES; i++) {
    vec3 h = way.rows[random_bits(&random) % way.count];
    if (i % 3 == 0) /* beside the moves: rows are few there */
      h = way.rows[random_bits(&random) % (size_t)(8 / 0.02)];
    box.lo = (vec3){h.x + random_between(&random, -40, 10), h.y + random_between(&random, -40, 10),
                    h.z + random_between(&random, -40, 10)};
    box.hi = (vec3){box.lo.x + random_between(&random, 0.1, 30),
                    box.lo.y + random_between(&random, 0.1, 30),
                    box.lo.z + random_between(&random, 1, 60)};
    double least = chords_least(&way, &box, step);
    struct check_result result = range_judge_all(&made);
    if (result.worst > least + 1e-6 || result.worst < least - step - share)
      print_error("box %d: %.6f, rows show %.6f, %s\n", i, result.worst, least, result.detail);
    assert_true(result.worst <= least + 1e-6);
    assert_true(result.worst >= least - step - share);
    assert_true(result.passed || least < step + share);
    refused += !result.passed;
  }
  print_message("  seed %u: %d of %d boxes in the way, %zu rows\n", SEED, refused, BOXES,
                way.count);
  assert_in_range(refused, BOXES / 10, BOXES * 9 / 10);
  free(way.rows);
  told_end(&made.told);
  free(text);
  free(shaped);
}

int main(void) {
  struct CMUnitTest tests[3];
  for (size_t i = 0; i < 3; i++) {
    union { /* cmocka hands the variant on as it is */
      const char *const *variant;
      void *state;
    } given = {.variant = SHAPES[i]};
    tests[i] = (struct CMUnitTest){SHAPES[i][1], straights_between_rows, NULL, NULL, given.state};
  }
  return cmocka_run_group_tests(tests, NULL, NULL);
}
