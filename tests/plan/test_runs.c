/* Runs and legs of the three patterns: worked cases, published lengths, and properties of random
 * overlays. */
#include "support/plan_job.h"

#include <stdlib.h>

#include "borelay/num.h"

/* -- worked cases ---------------------------------------------------------------------------- */

struct leg_row {
  double length, from, to;
  int64_t lap;
  bool is_step;
};
static void assert_legs(const struct plan_run *run, const struct leg_row *rows, size_t count) {
  assert_int_equal(run->leg_count, count);
  for (size_t k = 0; k < count; k++) {
    assert_close(run->legs[k].s_length, rows[k].length, 1e-9, 0);
    assert_close(run->legs[k].depth_from, rows[k].from, 1e-9, 0);
    assert_close(run->legs[k].depth_to, rows[k].to, 1e-9, 0);
    assert_int_equal(run->legs[k].lap, rows[k].lap);
    assert_int_equal(run->legs[k].is_step, rows[k].is_step);
  }
}

static const double TURN = 100 * NUM_PI; /* of the bore of 100 mm */

/* Three laps of 10 mm beads on 20 .. 40 mm. */
static void make_three_laps(struct plan_job *made, enum pattern pattern) {
  plan_job_init(made);
  made->overlay.pattern = pattern;
  made->layers[0].depths.hi = 40;
}

static void spiral_has_level_ends_and_one_tie_in(void **state) {
  (void)state;
  struct plan_job made;
  make_three_laps(&made, PATTERN_SPIRAL);
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  const struct leg_row want[] = {{TURN, 35, 35, 1, false},
                                 {TURN, 35, 30, 2, false},
                                 {TURN, 30, 25, 3, false},
                                 {TURN, 25, 25, 4, false},
                                 {8, 25, 25, 4, false}};
  assert_int_equal(layer->run_count, 1);
  assert_int_equal(layer->turns, 4);
  assert_legs(&layer->runs[0], want, 5);
  assert_close(layer->paths[0].tie_in, 8, 0, 0);
  plan_job_free(&made);
}

static void stepped_steps_once_a_lap(void **state) {
  (void)state;
  struct plan_job made;
  make_three_laps(&made, PATTERN_STEPPED);
  made.layers[0].deeper = true;
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  const struct leg_row want[] = {{TURN, 25, 25, 1, false}, {20, 25, 30, 1, true},
                                 {TURN, 30, 30, 2, false}, {20, 30, 35, 2, true},
                                 {TURN, 35, 35, 3, false}, {8, 35, 35, 3, false}};
  assert_int_equal(layer->turns, 3);
  assert_legs(&layer->runs[0], want, 6);
  plan_job_free(&made);
}

static void longer_stagger_lengthens_the_level_runs_before_a_step(void **state) {
  (void)state;
  struct plan_job made;
  make_three_laps(&made, PATTERN_STEPPED);
  made.overlay.has_stagger = made.overlay.has_step_length = true;
  made.overlay.stagger = (struct along){true, NUM_PI / 2}; /* a quarter turn */
  made.overlay.step_length.value = 15;
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  double level = 1.25 * TURN - 15;
  const struct leg_row want[] = {{level, 35, 35, 1, false}, {15, 35, 30, 1, true},
                                 {level, 30, 30, 2, false}, {15, 30, 25, 2, true},
                                 {TURN, 25, 25, 3, false},  {8, 25, 25, 3, false}};
  assert_legs(&layer->runs[0], want, 6);
  plan_job_free(&made);
}

