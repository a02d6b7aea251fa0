/* Layers and overlap that are left open: what is chosen by hand-worked figures, and what is told
 * where nothing meets the requirement.  tests/check/test_choose.c holds choices against all smaller
 * ones. */
#include "support/plan_job.h"

#include "support/told.h"

enum { ROOM = 8 };

struct open_job {
  struct plan_job made;
  struct layer layers[ROOM];
};

/* The bore of 100 mm, a band of 60 mm, beads of 10 mm and 8.4823 mm2 (height 1.2723 mm): 6 laps at
 * no overlap, 11 at one of half a bead.  Iron 12 % by dilution. */
static void open_begin(struct open_job *open) {
  plan_job_init(&open->made);
  for (int k = 0; k < PLAN_JOB_LAYERS; k++) {
    struct procedure *p = &open->made.procedures[k];
    p->has_dilution = p->has_iron_wire = p->has_iron_base = true;
    p->dilution = 0.12;
    p->iron_wire = 0.004;
    p->iron_base = 0.97;
  }
  for (int k = 0; k < ROOM; k++)
    open->layers[k] = (struct layer){
        .procedure = &open->made.procedures[0], .overlap_auto = true, .depths = {20, 80}};
  open->made.overlay.layers = open->layers;
  open->made.overlay.layer_count = open->made.overlay.layer_room = ROOM;
  open->made.overlay.layers_auto = true;
}

static void ask_thickness(struct open_job *open, double least) {
  open->made.overlay.has_required_thickness = true;
  open->made.overlay.required_thickness = least;
}
static void ask_flatness(struct open_job *open, double most) {
  open->made.overlay.has_required_flatness = true;
  open->made.overlay.required_flatness = most;
}
static void ask_iron(struct open_job *open, double most) {
  open->made.overlay.has_required_iron = true;
  open->made.overlay.required_iron = most;
}
static void limit_current(struct procedure *procedure, double lo, double hi) {
  procedure->has_limit[LIMIT_CURRENT] = true;
  procedure->limit[LIMIT_CURRENT] = (struct range){lo, hi};
}
static void fix_layers(struct open_job *open, size_t count) {
  open->made.overlay.layers_auto = false;
  open->made.overlay.layer_count = count;
}
static void fix_overlap(struct open_job *open, double overlap) {
  for (int k = 0; k < ROOM; k++) {
    open->layers[k].overlap_auto = false;
    open->layers[k].overlap = overlap;
  }
}

/* -- choices by hand -------------------------------------------------------------------------- */

/* One layer of n laps is 8.4823 (n - 1)/50 on the flat, a little more on the bore: 1.527 mm at 10
 * laps, 1.357 at 9. */
static void widest_pitch(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  ask_thickness(&open, 1.5);
  const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
  assert_int_equal(overlay->layer_count, 1);
  assert_int_equal(overlay->layers[0].laps, 10);
  assert_close(overlay->layers[0].overlap, 1 - 50.0 / 90, 1e-12, 0);
  assert_false(overlay->choice->has_fewer);
  assert_true(overlay->choice->has_wider);
  assert_int_equal(overlay->choice->wider.laps, 9);
  assert_close(overlay->choice->wider.demands[DEMAND_THICKNESS].value,
               50 - sqrt(2500 - 100 * 8.482300164692441 * 8 / 50), 1e-9, 0);
  plan_job_free(&open.made);
}

/* Flat at 0.738 of a bead: 50/7.38 = 6.8 steps, so 7 and 8 laps.  Iron 12 % of 97 and 88 % of 0.4
 * is 11.992 % after one layer, 1.79 % after two, 0.567 % after three. */
