/* Layers over the valleys of the layer below: figures and legs by hand, refusals, properties of
 * random overlays. */
#include "support/plan_job.h"

#include "borelay/num.h"
#include "support/random.h"
#include "support/told.h"

static const double TURN = 100 * NUM_PI; /* of the bore of 100 mm */

/* Three laps of 10 mm beads on 20 .. 40 mm, 5 mm apart, and four above them. */
static void make_pair(struct plan_job *made, enum pattern pattern) {
  plan_job_init(made);
  made->overlay.pattern = pattern;
  made->overlay.over_valleys = true;
  made->overlay.layer_count = 2;
  for (size_t k = 0; k < 2; k++)
    made->layers[k].depths.hi = 40;
}

struct leg_row {
  double length, from, to;
  int64_t lap;
};

static void assert_legs(const struct plan_path *path, const struct leg_row *rows, size_t count) {
  assert_int_equal(path->leg_count, count);
  for (size_t k = 0; k < count; k++) {
    assert_close(path->legs[k].s_length, rows[k].length, 1e-9, 0);
    assert_close(path->legs[k].depth_from, rows[k].from, 1e-9, 0);
    assert_close(path->legs[k].depth_to, rows[k].to, 1e-9, 0);
    assert_int_equal(path->legs[k].lap, rows[k].lap);
  }
}

static void figures(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  const struct plan_layer *one = &plan_job_plan(&made)->overlays[0].layers[0], *two = one + 1;
  assert_false(one->is_over_valleys);
  assert_true(two->is_over_valleys);
  assert_int_equal(one->laps, 3);
  assert_int_equal(two->laps, 4);
  assert_close(two->pitch, 5, 1e-12, 0);
  assert_close(two->overlap, 0.5, 1e-12, 0);
  assert_close(two->first_depth, 35, 1e-12, 0);
  assert_close(two->last_depth, 25, 1e-12, 0);
  /* docs/semantics.md: A min(1/p, n/w) with n one more; 4 beads of 10 mm are no bound here */
  assert_close(two->thickness, 8.482300164692441 / 5, 1e-9, 0);
  assert_close(two->offset, one->thickness, 1e-12, 0);
  plan_job_free(&made);
}

static void rings_lie_midway(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  const struct plan_layer *two = &plan_job_plan(&made)->overlays[0].layers[1];
  static const double DEPTHS[] = {35, 32.5, 27.5, 25};
  assert_int_equal(two->path_count, 4);
  for (size_t i = 0; i < 4; i++)
    assert_close(two->paths[i].legs[0].depth_from, DEPTHS[i], 1e-12, 0);
  plan_job_free(&made);
}

static void spiral_sinks_by_halves_at_its_ends(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_SPIRAL);
  const struct plan_layer *two = &plan_job_plan(&made)->overlays[0].layers[1];
  const struct leg_row want[] = {{TURN, 35, 35, 1},   {TURN, 35, 32.5, 2}, {TURN, 32.5, 27.5, 3},
                                 {TURN, 27.5, 25, 4}, {TURN, 25, 25, 5},   {8, 25, 25, 5}};
  assert_int_equal(two->turns, 5);
  assert_legs(&two->paths[0], want, 6);
  plan_job_free(&made);
}

static void steps_are_halves_at_the_ends(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_STEPPED);
  made.layers[1].deeper = true; /* the other way, over the same valleys */
  const struct plan_layer *two = &plan_job_plan(&made)->overlays[0].layers[1];
  const struct leg_row want[] = {{TURN, 25, 25, 1},   {20, 25, 27.5, 1},     {TURN, 27.5, 27.5, 2},
                                 {20, 27.5, 32.5, 2}, {TURN, 32.5, 32.5, 3}, {20, 32.5, 35, 3},
                                 {TURN, 35, 35, 4},   {8, 35, 35, 4}};
  assert_legs(&two->paths[0], want, 8);
  plan_job_free(&made);
}

/* The layer above counts its own floors only: nothing is promised for filling the valleys. */
static void floors_count_one_by_one(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  for (size_t k = 0; k < 2; k++) {
    made.layers[k].depths.hi = 30 + 8 * 6;
    made.layers[k].pitch = 8;
  }
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  assert_int_equal(overlay->layers[1].laps, 8);
  /* the published parabola's height, as in test_layers.c */
  assert_close(overlay->thickness_flat, 2 * 2 * 1.272345 * 0.36, 2e-6, 0);
  double mean = overlay->layers[0].bead_area * (7 + 8) / (overlay->layers[0].layer->depths.hi - 20);
  assert_true(overlay->thickness_flat < mean); /* never more than the metal there is */
  plan_job_free(&made);
}

static void one_lap_has_no_valley(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  made.layers[0].depths.hi = made.layers[1].depths.hi = 30;
  const struct plan_layer *two = &plan_job_plan(&made)->overlays[0].layers[1];
  assert_int_equal(two->laps, 1);
  assert_false(two->is_over_valleys);
  plan_job_free(&made);
}

static void only_even_layers_do(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  made.overlay.layer_count = 3;
  made.layers[2].depths.hi = 38; /* of no concern to the second */
  const struct plan_layer *layers = plan_job_plan(&made)->overlays[0].layers;
  assert_false(layers[2].is_over_valleys);
  assert_int_equal(layers[2].laps, 3);
  plan_job_free(&made);
}

/* -- refusals --------------------------------------------------------------------------------- */