static void rings_start_and_stop_each(void **state) {
  (void)state;
  struct plan_job made;
  make_three_laps(&made, PATTERN_RINGS);
  made.layers[1].depths.hi = 40;
  made.overlay.layer_count = 2;
  made.layers[1].clockwise = true;
  made.overlay.has_stagger = true;
  made.overlay.stagger.value = 30;
  const struct plan_layer *layers = plan_job_plan(&made)->overlays[0].layers;
  for (int64_t i = 0; i < 3; i++) {
    double depth = 35 - 5 * (double)i;
    const struct leg_row want[] = {{TURN, depth, depth, i + 1, false},
                                   {8, depth, depth, i + 1, false}};
    assert_legs(&layers[0].runs[i], want, 2);
    assert_legs(&layers[1].runs[i], want, 2);
    assert_close(layers[0].runs[i].s_start, 30 * (double)i, 1e-9, 0);
    assert_close(layers[1].runs[i].s_start, TURN - 30 * (double)(3 + i), 1e-9, 0);
  }
  assert_int_equal(layers[0].run_count, 3);
  assert_int_equal(layers[0].turns, 3);
  plan_job_free(&made);
}

struct alone_row {
  const char *name;
  enum pattern pattern;
};
static const struct alone_row ALONE[] = {{"one lap of a spiral", PATTERN_SPIRAL},
                                         {"one lap of stepped", PATTERN_STEPPED},
                                         {"one ring", PATTERN_RINGS}};
static void one_lap_lies_in_the_middle(void **state) {
  const struct alone_row *row = *state;
  struct plan_job made;
  make_three_laps(&made, row->pattern);
  made.layers[0].depths.hi = 30;
  made.procedures[0].tie_in = 0; /* no leg of no length */
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  const struct leg_row want[] = {{TURN, 25, 25, 1, false}};
  assert_int_equal(layer->laps, 1);
  assert_int_equal(layer->turns, 1);
  assert_close(layer->pitch, 0, 0, 0);
  assert_close(layer->overlap, 0, 0, 0);
  assert_close(layer->thickness, 8.482300 / 10, 1e-6, 0);
  assert_legs(&layer->runs[0], want, 1);
  plan_job_free(&made);
}

struct start_row {
  const char *name;
  enum shape_kind wall;
  enum start_kind start;
  double value, part_turned, s;
};
static const double SLOT_TURN = 317.079632679; /* straights of 80, ends of 25; see LENGTHS */
static const struct start_row STARTS[] = {
    {"default", SHAPE_ROUND, START_DEFAULT, 0, 0.3, 0},
    /* On a round s is 0 at the cell's angle 0 plus the part's turn: what the program names is
     * counted in the part. */
    {"angle on a round", SHAPE_ROUND, START_ANGLE, NUM_PI / 2, 0.3, 25 * NUM_PI},
    {"along", SHAPE_ROUND, START_ALONG, 12.5, 0, 12.5},
    {"along past a turn", SHAPE_ROUND, START_ALONG, 12.5 + 100 * NUM_PI, 0, 12.5},
    {"straight 1", SHAPE_RACETRACK, START_STRAIGHT, 1, 0.3, 0},
    {"straight 2", SHAPE_RACETRACK, START_STRAIGHT, 2, 0.3, SLOT_TURN / 2},
    {"angle 0 on a racetrack is the middle of its end", SHAPE_RACETRACK, START_ANGLE, 0, 0.3,
     SLOT_TURN / 4},
};
static void start_is_found(void **state) {
  const struct start_row *row = *state;
  struct plan_job made;
  plan_job_init(&made);
  if (row->wall == SHAPE_RACETRACK)
    made.wall = (struct shape){.name = "slot",
                               .kind = SHAPE_RACETRACK,
                               .has_dimensions = true,
                               .length = 130,
                               .width = 50};
  made.overlay.start = row->start;
  made.overlay.start_value = row->value;
  made.job.turned = row->part_turned;
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  assert_close(layer->runs[0].s_start, row->s, 2e-9, 0);
  plan_job_free(&made);
}

/* -- published lengths ------------------------------------------------------------------------ */

/* N turns of a helix: N sqrt((2 pi R)^2 + p^2), textbook formula (from memory), worked in double
 * precision elsewhere. */
struct helix_row {
  const char *name;
  double radius, pitch;
  int64_t turns;
  double length;
};
static const struct helix_row HELIX[] = {{"helix R 50 p 4 N 10", 50, 4, 10, 3141.847291179},
                                         {"helix R 40 p 5 N 20", 40, 5, 20, 5027.542865734},
                                         {"helix R 150 p 4.5 N 25", 150, 4.5, 25, 23562.213474359}};