static void each_governs_what_it_asks(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  ask_flatness(&open, 0);
  ask_iron(&open, 0.01);
  const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
  const struct plan_choice *choice = overlay->choice;
  assert_int_equal(overlay->layer_count, 3);
  assert_int_equal(overlay->layers[2].laps, 8);
  assert_true(choice->has_fewer && choice->has_wider);
  assert_false(choice->fewer.demands[DEMAND_IRON].is_met);
  assert_true(choice->fewer.demands[DEMAND_FLATNESS].is_met);
  assert_close(choice->fewer.demands[DEMAND_IRON].value, 0.12 * 0.11992 + 0.88 * 0.004, 1e-9, 0);
  assert_false(choice->wider.demands[DEMAND_FLATNESS].is_met);
  assert_true(choice->wider.demands[DEMAND_IRON].is_met);
  assert_int_equal(choice->wider.laps, 3 * 7);
  plan_job_free(&open.made);
}

static void plain_numbers_leave_nothing_open(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  fix_layers(&open, 2);
  fix_overlap(&open, 0.4);
  const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
  assert_null(overlay->choice);
  assert_ptr_equal(overlay->overlay, &open.made.overlay);
  plan_job_free(&open.made);
}

/* Overrides of the layers that are laid count; those above say nothing. */
static void overrides_count_as_far_as_laid(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  open.made.procedures[1].dilution = 0.4;
  open.layers[1].procedure = &open.made.procedures[1];
  open.layers[2].depths.hi = 25; /* no bead fits; nobody asks */
  ask_flatness(&open, 0.1);
  ask_iron(&open, 0.06);
  const struct plan_overlay *two = &plan_job_plan(&open.made)->overlays[0];
  assert_int_equal(two->layer_count, 2);
  assert_close(two->layers[1].iron, 0.4 * 0.11992 + 0.6 * 0.004, 1e-9, 0);
  plan_job_free(&open.made);
}

/* A head that turns ten times: a spiral of 10 laps, which one layer of 1.5 mm takes, turns it 11
 * times, so that two layers of fewer laps are chosen; with rings, or an endless head, it is one. */
static void limited_head_takes_more_layers(void **state) {
  (void)state;
  for (int kind = 0; kind < 3; kind++) {
    struct open_job open;
    open_begin(&open);
    ask_thickness(&open, 1.5);
    open.made.overlay.pattern = kind == 2 ? PATTERN_RINGS : PATTERN_SPIRAL;
    open.made.cell.axis[AXIS_HEAD] = (struct axis_limits){
        .endless = kind == 1, .travel = {-5 * 2 * 3.14159265358979, 5 * 2 * 3.14159265358979}};
    const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
    assert_int_equal(overlay->layer_count, kind == 0 ? 2 : 1);
    assert_true(kind > 0 || overlay->layers[0].laps <= 9);
    if (kind == 0)
      assert_string_equal(overlay->choice->fewer.why,
                          "10 laps of layer 1 turn the head by 3960 deg without a break; its "
                          "travel of -1800 .. 1800 deg is 3600 deg");
    plan_job_free(&open.made);
  }
}

/* What every layer asks for is judged by the checks, and is no matter of the choice. */
static void limits_of_every_choice_do_not_steer(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  ask_thickness(&open, 1.5);
  limit_current(&open.made.procedures[0], 180, 220);
  const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
  assert_int_equal(overlay->layer_count, 1);
  assert_int_equal(overlay->layers[0].laps, 10);
  plan_job_free(&open.made);
}

/* A layer with an overlap of its own keeps it. */
static void own_overlap_is_kept(void **state) {
  (void)state;
  struct open_job open;
  open_begin(&open);
  open.layers[0].overlap_auto = false;
  open.layers[0].overlap = 0.2;
  fix_layers(&open, 2);
  ask_thickness(&open, 2.55);
  const struct plan_overlay *overlay = &plan_job_plan(&open.made)->overlays[0];
  assert_int_equal(overlay->layers[0].laps, 8);
  assert_int_equal(overlay->layers[1].laps, 9);
  plan_job_free(&open.made);
}

/* -- refusals --------------------------------------------------------------------------------- */