static void other_band(struct plan_job *made) {
  made->layers[1].depths.hi = 44.5;
}
static void other_bead(struct plan_job *made) {
  made->procedures[1].bead_width = 9;
}
static void closer_laps(struct plan_job *made) {
  made->layers[1].pitch = 4.9;
}
static void more_overlap(struct plan_job *made) {
  made->layers[1].has_pitch = false;
  made->layers[1].overlap = 0.55;
}
static void other_hand(struct plan_job *made) {
  made->overlay.pattern = PATTERN_SPIRAL;
  made->layers[1].clockwise = true;
}

struct refusal {
  const char *name;
  void (*change)(struct plan_job *made);
  const char *text;
};
static const struct refusal REFUSALS[] = {
    {"another band", other_band,
     "error[E0519]: layer 2 cannot lie over the valleys of layer 1: its band lies from 20 to 44.5 "
     "mm, that one's from 20 to 40 mm\nnote: which is asked for here\n"},
    {"another bead", other_bead,
     "error[E0519]: layer 2 cannot lie over the valleys of layer 1: its beads are 9 mm wide, that "
     "one's 10 mm\nnote: which is asked for here\nnote: the bead's width stands here\n"},
    {"laps asked for closer", closer_laps,
     "error[E0519]: layer 2 cannot lie over the valleys of layer 1: it asks for a step of 4.9 mm "
     "at most; that one's laps lie 5 mm apart\nnote: which is asked for here\n"},
    {"more overlap", more_overlap,
     "error[E0519]: layer 2 cannot lie over the valleys of layer 1: it asks for a step of 4.5 mm "
     "at most; that one's laps lie 5 mm apart\nnote: which is asked for here\n"},
    {"spirals of opposite hand", other_hand,
     "error[E0519]: layer 2 cannot lie over the valleys of layer 1: the two spirals are of "
     "opposite hand\nnote: which is asked for here\nhelp: change `direction` and `progress` in "
     "the same layers, or neither\n"},
};

static void refused(void **state) {
  const struct refusal *row = *state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  row->change(&made);
  assert_null(plan_make(made.arena, &made.job, made.diags));
  struct told told = {.diags = made.diags};
  told_assert(&told, row->text);
  plan_job_free(&made);
}

static void both_reversed_is_the_same_hand(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_SPIRAL);
  made.layers[1].clockwise = made.layers[1].deeper = true;
  plan_job_plan(&made);
  plan_job_free(&made);
}

/* -- properties ------------------------------------------------------------------------------- */

/* Rings of random bands: as many as below and one, outer two at the edges, the rest midway. */
static void random_pairs(void **state) {
  (void)state;
  struct random random = {20261125};
  print_message("seed %d\n", 20261125);
  for (int round = 0; round < 300; round++) {
    struct plan_job made;
    make_pair(&made, PATTERN_RINGS);
    double width = random_between(&random, 3, 12), overlap = random_between(&random, 0, 0.8);
    double band = width * random_between(&random, 1.01, 30);
    for (size_t k = 0; k < 2; k++) {
      made.procedures[k].bead_width = width;
      made.procedures[k].wire_feed_speed = 5;
      made.layers[k].has_pitch = false;
      made.layers[k].overlap = overlap;
      made.layers[k].depths = (struct range){20, 20 + band};
      made.layers[k].deeper = random_whole(&random, 0, 1) == 1;
    }
    const struct plan_layer *one = &plan_job_plan(&made)->overlays[0].layers[0], *two = one + 1;
    int64_t n = two->laps;
    assert_int_equal(n, one->laps + 1);
    bool same = made.layers[0].deeper == made.layers[1].deeper;
    assert_close(two->paths[0].legs[0].depth_from, same ? one->first_depth : one->last_depth, 0, 0);
    assert_close(two->paths[n - 1].legs[0].depth_from, same ? one->last_depth : one->first_depth, 0,
                 0);
    for (int64_t i = 1; i + 1 < n; i++) {
      int64_t k = same ? i - 1 : n - 2 - i;
      double a = one->paths[k].legs[0].depth_from, b = one->paths[k + 1].legs[0].depth_from;
      assert_close(two->paths[i].legs[0].depth_from, (a + b) / 2, 1e-9, 0);
    }
    plan_job_free(&made);
  }
}

enum { REFUSAL_COUNT = sizeof REFUSALS / sizeof REFUSALS[0] };

int main(void) {
  struct CMUnitTest tests[9 + REFUSAL_COUNT] = {
      cmocka_unit_test(figures),
      cmocka_unit_test(rings_lie_midway),
      cmocka_unit_test(spiral_sinks_by_halves_at_its_ends),
      cmocka_unit_test(steps_are_halves_at_the_ends),
      cmocka_unit_test(floors_count_one_by_one),
      cmocka_unit_test(one_lap_has_no_valley),
      cmocka_unit_test(only_even_layers_do),
      cmocka_unit_test(both_reversed_is_the_same_hand),
      cmocka_unit_test(random_pairs),
  };
  for (size_t k = 0; k < REFUSAL_COUNT; k++)
    tests[9 + k] = (struct CMUnitTest){.name = REFUSALS[k].name,
                                       .test_func = refused,
                                       .initial_state = (void *)(uintptr_t)&REFUSALS[k]};
  return cmocka_run_group_tests_name("over the valleys", tests, NULL, NULL);
}