static void sinking_turns_are_a_helix(void **state) {
  const struct helix_row *row = *state;
  struct plan_job made;
  plan_job_init(&made);
  made.wall.diameter = 2 * row->radius;
  made.layers[0].pitch = row->pitch;
  made.layers[0].depths = (struct range){20, 30 + row->pitch * (double)row->turns};
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  double sum = 0;
  for (size_t k = 0; k < layer->runs[0].leg_count; k++)
    if (layer->runs[0].legs[k].depth_from != layer->runs[0].legs[k].depth_to)
      sum += plan_job_path(&layer->runs[0].legs[k]);
  assert_int_equal(layer->laps, row->turns + 1);
  assert_close(sum, row->length, 1e-8, 0);
  plan_job_free(&made);
}

/* 51 rings of a bore R 50 over 200 mm at a pitch of 4: 16022.122533 mm of arc. */
static void rings_have_the_length_of_their_circles(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.overlay.pattern = PATTERN_RINGS;
  made.layers[0].pitch = 4;
  made.layers[0].depths = (struct range){20, 230};
  const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
  double sum = 0;
  for (size_t k = 0; k < layer->run_count; k++)
    sum += layer->runs[k].legs[0].s_length;
  assert_int_equal(layer->run_count, 51);
  assert_close(sum, 16022.122533, 1e-6, 0);
  plan_job_free(&made);
}

/* Perimeters that open pages about stadiums print: 2 a + 2 pi R (calculator.cpu.com.cn 18.56637;
 * superglobalcalculator.com 411.3), here with more digits. */
static const double STADIUMS[][3] = {{3, 2, 18.566370614},
                                     {80, 40, 411.327412287},
                                     {80, 25, 317.079632679},
                                     {63.5, 19.05, 246.694680102}};
static void turns_of_a_racetrack_have_its_perimeter(void **state) {
  (void)state;
  for (size_t k = 0; k < sizeof STADIUMS / sizeof STADIUMS[0]; k++) {
    struct plan_job made;
    plan_job_init(&made);
    made.procedures[0].arc_length = 1;
    made.wall = (struct shape){.name = "slot",
                               .kind = SHAPE_RACETRACK,
                               .has_dimensions = true,
                               .length = STADIUMS[k][0] + 2 * STADIUMS[k][1],
                               .width = 2 * STADIUMS[k][1]};
    const struct plan_layer *layer = &plan_job_plan(&made)->overlays[0].layers[0];
    assert_close(layer->runs[0].legs[0].s_length, STADIUMS[k][2], 1e-8, 0);
    plan_job_free(&made);
  }
}

/* -- properties ------------------------------------------------------------------------------- */

struct dice {
  uint64_t state;
};
static double roll(struct dice *dice, double lo, double hi) {
  dice->state = dice->state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
  return lo + (hi - lo) * (double)(dice->state >> 11) / 9007199254740992.0;
}
static bool toss(struct dice *dice) {
  return roll(dice, 0, 1) < 0.5;
}

static void random_wall(struct dice *dice, struct shape *wall) {
  double width = roll(dice, 60, 200);
  wall->kind = (enum shape_kind)(int)roll(dice, 0, 2.999);
  wall->diameter = wall->width = width;
  wall->length = width + roll(dice, 5, 200);
  wall->corner = roll(dice, 20, 29);
  wall->turned = roll(dice, -3, 3);
}