static void too_thick(struct open_job *open) {
  fix_layers(open, 2);
  open->made.overlay.layer_room = 2;
  ask_thickness(open, 4);
}
static void more_layers_would(struct open_job *open) {
  fix_layers(open, 2);
  ask_thickness(open, 4);
}
static void closer_laps_would(struct open_job *open) {
  fix_overlap(open, 0.1);
  ask_flatness(open, 0.3);
}
static void too_much_iron(struct open_job *open) {
  ask_thickness(open, 1);
  ask_iron(open, 0.003);
}
static void no_room(struct open_job *open) {
  open->made.wall.diameter = 14;
  ask_thickness(open, 7.5);
}
static void contradicting(struct open_job *open) {
  fix_overlap(open, 0.1); /* each layer 0.778 mm at its floors, with ridges of 0.495 mm */
  ask_thickness(open, 2);
  ask_flatness(open, 0.6);
}

static void third_layer_not_qualified(struct open_job *open) {
  open->made.procedures[1].name = "fill"; /* 250 A */
  limit_current(&open->made.procedures[1], 180, 220);
  open->layers[2].procedure = &open->made.procedures[1];
  ask_iron(open, 0.01); /* which takes three layers */
  fix_overlap(open, 0.2);
}
static void further_layer_hot(struct open_job *open) {
  open->made.procedures[1].name = "fill"; /* 250 A * 12 V / 200 mm/min = 0.9 kJ/mm */
  open->made.procedures[1].has_limit[LIMIT_ARC_ENERGY] = true;
  open->made.procedures[1].limit[LIMIT_ARC_ENERGY] = (struct range){-(double)INFINITY, 0.85};
  open->layers[1].procedure = &open->made.procedures[1];
  ask_thickness(open, 2.5);
}
static void no_layer_qualified(struct open_job *open) {
  limit_current(&open->made.procedures[0], 255, 300);
  too_thick(open);
}
static void third_band_narrow(struct open_job *open) {
  open->layers[2].depths.hi = 25;
  ask_iron(open, 0.01);
  fix_overlap(open, 0.2);
}
static void head_winds_up(struct open_job *open) {
  open->made.cell.axis[AXIS_HEAD] = (struct axis_limits){.travel = {0, 8.5 * 2 * 3.14159265358979}};
  fix_layers(open, 1);
  ask_thickness(open, 1.5);
}

