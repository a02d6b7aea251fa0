/* Whole jobs from their text to the verdict: a sound one, one spoilt for each check that a job file
 * can spoil, figures worked by hand, and what rows would show. */
#include "check/judged_job.h"
#include "support/random.h"

#define DEG (NUM_PI / 180)

static const char *const SOUND =
    "cell c {\n"
    "  tick 8 ms; park (20, -60, 900) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 46 mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm; wire_side right }\n"
    "  body lower { radius 26 mm; heights -350 .. 0 mm }\n"
    "  working_range { from (0, -1000, 700) mm; radius 250 .. 1600 mm }\n"
    "  clearance 3 mm; torch_clearance 1.5 mm; correction 1 mm\n"
    "}\n"
    "procedure first {\n"
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 170 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm; arc_length 3 mm\n"
    "  preflow 2 s; upslope 1.5 s; downslope 3 s; postflow 8 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "  travel_start_delay 0.5 s; wire_start_delay 0.4 s; wire_retract 5 mm; wire leading\n"
    "  dilution 12 %; iron_wire 0.4 %; iron_base 97 %\n"
    "  limit { travel_speed 150 .. 200 mm/min; arc_energy 0.6 .. 1.2 kJ/mm }\n"
    "}\n"
    "shape seal round { diameter 178 mm }\n"
    "shape wide round { diameter 180 mm }\n"
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay seal_wall {\n"
    "  wall seal; depths 20 .. 40 mm; procedure first; layers 2; overlap 45 %; pattern spiral\n"
    "  direction clockwise; start_angle 180 deg; stagger 30 deg\n"
    "  require { thickness 3 mm; flatness 0.1 mm; iron 5 % }\n"
    "}\n"
    "job \"bench\" { cell c; envelope block; safe_height 60 mm; turned 4 deg }\n";

static const char *const NAMES[] = {"axis-travel",     "axis-speed",       "axis-accel",
                                    "axis-jerk",       "working-range",    "clearance",
                                    "torch-clearance", "wall-in-envelope", "wire-side",
                                    "tip-path",        "torch-angle",      "travel-speed",
                                    "arc-zones",       "coverage",         "qualified-range",
                                    "thickness",       "flatness",         "iron"};
enum { COUNT = sizeof NAMES / sizeof NAMES[0] };

static void a_sound_job_passes(void **state) {
  (void)state;
  struct judged made = judge(SOUND);
  assert_int_equal(made.verdict->result_count, COUNT);
  for (int i = 0; i < COUNT; i++) {
    const struct check_result *result = &made.verdict->results[i];
    assert_string_equal(result->name, NAMES[i]);
    bool asked = strcmp(result->name, "arc-zones") != 0; /* it has no zones */
    if (result->judged != asked || !result->passed)
      print_error("%s: %g, limit %g, %s\n", result->name, result->worst, result->limit,
                  result->detail);
    assert_true(result->judged == asked && result->passed);
  }
  assert_true(made.verdict->passed);
  assert_int_equal(made.verdict->bare_count, 0);
  told_end(&made.told);
}

/* The same figures, and the same words of what does not hold. */
static void assert_brief(const struct judged *made) {
  const struct verdict *brief = check_motion_briefly(made->told.arena, made->motion);
  assert_int_equal(brief->passed, made->verdict->passed);
  assert_int_equal(brief->result_count, made->verdict->result_count);
  for (size_t i = 0; i < brief->result_count; i++) {
    const struct check_result *a = &brief->results[i], *b = &made->verdict->results[i];
    assert_string_equal(a->name, b->name);
    assert_true(a->judged == b->judged && a->passed == b->passed);
    assert_true(a->worst == b->worst && a->limit == b->limit && a->t == b->t);
    assert_string_equal(a->unit, b->unit);
    assert_memory_equal(&a->at, &b->at, sizeof a->at);
    assert_int_equal(a->further_count, b->further_count);
    if (!a->passed)
      assert_string_equal(a->detail, b->detail);
    else
      assert_true(*a->detail == '\0' || strcmp(a->detail, b->detail) == 0);
  }
}

static void a_brief_verdict_leaves_out_words(void **state) {
  (void)state;
  struct judged made = judge(SOUND);
  assert_brief(&made);
  const struct verdict *brief = check_motion_briefly(made.told.arena, made.motion);
  assert_true(*result_of(&made, "tip-path")->detail);
  for (size_t i = 0; i < brief->result_count; i++)
    if (strcmp(brief->results[i].name, "tip-path") == 0)
      assert_string_equal(brief->results[i].detail, "");
  told_end(&made.told);
}

/* One change, one check that fails, at a place whose line holds the word; all others hold. */
struct spoilt {
  const char *name, *old, *changed, *check, *place;
};
static const struct spoilt SPOILT[] = {
    {"short axis", "axis x { travel -900 .. 900 mm", "axis x { travel -900 .. 35 mm", "axis-travel",
     "overlay seal_wall"},
    {"near shell", "radius 250 .. 1600 mm", "radius 250 .. 1040 mm", "working-range",
     "overlay seal_wall"},
    {"shell begins far out", "radius 250 .. 1600 mm", "radius 970 .. 1600 mm", "working-range",
     "overlay seal_wall"},
    {"stout body", "radius 26 mm", "radius 44 mm", "clearance", "overlay seal_wall"},
    {"wide clearance", "clearance 3 mm; torch", "clearance 22 mm; torch", "clearance",
     "overlay seal_wall"},
    {"torch too near", "torch_clearance 1.5 mm", "torch_clearance 8.5 mm", "torch-clearance",
     "overlay seal_wall"},
    {"bore wider than wall", "free seal {", "free wide {", "wall-in-envelope", "overlay seal_wall"},
    {"wire on the wrong side", "direction clockwise", "direction anticlockwise", "wire-side",
     "direction"},
    {"wire late, rings", "pattern spiral", "pattern rings; layer 1 { procedure late }", "coverage",
     "overlay seal_wall"},
    {"speed out of range", "150 .. 200 mm/min", "150 .. 169 mm/min", "qualified-range",
     "travel_speed"},
    {"energy out of range", "0.6 .. 1.2 kJ/mm", "0.6 .. 0.83 kJ/mm", "qualified-range",
     "arc_energy"},
    {"thick", "thickness 3 mm", "thickness 6 mm", "thickness", "thickness"},
    {"ridges", "overlap 45 %", "overlap 22 %", "flatness", "flatness"},
    {"little iron", "iron 5 %", "iron 1 %", "iron", "iron"},
    {"parked in a box", "  clearance 3 mm",
     "  keep_out post { from (0, -100, 850) mm; to (100, -20, 950) mm }\n  clearance 3 mm",
     "working-range", "overlay seal_wall"},
    {"a box in the way of the laps", "  clearance 3 mm",
     "  keep_out post { from (39.999, -9, 100) mm; to (90, 9, 700) mm }\n  clearance 3 mm",
     "working-range", "overlay seal_wall"},
};

/* Procedure `late` travels 4 s before the wire comes. */
static char *spoilt_text(const struct spoilt *spoilt) {
  char *changed = text_with(SOUND, spoilt->old, spoilt->changed);
  char *whole = text_with(changed, "shape wide",
                          "procedure late like first { wire_start_delay 4.5 s }\nshape wide");
  free(changed);
  return whole;
}

/* Laps of H at 40 about the bore's axis: a post 5 mm beside them is no hindrance.  (The layer's
 * motion bends H's path by micrometres, its chords by less.) */
static void a_box_beside_the_laps(void **state) {
  (void)state;
  char *text = text_with(SOUND, "  clearance 3 mm",
                         "  keep_out post { from (45, -9, 100) mm; to (90, 9, 700) mm }\n"
                         "  keep_out far { from (45, 400, 100) mm; to (90, 500, 700) mm }\n"
                         "  clearance 3 mm");
  struct judged made = judge(text);
  assert_true(made.verdict->passed);
  const struct check_result *result = result_of(&made, "working-range");
  assert_close(result->worst, 5, 0.001, 0);
  assert_non_null(strstr(result->detail, "H to keep_out post at x 40.000"));
  told_end(&made.told);
  free(text);
}

/* What meets metal is told as a strike, at 0 mm: the proved bound may lie a hair below. */
static void strikes_are_told(void **state) {
  (void)state;
  char *text = text_with(SOUND, "radius 26 mm", "radius 80 mm");
  struct judged made = judge(text);
  const struct check_result *result = result_of(&made, "clearance");
  assert_false(result->passed);
  assert_true(result->worst == 0);
  assert_non_null(strstr(result->detail, " strikes "));
  told_end(&made.told);
  free(text);
}

/* A bore that ends above the band's deep edge: the figure is only how far was looked. */
static void metal_before_the_wall_is_told(void **state) {
  (void)state;
  char *text =
      text_with(SOUND, "free seal { depths 0 .. 210 mm }", "free seal { depths 0 .. 30 mm }");
  struct judged made = judge(text);
  const struct check_result *result = result_of(&made, "wall-in-envelope");
  assert_false(result->passed);
  assert_true(result->worst == 1000);
  assert_non_null(strstr(result->detail, "in metal, with nothing free before it"));
  assert_string_equal(result->told, "no face of the envelope within 1000 mm, limit 0.5 mm");
  told_end(&made.told);
  free(text);
}

/* A band that reaches above the datum face. */
static void no_metal_behind_the_wall_is_told(void **state) {
  (void)state;
  char *text = text_with(SOUND, "depths 20 .. 40 mm", "depths -20 .. 20 mm");
  struct judged made = judge(text);
  const struct check_result *result = result_of(&made, "wall-in-envelope");
  assert_false(result->passed);
  assert_null(result->told);
  assert_string_equal(result->help,
                      "a negative depth lies above the datum face, where only a `solid` is metal");
  told_end(&made.told);
  free(text);
}

static void one_check_fails(void **state) {
  const struct spoilt *spoilt = *state;
  char *text = spoilt_text(spoilt);
  struct judged made = judge(text);
  assert_false(made.verdict->passed);
  for (int i = 0; i < COUNT; i++) {
    const struct check_result *result = &made.verdict->results[i];
    bool meant = strcmp(result->name, spoilt->check) == 0;
    if (result->passed == meant)
      print_error("%s: %s %g, limit %g, %s\n", spoilt->name, result->name, result->worst,
                  result->limit, result->detail);
    assert_int_equal(result->passed, !meant);
  }
  const struct check_result *failed = result_of(&made, spoilt->check);
  assert_true(strlen(failed->detail) > 0);
  assert_brief(&made);
  const struct source *source = source_get(made.told.sources, failed->at.file);
  const char *line = (const char *)source->text + failed->at.begin;
  while (line > (const char *)source->text && line[-1] != '\n')
    line--;
  char held[256];
  snprintf(held, sizeof held, "%.*s", (int)strcspn(line, "\n"), line);
  assert_non_null(strstr(held, spoilt->place));
  told_end(&made.told);
  free(text);
}

/* -- figures by hand --------------------------------------------------------------------------- */

/* Bore radius 89, arc length 3, reach 46, layer 1 on the wall itself: H goes round at 89 - 3 - 46
 * = 40. Layer k counts as finished while it is laid, at its true thickness R - sqrt(R^2 - 2 R A/p);
 * layer 2 on a bore that is smaller by the first's nominal one. */
static void clearances_by_hand(void **state) {
  (void)state;
  struct judged made = judge(SOUND);
  const struct plan_layer *layers = made.plan->overlays[0].layers;
  double pitch = layers[0].pitch, area = NUM_PI / 4 * 1.44 * (1600.0 / 170);
  double flat = area / pitch, true1 = 89 - sqrt(89 * 89 - 2 * 89 * flat);
  double r2 = 89 - flat, true2 = r2 - sqrt(r2 * r2 - 2 * r2 * flat);
  double during1 = 89 - true1 - (40 + 1) - 26; /* head shifted 1 mm outward */
  double during2 = 89 - true1 - true2 - (40 - flat + 1) - 26;
  double body = fmin(during1, during2);
  const struct check_result *clearance = result_of(&made, "clearance");
  assert_true(clearance->worst <= body + 1e-9);
  assert_true(clearance->worst >= body - 0.02);
  /* The electrode stands 3 mm off, 2.9 are asked; the chord of 8 ms costs next to nothing. */
  const struct check_result *torch = result_of(&made, "torch-clearance");
  assert_true(torch->worst <= 3 + 1e-9 && torch->worst >= 3 - 0.012);
  assert_close(torch->limit, 2.9, 1e-12, 0);
  told_end(&made.told);
}

/* Rings, 4 s of travel without wire less the run-up's half: the pool's way v (t - run_up / 2), and
 * what is drawn back, 5 mm of wire at 26.667 mm/s. */
static void bare_lengths_by_hand(void **state) {
  (void)state;
  char *text = spoilt_text(&SPOILT[8]);
  struct judged made = judge(text);
  const struct motion *motion = made.motion;
  double longest = 0, sum = 0;
  size_t runs = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->layer != 1)
      continue;
    struct run_info info = phase_run_info(motion, phase);
    double late = ceil(4.5 / 0.008) * 0.008 - ceil(0.5 / 0.008) * 0.008 + 5 / (1600.0 / 60);
    double bare = info.speed * (late - info.run_up / 2) - 8;
    longest = fmax(longest, bare);
    sum += bare;
    runs++;
  }
  assert_true(runs > 1 && longest > 3);
  assert_close(result_of(&made, "coverage")->worst, longest, 1e-6, 0);
  assert_int_equal(made.verdict->bare_count, runs);
  assert_close(made.verdict->quantities.layers[0][0].bare, sum, 1e-5, 0);
  assert_close(made.verdict->quantities.layers[0][1].bare, 0, 0, 0);
  told_end(&made.told);
  free(text);
}

