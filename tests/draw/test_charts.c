/* Charts: extremes equal what the checks found, shares of limits, thickness of an even wall. */
#include "draw/drawn.h"

#include "borelay/buildup.h"
#include "draw/path_data.h"

struct program {
  const char *name, *path;
};

static const struct check_result *result_of(const struct outcome *outcome, const char *name) {
  for (size_t i = 0; i < outcome->verdict->result_count; i++)
    if (strcmp(outcome->verdict->results[i].name, name) == 0)
      return &outcome->verdict->results[i];
  fail_msg("no check %s", name);
  return NULL;
}

/* The largest share of any axis against the check's worst of all axes. */
static void rate_is(const struct drawn *drawn, const struct outcome *outcome, const char *what,
                    const char *check) {
  const struct check_result *result = result_of(outcome, check);
  double most = 0;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    static const char *const names[] = {"x", "y", "z", "head"};
    char node[200];
    snprintf(node, sizeof node, "//s:g[@data-name='%s %s']/@data-most", names[axis], what);
    double value = drawn_number(drawn, node);
    snprintf(node, sizeof node, "//s:g[@data-name='%s %s']/@data-limit", names[axis], what);
    most = fmax(most, value / drawn_number(drawn, node));
  }
  assert_close(most, result->worst / result->limit, 1e-3, 0);
}

static void band_reaches(const struct drawn *drawn, const struct outcome *outcome) {
  struct drawn_path *path = malloc(sizeof *path);
  for (size_t panel = 1; panel <= 8; panel++) {
    char node[200];
    snprintf(node, sizeof node, "string((//s:path[@class='span'])[%zu]/@d)", panel);
    char *data = drawn_text(drawn, node);
    path_read(path, data);
    snprintf(node, sizeof node, "string((//s:g[@class='panel']/s:path[@class='limit'])[%zu]/@d)",
             panel);
    char *limit = drawn_text(drawn, node);
    double up, down, right, lo = INFINITY, hi = -INFINITY, end = 0;
    assert_int_equal(sscanf(limit, "M0 %lfH%lfM0 %lf", &up, &right, &down), 3);
    for (size_t i = 0; i < path->count; i++) {
      lo = fmin(lo, path->edges[i].b.y);
      hi = fmax(hi, path->edges[i].b.y);
      end = fmax(end, path->edges[i].b.x);
    }
    snprintf(node, sizeof node, "(//s:g[@class='panel'])[%zu]/@data-most", panel);
    double most = drawn_number(drawn, node);
    snprintf(node, sizeof node, "(//s:g[@class='panel'])[%zu]/@data-limit", panel);
    double share = most / drawn_number(drawn, node), middle = (up + down) / 2;
    assert_close(fmax(middle - lo, hi - middle), share * (down - up) / 2, 0.12, 0);
    assert_close(end, right, 1e-9, 0);
    xmlFree(limit);
    xmlFree(data);
  }
  free(path);
  (void)outcome;
}

static void axes(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  struct drawn drawn = drawn_read(draw_axes(arena, &outcome, &plain_look));
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='panel']"), 8);
  rate_is(&drawn, &outcome, "speed", "axis-speed");
  rate_is(&drawn, &outcome, "acceleration", "axis-accel");
  band_reaches(&drawn, &outcome);
  drawn_free(&drawn);
  arena_free(arena);
}