static void random_job(struct dice *dice, struct plan_job *made) {
  plan_job_init(made);
  random_wall(dice, &made->wall);
  made->overlay.pattern = (enum pattern)(int)roll(dice, 0, 2.999);
  made->overlay.layer_count = (size_t)roll(dice, 1, 3.999);
  made->overlay.start = START_ANGLE;
  made->overlay.start_value = roll(dice, -7, 7);
  made->overlay.has_stagger = toss(dice);
  made->overlay.stagger.value = roll(dice, 30, 90);
  made->job.turned = roll(dice, -3, 3);
  for (size_t k = 0; k < made->overlay.layer_count; k++) {
    struct layer *layer = &made->layers[k];
    made->procedures[k].bead_width = roll(dice, 5, 14);
    made->procedures[k].wire_feed_speed = roll(dice, 10, 30);
    layer->has_pitch = toss(dice);
    layer->pitch = roll(dice, 3, 9);
    layer->overlap = roll(dice, 0, 0.8);
    layer->depths.lo = roll(dice, 5, 60);
    layer->depths.hi = layer->depths.lo + made->procedures[k].bead_width + roll(dice, 0, 120);
    layer->deeper = toss(dice);
    layer->clockwise = toss(dice);
  }
}

static void assert_band_is_covered(const struct plan_layer *layer) {
  double width = layer->procedure->bead_width, half = width / 2;
  double shallow = fmin(layer->first_depth, layer->last_depth),
         deep = fmax(layer->first_depth, layer->last_depth);
  const struct layer *asked = layer->layer;
  double wanted = asked->has_pitch ? asked->pitch : width * (1 - asked->overlap);
  assert_true(layer->laps >= 1);
  assert_true(layer->pitch <= wanted * (1 + 1e-9));
  if (layer->laps == 1) {
    assert_close(shallow + deep, asked->depths.lo + asked->depths.hi, 1e-9, 0);
    return;
  }
  assert_close(shallow - half, asked->depths.lo, 1e-9, 0);
  assert_close(deep + half, asked->depths.hi, 1e-9, 0);
  assert_close(deep - shallow, layer->pitch * (double)(layer->laps - 1), 1e-9, 0);
  assert_true((layer->first_depth < layer->last_depth) == asked->deeper);
  if (!asked->has_pitch)
    assert_true(layer->overlap >= asked->overlap - 1e-9);
}

/* Legs join in depth, sink one way only, and count their laps without a gap. */
static void assert_legs_join(const struct plan_layer *layer, const struct plan_run *run) {
  double way = layer->layer->deeper ? 1 : -1;
  for (size_t k = 0; k < run->leg_count; k++) {
    const struct plan_leg *leg = &run->legs[k];
    assert_true(leg->s_length > 0);
    assert_true(way * (leg->depth_to - leg->depth_from) >= 0);
    if (k == 0)
      continue;
    assert_true(leg->depth_from == run->legs[k - 1].depth_to);
    assert_true(leg->lap == run->legs[k - 1].lap || leg->lap == run->legs[k - 1].lap + 1);
  }
}

/* All of a run but its tie-in, its steps and what a stagger adds before them is whole turns. */
static void assert_laps_close(const struct plan_overlay *overlay, const struct plan_layer *layer,
                              const struct plan_run *run) {
  double turn = overlay->contour->perimeter, level = 0, step = 0;
  size_t steps = 0;
  for (size_t k = 0; k < run->leg_count; k++) {
    const struct plan_leg *leg = &run->legs[k];
    if (leg->is_step) {
      step += leg->s_length;
      steps++;
    } else
      level += leg->s_length;
  }
  level -= layer->paths[run->path].tie_in;
  const struct overlay *asked = overlay->overlay;
  if (asked->pattern == PATTERN_STEPPED && asked->has_stagger)
    level -= (double)steps * asked->stagger.value - step;
  double turns = (double)layer->turns / (double)layer->run_count;
  assert_close(level, turns * turn, 1e-7, 0);
  assert_int_equal(steps, asked->pattern == PATTERN_STEPPED ? layer->laps - 1 : 0);
}

/* Every depth of the band lies within half a bead of a level leg: of a whole turn for rings and
 * stepped, of the ends for a spiral. */
static void assert_lap_depths(const struct plan_overlay *overlay, const struct plan_layer *layer) {
  int64_t level = 0;
  for (size_t r = 0; r < layer->run_count; r++)
    for (size_t k = 0; k < layer->runs[r].leg_count; k++) {
      const struct plan_leg *leg = &layer->runs[r].legs[k];
      bool is_tie_in = k + 1 == layer->runs[r].leg_count;
      level += !is_tie_in && leg->depth_from == leg->depth_to &&
               leg->s_length >= overlay->contour->perimeter * (1 - 1e-12);
    }
  int64_t want = overlay->overlay->pattern == PATTERN_SPIRAL && layer->laps > 1 ? 2 : layer->laps;
  assert_int_equal(level, want);
}

