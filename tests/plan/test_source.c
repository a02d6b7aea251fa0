/* From the text of a job to its plan: the figures of a whole program, and where each refusal
 * points. */
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "borelay/resolve.h"
#include "support/plan_job.h"

/* A job with places for what each case changes: procedure's keys, the shape, the overlay's keys. */
static const char *const TEMPLATE =
    "cell c {\n"
    "  tick 8 ms; park (0, 0, 900) mm\n"
    "  axis x { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis y { travel -900 .. 900 mm; speed 200 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis z { travel 0 .. 1400 mm; speed 180 mm/s; accel 700 mm/s2; jerk 7000 mm/s3 }\n"
    "  axis head { travel endless; speed 72 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
    "  torch { reach 46 mm; drop 340 mm; electrode_extension 8 mm; radius 8 mm }\n"
    "  body lower { radius 20 mm; heights -350 .. 0 mm }\n"
    "}\n"
    "procedure first {\n" /* line 10 */
    "  process gtaw; current 205 A; voltage 11.5 V; travel_speed 170 mm/min\n"
    "  wire_diameter 1.2 mm; wire_feed_speed 1.6 m/min; wire_density 8.44 g/cm3\n"
    "  bead_width 8 mm\n" /* 13 */
    "  arc_length 3 mm\n" /* 14 */
    "  preflow 2 s; upslope 1.5 s; downslope 3 s; postflow 8 s; tie_in 8 mm; gas_flow 14 L/min\n"
    "  wire_current 55 A; wire_voltage 3.5 V\n"
    "  dilution 12 %%; iron_wire 0.4 %%; iron_base 97 %%\n"
    "}\n"
    "procedure fill like first { travel_speed 185 mm/min; dilution 10 %% }\n"
    "shape seal %s\n" /* 20 */
    "envelope block { free seal { depths 0 .. 210 mm } }\n"
    "overlay wall_a {\n"
    "  wall seal\n"       /* 23 */
    "  procedure first\n" /* 24 */
    "  %s\n"              /* 25 */
    "}\n"
    "job \"t\" { cell c; envelope block; safe_height 60 mm; turned 4 deg }\n"
    "procedure swaying like first { oscillation { width 4 mm; frequency 0.8 Hz; dwell 0.1 s } }\n"
    "procedure slow like swaying {\n"
    "  oscillation { width 3 mm; frequency 0.3 Hz }\n" /* 30 */
    "}\n";

struct text_job {
  struct arena *arena;
  struct source_set *sources;
  struct diag_list *diags;
  const struct plan *plan;
};

static const struct job *resolve_text(struct text_job *made, const char *text) {
  char path[] = "/tmp/borelay_plan_XXXXXX";
  int descriptor = mkstemp(path);
  assert_true(descriptor >= 0);
  FILE *file = fdopen(descriptor, "w");
  fputs(text, file);
  fclose(file);
  const char *unreadable = NULL;
  const struct job *job =
      job_resolve(made->arena, made->sources, made->diags, path, NULL, 0, &unreadable);
  unlink(path);
  return job;
}

static struct text_job plan_text(const char *shape, const char *overlay) {
  struct text_job made = {.arena = arena_new()};
  made.sources = source_set_new(made.arena);
  made.diags = diag_list_new(made.arena, made.sources);
  char text[4096];
  snprintf(text, sizeof text, TEMPLATE, shape, overlay);
  const struct job *job = resolve_text(&made, text);
  if (!job)
    diag_print(made.diags, stderr);
  assert_non_null(job);
  made.plan = plan_make(made.arena, job, made.diags);
  return made;
}