/* -- against rows ------------------------------------------------------------------------------ */

/* Wire in mm/s of row k of its phase, as the stream's table says. */
static double wire_of_row(const struct phase *phase, int64_t k) {
  double speed = phase->plan_layer->procedure->wire_feed_speed;
  int64_t tick = phase->tick0 + k;
  if (phase->kind == PHASE_WELD)
    return tick >= phase->wire.feed0 && tick < phase->wire.feed1 ? speed : 0;
  if (phase->kind != PHASE_DOWNSLOPE || k >= phase->wire.retract_ticks)
    return 0;
  return k + 1 < phase->wire.retract_ticks ? -speed : -phase->wire.retract_last;
}

static void sums_are_those_of_the_rows(void **state) {
  (void)state;
  struct judged made = judge(SOUND);
  const struct motion *motion = made.motion;
  double wire = 0, gas = 0, arc = 0, tick = 0.008;
  int64_t rows = 1; /* the last one */
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    for (int64_t k = 0; k < phase->ticks; k++, rows++) {
      if (!phase->plan_layer)
        continue;
      wire += wire_of_row(phase, k) * tick;
      gas += phase->gas ? 14.0 / 60 * tick : 0;
      arc += phase->arc ? tick : 0;
    }
  }
  const struct quantities *sums = &made.verdict->quantities;
  assert_int_equal(sums->rows, rows);
  assert_close(sums->duration, (double)(rows - 1) * tick, 1e-9, 0);
  assert_close(sums->wire_length_m, wire / 1000, 0, 1e-9);
  assert_close(sums->wire_mass_kg, wire * NUM_PI / 4 * 1.44 * 8.44e-6, 0, 1e-9);
  assert_close(sums->gas_l, gas, 0, 1e-9);
  assert_close(sums->arc_time, arc, 0, 1e-9);
  assert_close(sums->layers[0][0].arc_time + sums->layers[0][1].arc_time, arc, 0, 1e-9);
  assert_int_equal(sums->layers[0][0].starts, 1);
  /* five laps and a turn at both ends, about; the tie-in and the downslope's run are in it */
  const struct plan_layer *layer = &made.plan->overlays[0].layers[0];
  double turns = (double)layer->turns, perimeter = NUM_PI * 178;
  double least =
      (turns - (double)layer->laps + 1) * perimeter +
      ((double)layer->laps - 1) * sqrt(perimeter * perimeter + layer->pitch * layer->pitch);
  assert_true(sums->layers[0][0].path_length > least + 8);
  assert_true(sums->layers[0][0].path_length < least + 8 + 3 * 170.0 / 60);
  told_end(&made.told);
}

