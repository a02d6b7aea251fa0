/* What is left of the clad at the worst place: build-up in closed form, and the distances from
 * touched walls to finished ones against a search over the wall. */
#include "support/plan_job.h"

#include "borelay/deposit.h"
#include "borelay/num.h"
#include "support/random.h"

static const double AREA = 8.482300164692441; /* 1.2 mm wire, 1500 mm/min, at 200 mm/min */

/* Bore of radius 50, pitch 4: R - sqrt(R^2 - 2 R A/p) = 2.167558 (area of a ring between two
 * circles; mass balance). */
static void one_layer_in_a_bore(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.layers[0].pitch = 4;
  made.layers[0].depths = (struct range){20, 70};
  const struct plan_overlay *planned = plan_job_plan(&made)->overlays;
  const struct contour_seg *seg = planned->contour->segs;
  assert_close(plan_build_up_least(planned, seg, 40), 2.167558, 1e-6, 0);
  assert_close(plan_build_up_least(planned, seg, 71), 0, 0, 0);
  /* twice the wire, and a further layer on the wall moved in by the first one's flat figure */
  assert_close(plan_build_up_with(planned, seg, 40, 0, 2), 50 - sqrt(2500 - 200 * AREA / 4), 1e-9,
               0);
  double flat = AREA / 4, first = 50 - sqrt(2500 - 100 * flat), in = 50 - flat;
  double sum = first + in - sqrt(in * in - 2 * in * flat);
  double metal = 50 - sqrt(2500 - 100 * (flat + flat * in / 50));
  assert_true(sum < metal);
  assert_close(plan_build_up_with(planned, seg, 40, 1, 1), sum, 1e-9, 0);
  plan_job_free(&made);
}

/* Above the critical pitch the valley floors decide: A/p and 2h (1 - (p/w)^2), h = 3A/(2w). */
static void valleys_decide(void **state) {
  (void)state;
  static const struct {
    double pitch, depth, flat;
  } rows[] = {{8, 100, 2 * 1.272345 * (1 - 0.64)}, {7.4, 94, 8.4823 / 7.4}, {7, 90, 8.4823 / 7}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct plan_job made;
    plan_job_init(&made);
    made.wall = (struct shape){.name = "slot",
                               .kind = SHAPE_RACETRACK,
                               .has_dimensions = true,
                               .length = 160,
                               .width = 100,
                               .fit_tolerance = 0.5};
    made.layers[0].pitch = rows[i].pitch;
    made.layers[0].depths = (struct range){10, rows[i].depth};
    const struct plan_overlay *planned = plan_job_plan(&made)->overlays;
    assert_close(planned->layers[0].pitch, rows[i].pitch, 1e-9, 0);
    assert_close(plan_build_up_least(planned, &planned->contour->segs[0], 40), rows[i].flat, 1e-5,
                 0);
    plan_job_free(&made);
  }
}

/* Three crowded laps, 4 apart, 10 wide: the gaps by the middle are not quite filled up to A/p. */
static void crowded_laps(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.layers[0].pitch = 4;
  made.layers[0].depths = (struct range){20, 38};
  const struct plan_overlay *planned = plan_job_plan(&made)->overlays;
  assert_int_equal(planned->layers[0].laps, 3);
  double level = AREA / 4 * (0.4 * 1.5 - 2 * 0.064 + 0.5);
  assert_close(plan_build_up_least(planned, planned->contour->segs, 29),
               50 - sqrt(2500 - 100 * level), 1e-9, 0);
  plan_job_free(&made);
}

/* -- after machining --------------------------------------------------------------------------- */