/* The documentation's example without its cross port; figures worked by hand from its formulas. */
static void whole_program_has_the_figures_worked_by_hand(void **state) {
  (void)state;
  struct text_job made = plan_text(
      "round { diameter 178 mm }",
      "depths 20 .. 110 mm; layers 2; layer 2 { procedure fill }; overlap 45 %; direction "
      "clockwise; start_angle 180 deg; stagger 30 deg");
  assert_non_null(made.plan);
  const struct plan_overlay *overlay = &made.plan->overlays[0];
  const struct plan_layer *one = &overlay->layers[0], *two = &overlay->layers[1];
  assert_int_equal(overlay->layer_count, 2);
  assert_close(one->bead_area, 10.644455, 5e-7, 0);
  assert_close(two->bead_area, 9.781391, 5e-7, 0);
  assert_int_equal(one->laps, 20);
  assert_int_equal(two->turns, 21);
  assert_close(one->pitch, 4.315789, 5e-7, 0);
  assert_close(two->overlap, 0.460526, 5e-7, 0);
  assert_close(two->offset, 2.466398, 5e-7, 0);
  assert_close(two->thickness, 2.266420, 5e-7, 0);
  assert_close(one->arc_energy, 0.832059, 5e-7, 0);
  assert_close(one->heat_input, 0.499235, 5e-7, 0);
  assert_close(two->wire_energy, 0.062432, 5e-7, 0);
  assert_close(one->iron, 0.11992, 5e-6, 0);
  assert_close(two->iron, 0.015592, 5e-7, 0);
  assert_int_equal(one->dir, -1);
  /* 180 deg, and 30 deg further on clockwise for layer 2, whatever the part's turn: R 89 mm. */
  assert_close(one->runs[0].s_start, 279.601746, 1e-6, 0);
  assert_close(two->runs[0].s_start, 279.601746 * 150 / 180, 1e-6, 0);
  arena_free(made.arena);
}

struct place_row {
  const char *name, *shape, *overlay;
  const char *code;
  uint32_t line;
  const char *marked; /* what the place covers */
};
static const char *const ROUND = "round { diameter 178 mm }";
static const struct place_row PLACES[] = {
    {"narrow band", "round { diameter 178 mm }", "depths 20 .. 27 mm; overlap 45 %", "E0500", 25,
     "20 .. 27 mm"},
    {"narrow band of layer 2", "round { diameter 178 mm }",
     "depths 20 .. 40 mm; overlap 45 %; layers 2; layer 2 { depths 30 .. 37 mm }", "E0500", 25,
     "30 .. 37 mm"},
    {"crowded laps", "round { diameter 178 mm }", "depths 20 .. 29 mm; overlap 45 %", "W0501", 25,
     "20 .. 29 mm"},
    {"countless laps", "round { diameter 178 mm }", "depths 20 .. 100 mm; pitch 0.0001 mm", "E0502",
     25, "0.0001 mm"},
    {"layers in a corner", "rectangle { length 150 mm; width 110 mm; corner 5 mm }",
     "depths 20 .. 60 mm; overlap 45 %; layers 3", "E0504", 25, "3"},
    {"tip in a corner", "rectangle { length 150 mm; width 110 mm; corner 2 mm }",
     "depths 20 .. 60 mm; overlap 45 %", "E0504", 23, "seal"},
    {"narrow band for a bead that sways", ROUND,
     "depths 20 .. 30 mm; overlap 45 %; layer 1 { procedure swaying }", "E0500", 25, "20 .. 30 mm"},
    {"strokes apart", ROUND, "depths 20 .. 60 mm; overlap 45 %; layer 1 { procedure slow }",
     "W0530", 30, "0.3 Hz"},
    {"short stagger", "round { diameter 178 mm }",
     "depths 20 .. 60 mm; overlap 45 %; pattern stepped; stagger 15 mm", "E0505", 25, "15 mm"},
    {"sectors that overlap", "round { diameter 178 mm }",
     "depths 20 .. 60 mm; overlap 45 %; layers 2; sector a { angles 80 .. 130 deg; current 190 A "
     "}\n"
     "sector b { angles 0 .. 90 deg }",
     "E0520", 26, "0 .. 90 deg"},
    {"sector that lies nowhere", "round { diameter 178 mm }",
     "depths 20 .. 60 mm; overlap 45 %; layers 2; sector a { along 40 .. 40 mm; current 190 A }",
     "E0521", 25, "40 .. 40 mm"},
    {"ramps that meet", "round { diameter 178 mm }",
     "depths 20 .. 60 mm; overlap 45 %; layers 2; sector a { along 40 .. 52 mm; current 190 A; "
     "ramp 12.1 mm }",
     "E0522", 25, "12.1 mm"},
    {"default ramps that meet", "round { diameter 178 mm }",
     "depths 20 .. 60 mm; overlap 45 %; sector a { along 40 .. 52 mm; current 190 A }", "E0522", 25,
     "sector a"},
};