/* Every stretch of time against the pieces' values within it. */
static void buckets(void **state) {
  const struct program *program = *state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, program->path);
  const struct axis_ranges *ranges = draw_axis_ranges(arena, outcome.motion, 1000);
  const struct cell *cell = outcome.job->cell;
  for (size_t i = 0; i < outcome.motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    piece_iter_begin(&iter, outcome.motion, &outcome.motion->phases[i]);
    while (piece_iter_next(&iter, &piece))
      for (int k = 1; k < 8; k++) {
        double t = piece.t0 + (piece.t1 - piece.t0) * k / 8;
        size_t at = (size_t)(t / ranges->duration * 1000);
        struct jet jet = piece_jet(&piece, t);
        for (int axis = 0; axis < AXIS_COUNT; axis++) {
          double speed = 6e-4 * cell->axis[axis].speed, accel = 6e-4 * cell->axis[axis].accel;
          assert_true(jet.d[axis][1] <= ranges->speed[axis][at].hi + speed);
          assert_true(jet.d[axis][1] >= ranges->speed[axis][at].lo - speed);
          assert_true(jet.d[axis][2] <= ranges->accel[axis][at].hi + accel);
          assert_true(jet.d[axis][2] >= ranges->accel[axis][at].lo - accel);
        }
      }
    piece_iter_release(&iter);
  }
  arena_free(arena);
}

/* -- checks ---------------------------------------------------------------------------------- */

/* Width of a check's bar as a share of the limit's line; 0: no bar. */
static double bar_of(const struct drawn *drawn, const char *name) {
  char node[200];
  snprintf(node, sizeof node, "//s:g[@data-check='%s']/s:rect", name);
  if (drawn_count(drawn, node) == 0)
    return 0;
  char *line = drawn_text(drawn, "string(//s:path[@class='limit']/@d)");
  double limit;
  assert_int_equal(sscanf(line, "M%lf 0", &limit), 1);
  xmlFree(line);
  snprintf(node, sizeof node, "//s:g[@data-check='%s']/s:rect/@width", name);
  return drawn_number(drawn, node) / limit;
}

static void shares(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct cell cell = {.axis = {[AXIS_X] = {.travel = {-400, 600}}}};
  struct job job = {.cell = &cell};
  struct check_result results[] = {
      {.name = "axis-travel",
       .judged = true,
       .passed = true,
       .worst = 450,
       .limit = 600,
       .unit = "mm",
       .detail = "axis x at"},
      {.name = "most", .judged = true, .passed = true, .worst = 3, .limit = 4, .unit = "mm"},
      {.name = "least", .judged = true, .passed = true, .worst = 5, .limit = 4, .unit = "mm"},
      {.name = "too much", .judged = true, .passed = false, .worst = 4.4, .limit = 4, .unit = "mm"},
      {.name = "too little", .judged = true, .passed = false, .worst = 1, .limit = 4, .unit = "mm"},
      {.name = "none wanted",
       .judged = true,
       .passed = true,
       .worst = 0,
       .limit = 0,
       .unit = "layers"},
      {.name = "one too many",
       .judged = true,
       .passed = false,
       .worst = 1,
       .limit = 0,
       .unit = "layers"},
      {.name = "not asked", .judged = false}};
  struct verdict verdict = {.results = results, .result_count = sizeof results / sizeof results[0]};
  struct outcome outcome = {.job = &job, .verdict = &verdict};
  struct drawn drawn = drawn_read(draw_checks(arena, &outcome, &plain_look));
  assert_close(bar_of(&drawn, "axis-travel"), 0.7, 1e-3, 0);
  assert_close(bar_of(&drawn, "most"), 0.75, 1e-3, 0);
  assert_close(bar_of(&drawn, "least"), 0.8, 1e-3, 0);
  assert_close(bar_of(&drawn, "too much"), 1.1, 1e-3, 0);
  assert_close(bar_of(&drawn, "too little"), 1.25, 1e-3, 0);
  assert_true(bar_of(&drawn, "none wanted") == 0);
  assert_close(bar_of(&drawn, "one too many"), 1.25, 1e-3, 0);
  assert_true(bar_of(&drawn, "not asked") == 0);
  assert_int_equal(drawn_count(&drawn, "//s:rect[@class='bar fails']"), 3);
  assert_int_equal(drawn_count(&drawn, "//s:g[@class='check']"), 8);
  assert_int_equal(drawn_count(&drawn, "//s:text[.='not asked']"), 2);
  drawn_free(&drawn);
  arena_free(arena);
}

/* -- thickness ------------------------------------------------------------------------------- */