struct finish_row {
  const char *name;
  double thickness, finish; /* asked; 0: not */
  bool is_clean_up, is_met;
  double value, limit;
};
/* 2.167558 mm in the bore of `one_layer_in_a_bore`. */
static const struct finish_row FINISH[] = {
    {"build-up is enough", 2.1, 0, false, true, 2.167558, 2.1},
    {"build-up lacks", 2.2, 0, false, false, 2.167558, 2.2},
    {"machining leaves enough", 1.5, 2, true, true, 2.167558, 2},
    {"machining leaves too little", 2.1, 2, false, false, 2, 2.1},
    {"just what is asked remains", 2, 2, false, true, 2, 2},
    {"does not clean up", 2, 2.3, true, false, 2.167558, 2.3},
    {"does not clean up, though little is asked", 0.5, 2.3, true, false, 2.167558, 2.3},
    {"finish alone, cleans up", 0, 2.1, true, true, 2.167558, 2.1},
    {"finish alone, does not", 0, 2.2, true, false, 2.167558, 2.2},
    {"what is missed by most is told: remains", 4, 2.3, false, false, 2.167558, 4},
};
static void after_machining(void **state) {
  const struct finish_row *row = *state;
  struct plan_job made;
  plan_job_init(&made);
  made.layers[0].pitch = 4;
  made.layers[0].depths = (struct range){20, 70};
  made.overlay.has_required_thickness = row->thickness > 0;
  made.overlay.required_thickness = row->thickness;
  made.overlay.has_required_finish = row->finish > 0;
  made.overlay.required_finish = row->finish;
  struct plan_remaining worst = plan_remaining_get(plan_job_plan(&made)->overlays);
  assert_true(worst.is_asked);
  assert_int_equal(worst.is_met, row->is_met);
  assert_int_equal(worst.is_clean_up, row->is_clean_up);
  assert_close(worst.value, row->value, 1e-6, 0);
  assert_close(worst.limit, row->limit, 1e-12, 0);
  assert_close(worst.depths.lo, 20, 0, 0);
  assert_close(worst.depths.hi, 70, 0, 0);
  plan_job_free(&made);
}

/* -- touched walls ----------------------------------------------------------------------------- */

/* Distance outside a racetrack of the dimensions, which lies at the origin along X. */
static double outside(const struct shape *shape, vec2 at) {
  double core = (shape->length - shape->width) / 2;
  double x = fmax(fabs(at.x) - core, 0);
  return hypot(x, at.y) - shape->width / 2;
}

/* A wall of one size, told to follow touches of a shape of another. */
static const struct plan_overlay *touched(struct plan_job *made, struct shape *nominal,
                                          double length, double width) {
  made->wall = (struct shape){.name = "slot",
                              .kind = nominal->kind,
                              .has_dimensions = true,
                              .diameter = width,
                              .length = length,
                              .width = width,
                              .fit_tolerance = 0.5};
  struct plan_overlay *planned = arena_alloc(made->arena, 1, sizeof *planned);
  *planned = plan_job_plan(made)->overlays[0];
  struct contour *contour = arena_alloc(made->arena, 1, sizeof *contour);
  *contour = *planned->contour;
  contour->shape = nominal;
  contour->taught = true;
  planned->contour = contour;
  return planned;
}

static void distances_to_the_finished_wall(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 40; seed++) {
    struct random random = {seed};
    print_message("seed %d\n", (int)seed);
    double length = 160 + random_between(&random, -0.9, 0.9);
    double width = 100 + random_between(&random, -0.9, 0.9);
    struct shape nominal = {.name = "slot",
                            .kind = SHAPE_RACETRACK,
                            .has_dimensions = true,
                            .length = 160,
                            .width = 100};
    struct plan_job made;
    plan_job_init(&made);
    const struct plan_overlay *planned = touched(&made, &nominal, length, width);
    made.overlay.has_required_finish = true;
    made.overlay.required_finish = 40; /* far too much, so that the largest distance decides */
    struct plan_remaining deep = plan_remaining_get(planned);
    struct range seen = {HUGE_VAL, -HUGE_VAL};
    const struct contour *contour = planned->contour;
    enum { LOOKS = 40000 };
    for (int i = 0; i < LOOKS; i++) {
      double off = outside(&nominal, contour_at(contour, contour->perimeter * i / LOOKS, 0).at);
      seen.lo = fmin(seen.lo, off);
      seen.hi = fmax(seen.hi, off);
    }
    /* On half circles build-up is more, on straights the distance may be less: either may decide,
       and the distance itself is that of its own segment */
    const struct contour_seg *seg = &contour->segs[deep.seg];
    struct range here = {HUGE_VAL, -HUGE_VAL};
    for (int i = 0; i <= LOOKS; i++) {
      double s = seg->s0 + seg->length * (1 - 1e-12) * i / LOOKS;
      double off = outside(&nominal, contour_at(contour, s, 0).at);
      here.lo = fmin(here.lo, off);
      here.hi = fmax(here.hi, off);
    }
    assert_close(deep.finish.lo, 40 + here.lo, 1e-5, 0);
    assert_close(deep.finish.hi, 40 + here.hi, 1e-5, 0);
    assert_true(deep.limit <= 40 + seen.hi + 1e-9);
    /* what remains least */
    made.overlay.required_finish = 1;
    made.overlay.has_required_thickness = true;
    made.overlay.required_thickness = 10;
    assert_close(plan_remaining_get(planned).value, fmin(1 + seen.lo, 1.6964600), 1e-5, 0);
    plan_job_free(&made);
  }
}