struct refusal {
  const char *name;
  void (*change)(struct open_job *open);
  const char *text;
};
static const struct refusal REFUSALS[] = {
    {"too thick", too_thick,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 2 layers at an "
     "overlap of 50.00 % it is 3.4536 mm at the valley floors, 0.5464 mm less than the 4 mm "
     "required\n"
     "help: `thickness 3.453 mm` could be met\n"},
    {"more layers would do", more_layers_would,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 2 layers at an "
     "overlap of 50.00 % it is 3.4536 mm at the valley floors, 0.5464 mm less than the 4 mm "
     "required\n"
     "help: 3 layers at an overlap of 37.50 % would do\n"},
    {"closer laps would do", closer_laps_would,
     "error[E0524]: nothing that may be chosen meets the `flatness` required: with 1 layer ridges "
     "stand 0.494801 mm over the valley floors, 0.1948 mm more than the 0.3 mm allowed\n"
     "help: 1 layer at an overlap of 28.57 % would do\n"},
    {"too much iron", too_much_iron,
     "error[E0524]: nothing that may be chosen meets the `iron` required: with 8 layers at an "
     "overlap of 50.00 % the last one holds 0.400004 % iron, 0.1 % more than the 0.3 % allowed\n"
     "help: `iron 0.41 %` could be met\n"},
    {"no room for more layers", no_room,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 3 layers at an "
     "overlap of 50.00 % it is 6.82357 mm at the valley floors, 0.6764 mm less than the 7.5 mm "
     "required\n"
     "note: more cannot be laid: the electrode's tip in layer 4 runs 7.0715 mm inside the wall; "
     "the bore's radius of 7 mm is lost there, by 0.0715041 mm\n"
     "help: `thickness 6.823 mm` could be met\n"},
    {"requirements that contradict", contradicting,
     "error[E0524]: nothing that may be chosen meets the `flatness` required: with 2 layers ridges "
     "stand 0.989602 mm over the valley floors, 0.3896 mm more than the 0.6 mm allowed\n"
     "note: nor this: with 2 layers it is 1.55509 mm at the valley floors, 0.4449 mm less than the "
     "2 mm required\n"
     "help: 2 layers at an overlap of 28.57 % would do\n"},
    {"a further layer out of its qualified range", third_layer_not_qualified,
     "error[E0524]: nothing that may be chosen meets the `iron` required: with 2 layers the last "
     "one holds 1.79104 % iron, 0.791 % more than the 1 % allowed\n"
     "note: more cannot be laid: layer 3 would leave a qualified range: current of procedure "
     "`fill` is 250 A, qualified 180 .. 220 A\n"
     "help: `iron 1.80 %` could be met\n"},
    {"a further layer too hot", further_layer_hot,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 1 layer at an "
     "overlap of 50.00 % it is 1.72626 mm at the valley floors, 0.7737 mm less than the 2.5 mm "
     "required\n"
     "note: more cannot be laid: layer 2 would leave a qualified range: arc_energy of procedure "
     "`fill` is 0.9 kJ/mm, qualified at most 0.85 kJ/mm\n"
     "help: `thickness 1.726 mm` could be met\n"},
    {"no layer in its qualified range", no_layer_qualified,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 2 layers at an "
     "overlap of 50.00 % it is 3.4536 mm at the valley floors, 0.5464 mm less than the 4 mm "
     "required\n"
     "note: nor does this hold, whatever is chosen: current of procedure `proc` is 250 A, "
     "qualified 255 .. 300 A\n"
     "help: `thickness 3.453 mm` could be met\n"},
    {"a further layer without room for a bead", third_band_narrow,
     "error[E0524]: nothing that may be chosen meets the `iron` required: with 2 layers the last "
     "one holds 1.79104 % iron, 0.791 % more than the 1 % allowed\n"
     "note: more cannot be laid: the band is 5 mm wide; one bead of procedure `proc` takes 10 mm\n"
     "help: `iron 1.80 %` could be met\n"},
    {"a head that cannot turn so far", head_winds_up,
     "error[E0524]: nothing that may be chosen meets the `thickness` required: with 1 layer at an "
     "overlap of 16.67 % it is 0.777544 mm at the valley floors, 0.7225 mm less than the 1.5 mm "
     "required\n"
     "note: more cannot be laid: 8 laps of layer 1 turn the head by 3240 deg without a break; its "
     "travel of 0 .. 3060 deg is 3060 deg\n"
     "help: 2 layers at an overlap of 16.67 % would do\n"},
};

static void refused(void **state) {
  const struct refusal *row = *state;
  struct open_job open;
  open_begin(&open);
  row->change(&open);
  assert_null(plan_make(open.made.arena, &open.made.job, open.made.diags));
  struct told told = {.diags = open.made.diags};
  told_assert(&told, row->text);
  plan_job_free(&open.made);
}

enum { REFUSAL_COUNT = sizeof REFUSALS / sizeof REFUSALS[0], OTHERS = 7 };

int main(void) {
  struct CMUnitTest tests[OTHERS + REFUSAL_COUNT] = {
      cmocka_unit_test(widest_pitch),
      cmocka_unit_test(each_governs_what_it_asks),
      cmocka_unit_test(plain_numbers_leave_nothing_open),
      cmocka_unit_test(overrides_count_as_far_as_laid),
      cmocka_unit_test(own_overlap_is_kept),
      cmocka_unit_test(limited_head_takes_more_layers),
      cmocka_unit_test(limits_of_every_choice_do_not_steer),
  };
  for (size_t k = 0; k < REFUSAL_COUNT; k++)
    tests[OTHERS + k] = (struct CMUnitTest){.name = REFUSALS[k].name,
                                            .test_func = refused,
                                            .initial_state = (void *)(uintptr_t)&REFUSALS[k]};
  return cmocka_run_group_tests_name("left open", tests, NULL, NULL);
}
