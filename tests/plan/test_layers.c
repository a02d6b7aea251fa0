/* Figures and refusals of layers. */
#include "support/plan_job.h"

#include "borelay/num.h"

static void make_example(struct plan_job *made) {
  plan_job_init(made);
  struct procedure first = {.name = "first",
                            .process = PROCESS_GTAW,
                            .current = 205,
                            .voltage = 11.5,
                            .travel_speed = 170.0 / 60,
                            .wire_diameter = 1.2,
                            .wire_feed_speed = 1600.0 / 60,
                            .bead_width = 8,
                            .arc_length = 3,
                            .tie_in = 8,
                            .wire_current = 55,
                            .wire_voltage = 3.5,
                            .has_dilution = true,
                            .has_iron_wire = true,
                            .has_iron_base = true,
                            .dilution = 0.12,
                            .iron_wire = 0.004,
                            .iron_base = 0.97};
  made->procedures[0] = made->procedures[1] = first;
  made->procedures[1].travel_speed = 185.0 / 60;
  made->procedures[1].dilution = 0.10;
  made->wall.diameter = 178;
  for (size_t k = 0; k < 2; k++)
    made->layers[k] = (struct layer){
        .procedure = &made->procedures[k], .overlap = 0.45, .depths = {20, 110}, .clockwise = true};
  made->overlay.layer_count = 2;
  made->overlay.start = START_ANGLE;
  made->overlay.start_value = NUM_PI;
  made->overlay.has_stagger = true;
  made->overlay.stagger = (struct along){.is_angle = true, .value = NUM_PI / 6};
  made->job.turned = 4 * NUM_PI / 180;
}

/* The whole program of the documentation, worked by hand from its formulas. */
static void example_has_the_figures_worked_by_hand(void **state) {
  (void)state;
  struct plan_job made;
  make_example(&made);
  const struct plan *plan = plan_job_plan(&made);
  const struct plan_layer *one = &plan->overlays[0].layers[0], *two = &plan->overlays[0].layers[1];
  assert_close(one->bead_area, 10.644455, 5e-7, 0);
  assert_close(two->bead_area, 9.781391, 5e-7, 0);
  assert_int_equal(one->laps, 20);
  assert_int_equal(one->turns, 21);
  assert_int_equal(two->laps, 20);
  assert_close(one->pitch, 4.315789, 5e-7, 0);
  assert_close(one->overlap, 0.460526, 5e-7, 0);
  assert_close(one->offset, 0, 0, 0);
  assert_close(one->thickness, 2.466398, 5e-7, 0);
  assert_close(two->offset, 2.466398, 5e-7, 0);
  assert_close(two->thickness, 2.266420, 5e-7, 0);
  assert_close(one->arc_energy, 0.832059, 5e-7, 0);
  assert_close(one->heat_input, 0.499235, 5e-7, 0);
  assert_close(one->wire_energy, 0.067941, 5e-7, 0);
  assert_close(two->arc_energy, 0.764595, 5e-7, 0);
  assert_close(two->heat_input, 0.458757, 5e-7, 0);
  assert_close(two->wire_energy, 0.062432, 5e-7, 0);
  assert_true(one->has_iron && two->has_iron);
  assert_close(one->iron, 0.11992, 5e-6, 0);
  assert_close(two->iron, 0.015592, 5e-7, 0);
  assert_int_equal(diag_count(made.diags), 0);
  plan_job_free(&made);
}