static void refusal_points_at_its_place(void **state) {
  const struct place_row *row = *state;
  struct text_job made = plan_text(row->shape, row->overlay);
  assert_int_equal(diag_count(made.diags), 1);
  struct diag_view view = diag_view_get(made.diags, 0);
  assert_string_equal(view.code, row->code);
  assert_int_equal(source_place_get(made.sources, view.at.file, view.at.begin).line, row->line);
  const struct source *source = source_get(made.sources, view.at.file);
  size_t length = view.at.end - view.at.begin;
  assert_int_equal(length, strlen(row->marked));
  assert_memory_equal(source->text + view.at.begin, row->marked, length);
  assert_int_equal(made.plan == NULL, row->code[0] == 'E');
  arena_free(made.arena);
}

/* The required thickness is that over the overlay's own depths, as the layers without any have
 * them. */
static void own_depths_of_a_layer_leave_the_edge_thin(void **state) {
  (void)state;
  struct text_job whole = plan_text(ROUND, "depths 20 .. 60 mm; overlap 45 %; layers 2");
  struct text_job part = plan_text(
      ROUND, "depths 20 .. 60 mm; overlap 45 %; layers 2; layer 2 { depths 24 .. 56 mm }");
  const struct plan_overlay *two = &whole.plan->overlays[0], *less = &part.plan->overlays[0];
  assert_close(two->thickness_true, two->layers[0].wall_true + two->layers[1].wall_true, 1e-12, 0);
  assert_close(less->thickness_true, less->layers[0].wall_true, 1e-12, 0);
  arena_free(whole.arena);
  arena_free(part.arena);
}

/* A bead of 8 mm that sways by 4 mm is laid 12 mm wide: n = 1 + ceil((90 - 12)/(12 * 0.55)), half
 * of 12 mm inside the edges, metal spread at that pitch (docs/semantics.md, Deposit), and two
 * widths to a step.  Heat counts the way along the lap alone. */
static void swaying_widens_the_bead(void **state) {
  (void)state;
  const char *const band = "depths 20 .. 110 mm; layers 1; overlap 45 %; pattern stepped";
  char swaying[200];
  snprintf(swaying, sizeof swaying, "%s; layer 1 { procedure swaying }", band);
  struct text_job still = plan_text(ROUND, band), sways = plan_text(ROUND, swaying);
  const struct plan_layer *a = &still.plan->overlays[0].layers[0];
  const struct plan_layer *b = &sways.plan->overlays[0].layers[0];
  assert_int_equal(b->laps, 13);
  assert_close(b->pitch, 78.0 / 12, 1e-12, 0);
  assert_close(b->overlap, 1 - 6.5 / 12, 1e-12, 0);
  assert_close(b->first_depth, 104, 1e-12, 0);
  assert_close(b->last_depth, 26, 1e-12, 0);
  assert_close(b->bead_area, a->bead_area, 1e-12, 0);
  assert_close(b->thickness, 10.644455 / 6.5, 5e-7, 0);
  assert_close(b->paths[0].legs[1].s_length, 24, 1e-12, 0);
  assert_close(b->arc_energy, a->arc_energy, 0, 0);
  assert_close(b->heat_input, a->heat_input, 0, 0);
  arena_free(still.arena);
  arena_free(sways.arena);
}

enum { PLACE_COUNT = sizeof PLACES / sizeof PLACES[0] };

int main(void) {
  struct CMUnitTest tests[PLACE_COUNT + 3] = {
      cmocka_unit_test(whole_program_has_the_figures_worked_by_hand),
      cmocka_unit_test(own_depths_of_a_layer_leave_the_edge_thin),
      cmocka_unit_test(swaying_widens_the_bead),
  };
  for (size_t k = 0; k < PLACE_COUNT; k++)
    tests[3 + k] = (struct CMUnitTest){.name = PLACES[k].name,
                                       .test_func = refusal_points_at_its_place,
                                       .initial_state = (void *)(uintptr_t)&PLACES[k]};
  return cmocka_run_group_tests_name("plans from source", tests, NULL, NULL);
}