/* Level of the rectangle that covers a place of the wall; -1: none. */
static int level_at(const struct drawn *drawn, double s, double depth) {
  for (int level = 0; level < 10; level++) {
    char node[200];
    snprintf(node, sizeof node, "string(//s:g[@class='thickness last']/s:path[@class='t%d']/@d)",
             level);
    char *data = drawn_text(drawn, node);
    const char *at = data;
    double x0, y0, x1, y1;
    int used;
    while (sscanf(at, "M%lf %lfH%lfV%lfH%*fz%n", &x0, &y0, &x1, &y1, &used) == 4) {
      if (s >= x0 && s < x1 && depth >= y0 && depth < y1) {
        xmlFree(data);
        return level;
      }
      at += used;
    }
    xmlFree(data);
  }
  return -1;
}

/* Two layers of rings: the level of a place is that of its thickness in the build-up. */
static void levels(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/valve_bore.lay");
  const struct buildup *buildup = buildup_make(arena, outcome.motion, 0);
  struct drawn drawn = drawn_read(draw_thickness(arena, &outcome, 0, &plain_look));
  double step = drawn_number(&drawn, "//s:g[@class='thickness scale']/s:text[2]");
  assert_true(step > 0);
  for (int i = 0; i < 40; i++) {
    double s = 6.5 * i + 1, depth = 38; /* in the middle of the band all is even over depth */
    double t = buildup_thickness(buildup, 2, s, depth), share = t / step;
    int level = level_at(&drawn, s, depth);
    /* A cell shows its own middle: a level more or less near a start. */
    if (fabs(share - floor(share + 0.5)) > 0.05)
      assert_true(abs(level - (int)floor(share)) <= 1);
    assert_true(level > 0);
  }
  assert_int_equal(level_at(&drawn, 100, 20), -1);
  drawn_free(&drawn);
  arena_free(arena);
}

/* The scale is told by the line of what is required: 0 lies at the field's lower edge. */
static void floors(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/valve_bore.lay");
  const struct plan_overlay *over = &outcome.plan->overlays[0];
  struct drawn drawn = drawn_read(draw_bore(arena, &outcome, 0, &plain_look));
  char *limit = drawn_text(&drawn, "string(//s:path[@class='limit']/@d)");
  char *floor = drawn_text(&drawn, "string(//s:path[@class='floor']/@d)");
  double required, zero, line;
  assert_int_equal(sscanf(limit, "M0 %lf", &required), 1);
  assert_int_equal(sscanf(floor, "M%*f %lfV%lf", &zero, &line), 2);
  assert_close((zero - line) / (zero - required) * over->overlay->required_thickness,
               plan_build_up_least(over, &over->contour->segs[0], 38), 0.002, 0);
  xmlFree(limit);
  xmlFree(floor);
  drawn_free(&drawn);
  arena_free(arena);
}

int main(void) {
  static struct program programs[] = {{"valve_bore", "programs/valve_bore.lay"},
                                      {"boss_cavity", "programs/boss_cavity.lay"},
                                      {"corner_pocket", "programs/corner_pocket.lay"},
                                      {"cross_port", "programs/cross_port.lay"},
                                      {"twin_bores", "programs/twin_bores.lay"}};
  enum { COUNT = sizeof programs / sizeof programs[0] };
  struct CMUnitTest tests[2 * COUNT + 3];
  for (size_t i = 0; i < COUNT; i++) {
    tests[2 * i] = (struct CMUnitTest){programs[i].name, axes, NULL, NULL, &programs[i]};
    tests[2 * i + 1] = (struct CMUnitTest){programs[i].name, buckets, NULL, NULL, &programs[i]};
  }
  tests[2 * COUNT] = (struct CMUnitTest)cmocka_unit_test(shares);
  tests[2 * COUNT + 1] = (struct CMUnitTest)cmocka_unit_test(levels);
  tests[2 * COUNT + 2] = (struct CMUnitTest)cmocka_unit_test(floors);
  int failed = cmocka_run_group_tests_name("draw/charts", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