/* True thickness on R = 89, and 89 - 2.466398 for layer 2: R - sqrt(R^2 - 2 R t), by hand. */
static void example_stands_a_little_thicker_than_flat(void **state) {
  (void)state;
  struct plan_job made;
  make_example(&made);
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  double r2 = 89 - 2.466398;
  double one = 89 - sqrt(89 * 89 - 2 * 89 * 2.466398);
  double two = r2 - sqrt(r2 * r2 - 2 * r2 * 2.266420);
  assert_close(overlay->layers[0].wall_true, one, 1e-6, 0);
  assert_close(overlay->layers[1].wall_true, two, 1e-6, 0);
  assert_close(overlay->layers[0].wall_flat, one, 1e-6, 0);
  assert_close(overlay->thickness_true, one + two, 2e-6, 0);
  assert_close(overlay->thickness_flat, one + two, 2e-6, 0);
  const struct contour_seg *seg = &overlay->contour->segs[0];
  assert_close(plan_clad_true(overlay, 0, seg), 0, 0, 0);
  assert_close(plan_clad_true(overlay, 1, seg), one, 1e-6, 0);
  assert_close(plan_clad_true(overlay, 2, seg), one + two, 2e-6, 0);
  assert_close(plan_clad_nominal(overlay, 2), 2.466398 + 2.266420, 1e-6, 0);
  plan_job_free(&made);
}

static void straights_have_the_nominal_and_are_the_least(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.wall = (struct shape){.name = "slot",
                             .kind = SHAPE_RACETRACK,
                             .has_dimensions = true,
                             .length = 130,
                             .width = 50,
                             .fit_tolerance = 0.5};
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  double nominal = 8.482300164692441 / 5;
  bool seen_straight = false, seen_end = false;
  for (size_t k = 0; k < overlay->contour->count; k++) {
    const struct contour_seg *seg = &overlay->contour->segs[k];
    double want = seg->turn ? 25 - sqrt(25 * 25 - 2 * 25 * nominal) : nominal;
    assert_close(plan_clad_true(overlay, 1, seg), want, 1e-9, 0);
    seen_straight |= seg->turn == 0;
    seen_end |= seg->turn == 1;
  }
  assert_true(seen_straight && seen_end);
  assert_close(overlay->thickness_true, nominal, 1e-9, 0);
  plan_job_free(&made);
}

static void valley_floors_count_where_beads_lie_apart(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  made.layers[0].depths = (struct range){20, 30 + 8 * 6}; /* pitch 8 = 0.8 w, 7 laps */
  made.layers[0].pitch = 8;
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  assert_int_equal(overlay->layers[0].laps, 7);
  /* 2 h (1 - 0.64), h = 1.272345 as the published parabola model gives it for this bead. */
  assert_close(overlay->thickness_flat, 2 * 1.272345 * 0.36, 1e-6, 0);
  assert_true(overlay->thickness_true > 8.4823 / 8);
  assert_close(overlay->ridge, 1.272345 - 2 * 1.272345 * 0.36, 1e-6, 0);
  plan_job_free(&made);
}

/* A second layer that stops short leaves the edge of the band to the first. */
static void thickness_is_that_of_the_thinnest_depth(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct key_place own = {.key = "depths", .key_at = {1, 50, 56}, .value_at = {1, 57, 65}};
  made.overlay.layer_count = 2;
  made.overlay.origin.head = made.layers[0].origin.head = (span){1, 10, 20};
  made.layers[1].origin = (struct origin){.head = {1, 40, 47}, .places = &own, .place_count = 1};
  const struct plan_overlay *whole = &plan_job_plan(&made)->overlays[0];
  assert_close(whole->thickness_true, whole->layers[0].wall_true + whole->layers[1].wall_true,
               1e-12, 0);
  made.layers[1].depths = (struct range){20, 70};
  const struct plan_overlay *part = &plan_job_plan(&made)->overlays[0];
  assert_close(part->thickness_true, part->layers[0].wall_true, 1e-12, 0);
  made.layers[1].depths = (struct range){10, 90}; /* beyond the band: no part of what is asked */
  const struct plan_overlay *wide = &plan_job_plan(&made)->overlays[0];
  assert_close(wide->thickness_true, wide->layers[0].wall_true + wide->layers[1].wall_true, 1e-12,
               0);
  plan_job_free(&made);
}

