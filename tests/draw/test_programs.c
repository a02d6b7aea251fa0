/* The drawings of the programs: well formed, and as many marks as there are things to mark. */
#include "draw/drawn.h"

#include <stdio.h>

struct program {
  const char *name, *path;
};

static void is_plain(const char *text) {
  struct drawn drawn = drawn_read(text);
  assert_int_equal(drawn_count(&drawn, "/s:svg/s:title"), 1);
  assert_int_equal(drawn_count(&drawn, "/s:svg/s:desc"), 1);
  assert_int_equal(drawn_count(&drawn, "//s:script"), 0);
  assert_int_equal(drawn_count(&drawn, "//@style"), 0);
  assert_int_equal(drawn_count(&drawn, "//s:path[@d='']/@data-lap"), 0);
  assert_null(strstr(text, "nan"));
  drawn_free(&drawn);
}

/* Laps of every run that lay metal, one bead element each. */
static size_t beads_wanted(const struct outcome *outcome, size_t overlay, size_t layer) {
  const struct plan_layer *laid = &outcome->plan->overlays[overlay].layers[layer];
  size_t count = 0;
  for (size_t i = 0; i < laid->run_count; i++)
    for (size_t k = 0; k < laid->runs[i].leg_count; k++)
      count += k == 0 || laid->runs[i].legs[k].lap != laid->runs[i].legs[k - 1].lap;
  return count;
}

static size_t runs_of(const struct outcome *outcome, size_t overlay) {
  size_t count = 0;
  for (size_t i = 0; i < outcome->verdict->run_count; i++)
    count += outcome->verdict->runs[i].overlay == overlay;
  return count;
}

static void wall_counts(struct arena *arena, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const char *text = draw_wall(arena, outcome, overlay, &plain_look);
  is_plain(text);
  struct drawn drawn = drawn_read(text);
  for (size_t k = 0; k < over->layer_count; k++) {
    char path[120];
    snprintf(path, sizeof path, "//s:path[@class='bead'][@data-layer='%zu'][@data-overlay='%zu']",
             k + 1, overlay + 1);
    assert_int_equal(drawn_count(&drawn, path), beads_wanted(outcome, overlay, k));
  }
  size_t runs = runs_of(outcome, overlay);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='marks']/s:path[@class='start']"), runs);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='marks']/s:path[@class='stop']"), runs);
  assert_int_equal(drawn_count(&drawn, "//s:path[@data-zone]"), over->overlay->zone_count);
  size_t bare = 0;
  for (size_t i = 0; i < outcome->verdict->bare_count; i++)
    bare += outcome->verdict->bare[i].overlay == overlay;
  assert_int_equal(drawn_count(&drawn, "//s:svg[@class='field']//s:g[@class='bare']/s:path"), bare);
  drawn_free(&drawn);
}

static void plan_counts(struct arena *arena, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const char *text = draw_plan(arena, outcome, overlay, 1, &plain_look);
  is_plain(text);
  struct drawn drawn = drawn_read(text);
  size_t runs = runs_of(outcome, overlay);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='paths']/s:path[@class='tip']"),
                   over->layer_count);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='paths']/s:path[@class='head-path']"),
                   over->layer_count);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='marks']/s:path[@class='start']"), runs);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='marks']/s:path[@class='stop']"), runs);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='head']/s:circle"),
                   outcome->job->cell->body_count);
  drawn_free(&drawn);
}

static void whole(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  assert_non_null(outcome.verdict);
  is_plain(draw_checks(arena, &outcome, &plain_look));
  is_plain(draw_axes(arena, &outcome, &plain_look));
  is_plain(draw_section(arena, &outcome, draw_check_time(&outcome, "clearance"), &plain_look));
  for (size_t i = 0; i < outcome.plan->overlay_count; i++) {
    wall_counts(arena, &outcome, i);
    plan_counts(arena, &outcome, i);
    is_plain(draw_bore(arena, &outcome, i, &plain_look));
  }
  arena_free(arena);
}

int main(void) {
  static struct program programs[] = {{"rings in two layers", "programs/valve_bore.lay"},
                                      {"a spiral past a port", "programs/cross_port.lay"},
                                      {"rings over a keyway", "programs/keyway_track.lay"},
                                      {"a boss", "programs/boss_cavity.lay"},
                                      {"two bores", "programs/twin_bores.lay"},
                                      {"a gland", "programs/gland_chamber.lay"},
                                      {"a pocket", "programs/corner_pocket.lay"},
                                      {"bored out", "programs/finished_seat.lay"},
                                      {"a taught round", "programs/worn_wall.lay"}};
  enum { COUNT = sizeof programs / sizeof programs[0] };
  struct CMUnitTest tests[COUNT];
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){programs[i].name, whole, NULL, NULL, &programs[i]};
  int failed = cmocka_run_group_tests_name("draw/programs", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