/* Differences from row to row never show more than the verdict, and come near it. */
static void rows_show_no_more_than_the_verdict(void **state) {
  (void)state;
  static const char *const shapes[] = {
      "shape seal round { diameter 178 mm }",
      "shape seal racetrack { length 190 mm; width 150 mm; turned 20 deg }",
      "shape seal rectangle { length 180 mm; width 150 mm; corner 30 mm }"};
  for (size_t s = 0; s < 3; s++) {
    char *text = text_with(SOUND, shapes[0], shapes[s]);
    char *whole = text_with(text, "start_angle 180 deg; stagger 30 deg", "start_along 20 mm");
    struct judged made = judge(whole);
    const struct cell *cell = made.plan->job->cell;
    double worst[4][AXIS_COUNT] = {{0}}, last[4][AXIS_COUNT] = {{0}}, tick = cell->tick;
    int64_t row = 0;
    for (size_t i = 0; i < made.motion->phase_count; i++) {
      struct piece_iter iter;
      struct piece piece;
      piece_iter_begin(&iter, made.motion, &made.motion->phases[i]);
      while (piece_iter_next(&iter, &piece))
        for (; (double)row * tick < piece.t1 - 1e-9; row++) {
          struct pose pose = piece_at(&piece, (double)row * tick);
          double now[AXIS_COUNT] = {pose.x, pose.y, pose.z, pose.head};
          for (int axis = 0; axis < AXIS_COUNT; axis++) {
            double d = now[axis];
            for (int k = 0; k < 4; k++) { /* d: k-th difference over T^k */
              double before = last[k][axis];
              last[k][axis] = d;
              if (row >= k && k > 0)
                worst[k][axis] = fmax(worst[k][axis], fabs(d));
              d = (d - before) / tick;
            }
          }
        }
      piece_iter_release(&iter);
    }
    assert_int_equal(row, made.motion->ticks);
    for (int k = 1; k < 4; k++) {
      const struct check_result *result = result_of(&made, k == 1   ? "axis-speed"
                                                           : k == 2 ? "axis-accel"
                                                                    : "axis-jerk");
      assert_true(result->passed);
      double share = 0;
      for (int axis = 0; axis < AXIS_COUNT; axis++) {
        const struct axis_limits *l = &cell->axis[axis];
        double limit = k == 1 ? l->speed : k == 2 ? l->accel : l->jerk;
        share = fmax(share, worst[k][axis] / limit);
      }
      /* the rows' own rounding shows in third differences: 1e-12 / T^3 */
      assert_true(share <= result->worst / result->limit * (1 + 1e-6));
      assert_true(share > 0.9 * result->worst / result->limit);
    }
    told_end(&made.told);
    free(whole);
    free(text);
  }
}