/* Layer k, or ring i through all layers, starts that many staggers on in the direction of travel.
 */
static void assert_starts_move_on(const struct plan_overlay *overlay) {
  const struct overlay *asked = overlay->overlay;
  double turn = overlay->contour->perimeter;
  double base = overlay->layers[0].runs[0].s_start;
  int64_t rings = 0;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    double stagger = asked->has_stagger                  ? asked->stagger.value
                     : asked->pattern == PATTERN_STEPPED ? 2 * layer->procedure->bead_width
                                                         : 0;
    for (size_t r = 0; r < layer->run_count; r++) {
      double times = asked->pattern == PATTERN_RINGS ? (double)rings++ : (double)k;
      double off = (layer->runs[r].s_start - base - layer->dir * stagger * times) / turn;
      assert_close(off, floor(off + 0.5), 1e-9, 0);
      assert_true(layer->runs[r].s_start >= 0 && layer->runs[r].s_start < turn);
    }
  }
}

static void random_overlays_keep_their_promises(void **state) {
  (void)state;
  uint64_t seed = 20240607;
  const char *given = getenv("BORELAY_TEST_SEED");
  if (given)
    seed = strtoull(given, NULL, 10);
  print_message("seed %llu (BORELAY_TEST_SEED sets another)\n", (unsigned long long)seed);
  struct dice dice = {seed};
  for (int round = 0; round < 3000; round++) {
    struct plan_job made;
    random_job(&dice, &made);
    const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
    double offset = 0;
    for (size_t k = 0; k < overlay->layer_count; k++) {
      const struct plan_layer *layer = &overlay->layers[k];
      assert_close(layer->offset, offset, 1e-12, 0);
      offset += layer->thickness;
      assert_band_is_covered(layer);
      for (size_t r = 0; r < layer->run_count; r++) {
        assert_legs_join(layer, &layer->runs[r]);
        assert_laps_close(overlay, layer, &layer->runs[r]);
      }
      assert_lap_depths(overlay, layer);
    }
    assert_starts_move_on(overlay);
    plan_job_free(&made);
  }
}

enum {
  ALONE_COUNT = sizeof ALONE / sizeof ALONE[0],
  START_COUNT = sizeof STARTS / sizeof STARTS[0],
  HELIX_COUNT = sizeof HELIX / sizeof HELIX[0]
};

int main(void) {
  struct CMUnitTest tests[7 + ALONE_COUNT + START_COUNT + HELIX_COUNT] = {
      cmocka_unit_test(spiral_has_level_ends_and_one_tie_in),
      cmocka_unit_test(stepped_steps_once_a_lap),
      cmocka_unit_test(longer_stagger_lengthens_the_level_runs_before_a_step),
      cmocka_unit_test(rings_start_and_stop_each),
      cmocka_unit_test(rings_have_the_length_of_their_circles),
      cmocka_unit_test(turns_of_a_racetrack_have_its_perimeter),
      cmocka_unit_test(random_overlays_keep_their_promises),
  };
  size_t count = 7;
  for (size_t k = 0; k < ALONE_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = ALONE[k].name,
                                         .test_func = one_lap_lies_in_the_middle,
                                         .initial_state = (void *)(uintptr_t)&ALONE[k]};
  for (size_t k = 0; k < START_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = STARTS[k].name,
                                         .test_func = start_is_found,
                                         .initial_state = (void *)(uintptr_t)&STARTS[k]};
  for (size_t k = 0; k < HELIX_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = HELIX[k].name,
                                         .test_func = sinking_turns_are_a_helix,
                                         .initial_state = (void *)(uintptr_t)&HELIX[k]};
  return cmocka_run_group_tests_name("runs of a plan", tests, NULL, NULL);
}