static void a_touched_round(void **state) {
  (void)state;
  struct shape nominal = {
      .name = "seal", .kind = SHAPE_ROUND, .has_dimensions = true, .diameter = 100};
  struct plan_job made;
  plan_job_init(&made);
  const struct plan_overlay *planned = touched(&made, &nominal, 0, 100.6);
  made.overlay.has_required_finish = true;
  made.overlay.required_finish = 1.2;
  struct plan_remaining worst = plan_remaining_get(planned);
  assert_close(worst.limit, 1.5, 1e-12, 0); /* 0.3 mm more than on the nominal wall */
  nominal.has_dimensions = false;           /* nothing else to lay it on */
  assert_close(plan_remaining_get(planned).limit, 1.2, 1e-12, 0);
  plan_job_free(&made);
}

static void a_finish_too_deep(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.overlay.has_required_finish = true;
  made.overlay.required_finish = 50;
  assert_null(plan_make(made.arena, &made.job, made.diags));
  assert_int_equal(diag_count(made.diags), 1);
  assert_string_equal(diag_view_get(made.diags, 0).message,
                      "a finished wall 50 mm inside `seal` loses a radius of 50 mm");
  plan_job_free(&made);
}

/* Mean build-up from the metal, and what is left of the bore. */
static void bore_left(void **state) {
  (void)state;
  double flat = AREA / 5, round = 50 - sqrt(2500 - 100 * flat), bump;
  static const enum shape_kind kinds[] = {SHAPE_ROUND, SHAPE_RACETRACK, SHAPE_RECTANGLE};
  static const double want_length[] = {100, 160, 160}; /* less twice what stands there */
  for (size_t i = 0; i < 3; i++) {
    struct plan_job made;
    plan_job_init(&made);
    made.wall.kind = kinds[i];
    made.wall.length = 160;
    made.wall.width = 100;
    made.wall.corner = 20;
    made.wall.turned = 0.3;
    const struct plan_overlay *planned = plan_job_plan(&made)->overlays;
    struct bore_left left = plan_bore_left(planned, 1);
    bool ends_are_round = kinds[i] != SHAPE_RECTANGLE, sides = kinds[i] == SHAPE_ROUND;
    assert_close(left.length, want_length[i] - 2 * (ends_are_round ? round : flat), 1e-6, 0);
    assert_close(left.width, 100 - 2 * (sides ? round : flat), 1e-6, 0);
    assert_close(plan_bore_left(planned, 0).width, 100, 1e-9, 0);
    plan_job_free(&made);
  }
  struct contour_seg seg = {.turn = -1, .radius = 30};
  struct plan_job made;
  plan_job_init(&made);
  made.overlay.layer_count = 2;
  const struct plan_overlay *planned = plan_job_plan(&made)->overlays;
  bump = sqrt(900 + 60 * (flat + flat * (1 + flat / 30))) - 30;
  assert_close(plan_build_up_mean(planned, 2, &seg), bump, 1e-9, 0);
  plan_job_free(&made);
}

int main(void) {
  enum { PLAIN = 7, ROWS = sizeof FINISH / sizeof *FINISH };
  struct CMUnitTest tests[PLAIN + ROWS] = {cmocka_unit_test(one_layer_in_a_bore),
                                           cmocka_unit_test(valleys_decide),
                                           cmocka_unit_test(crowded_laps),
                                           cmocka_unit_test(distances_to_the_finished_wall),
                                           cmocka_unit_test(a_touched_round),
                                           cmocka_unit_test(a_finish_too_deep),
                                           cmocka_unit_test(bore_left)};
  for (size_t i = 0; i < ROWS; i++)
    tests[PLAIN + i] = (struct CMUnitTest){.name = FINISH[i].name,
                                           .test_func = after_machining,
                                           .initial_state = (void *)(uintptr_t)&FINISH[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