/* -- random jobs ------------------------------------------------------------------------------- */

static void random_shape(struct random *random, char *text, size_t room) {
  double turned = random_between(random, -90, 90);
  double width = random_between(random, 130, 200);
  double corner = random_between(random, 15, 60), length = width + random_between(random, 5, 80);
  switch (random_whole(random, 0, 2)) {
  case 0:
    snprintf(text, room, "shape seal round { diameter %.3f mm }", width);
    break;
  case 1:
    snprintf(text, room, "shape seal racetrack { length %.3f mm; width %.3f mm; turned %.2f deg }",
             length, width, turned);
    break;
  default:
    snprintf(
        text, room,
        "shape seal rectangle { length %.3f mm; width %.3f mm; corner %.3f mm; turned %.2f deg }",
        length, width, corner, turned);
  }
}

static char *random_job(struct random *random) {
  static const char *const patterns[] = {"pattern spiral", "pattern stepped", "pattern rings"};
  static const char *const directions[] = {"direction clockwise", "direction anticlockwise"};
  char shape[200], speed[60], start[60], tick[40];
  random_shape(random, shape, sizeof shape);
  snprintf(speed, sizeof speed, "travel_speed %.3f mm/min", random_between(random, 100, 260));
  snprintf(start, sizeof start, "start_along %.3f mm", random_between(random, 0, 400));
  snprintf(tick, sizeof tick, "tick %d ms", random_whole(random, 2, 12));
  const char *const changes[][2] = {
      {"shape seal round { diameter 178 mm }", shape},
      {"travel_speed 170 mm/min", speed},
      {"start_angle 180 deg; stagger 30 deg", start},
      {"tick 8 ms", tick},
      {"pattern spiral", patterns[random_whole(random, 0, 2)]},
      {"direction clockwise", directions[random_whole(random, 0, 1)]},
      {"limit { travel_speed 150 .. 200 mm/min; arc_energy 0.6 .. 1.2 kJ/mm }", ""},
      {"require { thickness 3 mm; iron 5 % }", ""}};
  char *text = text_with(SOUND, "", "");
  for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
    char *next = text_with(text, changes[i][0], changes[i][1]);
    free(text);
    text = next;
  }
  return text;
}