static void iron_is_known_only_as_far_as_told(void **state) {
  (void)state;
  struct plan_job made;
  make_example(&made);
  made.procedures[1].has_dilution = false;
  const struct plan_layer *layers = plan_job_plan(&made)->overlays[0].layers;
  assert_true(layers[0].has_iron && !layers[1].has_iron);
  made.procedures[1].has_dilution = true;
  made.procedures[0].has_iron_wire = false;
  layers = plan_job_plan(&made)->overlays[0].layers;
  assert_true(!layers[0].has_iron && !layers[1].has_iron);
  made.procedures[0].has_iron_wire = true;
  made.procedures[1].iron_base = 0.5; /* layer 2 lies on layer 1, whatever its own base is */
  layers = plan_job_plan(&made)->overlays[0].layers;
  assert_close(layers[1].iron, 0.015592, 5e-7, 0);
  plan_job_free(&made);
}

static void envelope_shapes_are_placed_once(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct shape mouth = made.wall;
  mouth.diameter = 140;
  struct volume volumes[3] = {
      made.volume, {.is_free = true, .shape = &mouth, .depths = {0, 15}}, made.volume};
  made.envelope.volumes = volumes;
  made.envelope.volume_count = 3;
  const struct plan *plan = plan_job_plan(&made);
  assert_ptr_equal(plan->volume_contours[0], plan->overlays[0].contour);
  assert_ptr_equal(plan->volume_contours[2], plan->overlays[0].contour);
  assert_close(plan->volume_contours[1]->perimeter, 140 * NUM_PI, 1e-9, 0);
  assert_int_equal(plan->fit_count, 0);
  plan_job_free(&made);
}

/* -- refusals and warnings ------------------------------------------------------------------- */

static void narrow(struct plan_job *made) {
  made->layers[0].depths.hi = 29.5;
}
static void just_one_bead(struct plan_job *made) {
  made->layers[0].depths.hi = 30;
}
static void crowded(struct plan_job *made) {
  made->layers[0].depths.hi = 32;
}
static void just_not_crowded(struct plan_job *made) {
  made->layers[0].depths.hi = 32.5;
}
static void countless(struct plan_job *made) {
  made->layers[0].pitch = 1e-4;
}
static void tip_in_a_corner(struct plan_job *made) {
  made->wall = (struct shape){.name = "pocket",
                              .kind = SHAPE_RECTANGLE,
                              .has_dimensions = true,
                              .length = 120,
                              .width = 80,
                              .corner = 2.5};
}
static void layer_in_a_corner(struct plan_job *made) { /* 1.696460 mm of layer 1 */
  tip_in_a_corner(made);
  made->wall.corner = 1.5;
  made->procedures[0].arc_length = 1;
  made->overlay.layer_count = 2;
}
static void third_tip_in_an_end(struct plan_job *made) {
  made->wall = (struct shape){
      .name = "slot", .kind = SHAPE_RACETRACK, .has_dimensions = true, .length = 60, .width = 12.5};
  made->overlay.layer_count = 3;
}
static void stagger_below_step(struct plan_job *made) {
  made->overlay.pattern = PATTERN_STEPPED;
  made->overlay.has_stagger = true;
  made->overlay.stagger.value = 19.5;
}
static void stagger_as_the_step(struct plan_job *made) {
  stagger_below_step(made);
  made->overlay.stagger.value = 20;
}
static void wide_apart(struct plan_job *made) {
  made->layers[0].pitch = 12;
  made->layers[0].depths = (struct range){20, 66}; /* 46 - 10 = 3 x 12 */
}
static void as_wide_as_beads(struct plan_job *made) {
  wide_apart(made);
  made->layers[0].depths.hi = 60;
}
static void wide_apart_and_filled(struct plan_job *made) {
  wide_apart(made);
  made->layers[1] = made->layers[0];
  made->overlay.layer_count = 2;
  made->overlay.over_valleys = true;
}
static void two_faults(struct plan_job *made) {
  narrow(made);
  stagger_below_step(made);
}