/* What the motion makes is within its limits by this judge, too: the two share no formula for them.
 */
static void random_jobs_keep_their_limits(void **state) {
  (void)state;
  uint64_t seed = 424242;
  print_message("seed %llu\n", (unsigned long long)seed);
  struct random random = {seed};
  static const char *const checks[] = {
      "axis-travel", "axis-speed",   "axis-accel", "axis-jerk",        "tip-path",
      "torch-angle", "travel-speed", "coverage",   "wall-in-envelope", "torch-clearance"};
  for (int i = 0; i < 40; i++) {
    char *text = random_job(&random);
    struct judged made = judge(text);
    for (size_t k = 0; k < sizeof checks / sizeof checks[0]; k++) {
      const struct check_result *result = result_of(&made, checks[k]);
      if (!result->judged || !result->passed)
        print_error("job %d: %s %.9g, limit %.9g, %s\n%s", i, result->name, result->worst,
                    result->limit, result->detail, text);
      assert_true(result->judged && result->passed);
    }
    told_end(&made.told);
    free(text);
  }
}

int main(void) {
  enum { SPOILT_COUNT = sizeof SPOILT / sizeof SPOILT[0] };
  struct CMUnitTest tests[SPOILT_COUNT + 8] = {
      cmocka_unit_test(a_sound_job_passes),
      cmocka_unit_test(clearances_by_hand),
      cmocka_unit_test(bare_lengths_by_hand),
      cmocka_unit_test(strikes_are_told),
      cmocka_unit_test(a_box_beside_the_laps),
      cmocka_unit_test(a_brief_verdict_leaves_out_words),
      cmocka_unit_test(metal_before_the_wall_is_told),
      cmocka_unit_test(no_metal_behind_the_wall_is_told),
      cmocka_unit_test(sums_are_those_of_the_rows),
      cmocka_unit_test(rows_show_no_more_than_the_verdict),
      cmocka_unit_test(random_jobs_keep_their_limits),
  };
  for (size_t i = 0; i < SPOILT_COUNT; i++)
    tests[i + 8] = (struct CMUnitTest){SPOILT[i].name, one_check_fails, NULL, NULL,
                                       (void *)(uintptr_t)&SPOILT[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