struct telling {
  const char *name;
  void (*change)(struct plan_job *made);
  const char *codes; /* in order of place; "" when nothing is told */
  const char *words; /* in the first message */
};
static const struct telling TELLINGS[] = {
    {"narrower than a bead", narrow, "E0500 ",
     "9.5 mm wide; one bead of procedure `proc` takes 10 mm"},
    {"just one bead", just_one_bead, "", ""},
    {"two laps nearly on each other", crowded, "W0501 ",
     "2 laps share a band of 12 mm at a pitch of 2 mm, less than half of the 5 mm wanted"},
    {"half of the wanted pitch", just_not_crowded, "", ""},
    {"laps farther apart than a bead", wide_apart, "W0531 ",
     "laps of layer 1 lie 12 mm apart and its beads are 10 mm wide: 2 mm of wall stay bare between "
     "them"},
    {"laps as far apart as beads are wide", as_wide_as_beads, "", ""},
    {"laps apart, filled by those over the valleys", wide_apart_and_filled, "", ""},
    {"countless laps", countless, "E0502 ", "0.0001 mm asks for more than 100000 laps"},
    {"tip in a corner", tip_in_a_corner, "E0504 ",
     "tip in layer 1 runs 3 mm inside the wall; the corner radius of 2.5 mm is lost there, by 0.5 "
     "mm"},
    {"layer 2 in a corner", layer_in_a_corner, "E0503 ",
     "layer 2 lies 1.69646 mm inside the wall; the corner radius of 1.5 mm is lost there, by "
     "0.19646"},
    {"tip of layer 3 in an end", third_tip_in_an_end, "E0504 ",
     "tip in layer 3 runs 6.39292 mm inside the wall; the end radius of 6.25 mm is lost there"},
    {"stagger shorter than the step", stagger_below_step, "E0505 ",
     "stagger of 19.5 mm is shorter than the step of 20 mm"},
    {"stagger as long as the step", stagger_as_the_step, "", ""},
    {"independent faults are both told", two_faults, "E0500 E0505 ", "9.5 mm"},
};

static void what_is_told(void **state) {
  const struct telling *row = *state;
  struct plan_job made;
  plan_job_init(&made);
  row->change(&made);
  const struct plan *plan = plan_make(made.arena, &made.job, made.diags);
  char codes[64] = "";
  for (size_t k = 0; k < diag_count(made.diags); k++) {
    strcat(codes, diag_view_get(made.diags, k).code);
    strcat(codes, " ");
  }
  assert_string_equal(codes, row->codes);
  if (*row->words && !strstr(diag_view_get(made.diags, 0).message, row->words))
    fail_msg("message is: %s", diag_view_get(made.diags, 0).message);
  assert_int_equal(plan == NULL, row->codes[0] == 'E');
  plan_job_free(&made);
}

enum { TELLING_COUNT = sizeof TELLINGS / sizeof TELLINGS[0] };

int main(void) {
  struct CMUnitTest tests[TELLING_COUNT + 7] = {
      cmocka_unit_test(example_has_the_figures_worked_by_hand),
      cmocka_unit_test(example_stands_a_little_thicker_than_flat),
      cmocka_unit_test(straights_have_the_nominal_and_are_the_least),
      cmocka_unit_test(valley_floors_count_where_beads_lie_apart),
      cmocka_unit_test(thickness_is_that_of_the_thinnest_depth),
      cmocka_unit_test(iron_is_known_only_as_far_as_told),
      cmocka_unit_test(envelope_shapes_are_placed_once),
  };
  for (size_t k = 0; k < TELLING_COUNT; k++)
    tests[7 + k] = (struct CMUnitTest){.name = TELLINGS[k].name,
                                       .test_func = what_is_told,
                                       .initial_state = (void *)(uintptr_t)&TELLINGS[k]};
  return cmocka_run_group_tests_name("layers of a plan", tests, NULL, NULL);
}
