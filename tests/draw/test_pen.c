/* Texts and numbers, crossings of rims, steps of scales, what cannot be drawn, folders. */
#include "draw/drawn.h"

#include <dirent.h>
#include <errno.h>
#include <sys/stat.h>
#include <unistd.h>

#include "draw/lane.h"
#include "draw/rim.h"
#include "draw/sheet.h"
#include "support/hand_contour.h"
#include "support/random.h"

static void numbers(void **state) {
  (void)state;
  static const struct {
    double value;
    const char *want;
  } cases[] = {{0, "0"},
               {-0.0, "0"},
               {1, "1"},
               {10, "10"},
               {0.5, "0.5"},
               {1.25, "1.25"},
               {-3.10, "-3.1"},
               {2.004, "2"},
               {-0.004, "0"},
               {99.999, "100"},
               {100, "100"},
               {0.07, "0.07"},
               {12345.678, "12345.68"}};
  struct arena *arena = arena_new();
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
    struct drawing *drawing = pen_new(arena, "a", &plain_look);
    pen(drawing, "%f", cases[i].value);
    assert_string_equal(drawing->text, cases[i].want);
  }
  arena_free(arena);
}

static void escapes(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct drawing *drawing = pen_new(arena, "a", &plain_look);
  pen(drawing, "<a b=\"%s\">%s %d %zu%%</a>", "\"<&>\"", "a\tb\nc\x01 \xc3\xa9 ]]>", -7,
      (size_t)12);
  assert_string_equal(drawing->text, "<a b=\"&quot;&lt;&amp;&gt;&quot;\">a b c? \xc3\xa9 ]]&gt; -7 "
                                     "12%</a>");
  struct drawn drawn = drawn_read(drawing->text);
  char *back = drawn_text(&drawn, "string(/a/@b)");
  assert_string_equal(back, "\"<&>\"");
  xmlFree(back);
  drawn_free(&drawn);
  arena_free(arena);
}

/* A text far longer than its first room. */
static void grows(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct drawing *drawing = pen_new(arena, "a", &plain_look);
  for (int i = 0; i < 50000; i++)
    pen(drawing, "%d,", i % 10);
  assert_int_equal(strlen(drawing->text), 100000);
  assert_int_equal(drawing->text[99998], '9');
  arena_free(arena);
}

static void steps(void **state) {
  (void)state;
  static const double cases[][2] = {{1, 1},        {1.01, 2},  {2.5, 5}, {7, 10},   {0.3, 0.5},
                                    {0.011, 0.02}, {123, 200}, {10, 10}, {0.1, 0.1}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
    assert_close(scale_step(cases[i][0]), cases[i][1], 0, 1e-12);
}

/* A ring of centre (10, 5): a line at height h over the centre crosses at +- sqrt(r2 - h2). */
static void crossings(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct random random = {31};
  print_message("seed 31\n");
  for (int i = 0; i < 500; i++) {
    double radius = random_between(&random, 20, 90), offset = random_between(&random, 0, 10);
    struct contour *contour =
        hand_round(arena, "bore", (vec2){10, 5}, radius, random_between(&random, 0, 7));
    struct rim rim = rim_of_contour(arena, contour, offset);
    double angle = random_between(&random, 0, 7), h = random_between(&random, -100, 100);
    vec2 along = {cos(angle), sin(angle)};
    vec2 from = {10 - h * along.y, 5 + h * along.x};
    double *outs, r = radius - offset;
    size_t count = rim_cut(arena, &rim, from, along, &outs);
    assert_int_equal(count, fabs(h) < r ? 2 : 0);
    if (count == 2) {
      assert_close(outs[0], -sqrt(r * r - h * h), 1e-6, 0);
      assert_close(outs[1], sqrt(r * r - h * h), 1e-6, 0);
    }
  }
  arena_free(arena);
}

/* Lines through a corner of the rim cross it an even number of times all the same. */
static void through_corners(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/boss_cavity.lay");
  struct rim rim = rim_of_contour(arena, outcome.plan->overlays[0].contour, 2);
  for (size_t i = 0; i < rim.count; i++)
    for (size_t k = 0; k < rim.count; k++) {
      vec2 way = vec2_sub(rim.edges[k].b, rim.edges[i].b);
      double length = hypot(way.x, way.y), *outs;
      if (length < 1e-9)
        continue;
      size_t count = rim_cut(arena, &rim, rim.edges[i].b, vec2_scale(way, 1 / length), &outs);
      assert_int_equal(count % 2, 0);
    }
  arena_free(arena);
}

/* -- what there is not ----------------------------------------------------------------------- */

static void nothing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/blind_pocket.lay");
  struct outcome none = {.sources = outcome.sources, .diags = outcome.diags};
  assert_null(draw_plan(arena, &none, 0, 0, &plain_look));
  assert_null(draw_section(arena, &none, 0, &plain_look));
  assert_null(draw_wall(arena, &none, 0, &plain_look));
  assert_null(draw_thickness(arena, &none, 0, &plain_look));
  assert_null(draw_checks(arena, &none, &plain_look));
  assert_null(draw_axes(arena, &none, &plain_look));
  assert_null(draw_bore(arena, &none, 0, &plain_look));
  assert_null(draw_cut_data(arena, &none));
  assert_true(draw_check_time(&none, "clearance") < 0);
  arena_free(arena);
}

/* Refused by a check: everything is drawn, and the bar says so. */
static void refused(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/blind_pocket.lay");
  assert_non_null(outcome.verdict);
  assert_false(outcome_passed(&outcome));
  struct drawn drawn = drawn_read(draw_checks(arena, &outcome, &plain_look));
  assert_true(drawn_count(&drawn, "//s:rect[@class='bar fails']") > 0);
  drawn_free(&drawn);
  assert_non_null(
      draw_section(arena, &outcome, draw_check_time(&outcome, "clearance"), &plain_look));
  assert_non_null(draw_wall(arena, &outcome, 0, &plain_look));
  arena_free(arena);
}

/* Embedded: no style, no size; every id with the prefix. */
static void embedded(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/valve_bore.lay");
  const struct draw_look look = {.prefix = "x-", .embedded = true};
  struct drawn drawn = drawn_read(draw_plan(arena, &outcome, 0, 1, &look));
  assert_int_equal(drawn_count(&drawn, "//s:style"), 0);
  assert_int_equal(drawn_count(&drawn, "/s:svg/@width"), 0);
  assert_int_equal(drawn_count(&drawn, "//@id"), 1);
  assert_int_equal(drawn_count(&drawn, "/s:svg[@id='x-plan-1']"), 1);
  drawn_free(&drawn);
  assert_non_null(strstr(draw_style(arena), ".drawing"));
  arena_free(arena);
}

/* -- folders --------------------------------------------------------------------------------- */

/* Names are apart, lie in the folder, and hold a drawing each. */
static void folder(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "programs/twin_bores.lay");
  size_t count, found = 0;
  const struct output *sheets = draw_sheets(arena, &outcome, "here/of", &count);
  assert_int_equal(count, 4 + 4 * outcome.plan->overlay_count);
  for (size_t i = 0; i < count; i++) {
    assert_int_equal(strncmp(sheets[i].path, "here/of/", 8), 0);
    assert_int_equal(sheets[i].length, strlen(sheets[i].bytes));
    assert_non_null(strstr(sheets[i].bytes, "</svg>"));
    found += strcmp(sheets[i].path, "here/of/wall-2-left.clad.svg") == 0;
    for (size_t k = 0; k < i; k++)
      assert_string_not_equal(sheets[i].path, sheets[k].path);
  }
  assert_int_equal(found, 1);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(numbers),   cmocka_unit_test(escapes),
                                     cmocka_unit_test(grows),     cmocka_unit_test(steps),
                                     cmocka_unit_test(crossings), cmocka_unit_test(through_corners),
                                     cmocka_unit_test(nothing),   cmocka_unit_test(refused),
                                     cmocka_unit_test(embedded),  cmocka_unit_test(folder)};
  int failed = cmocka_run_group_tests_name("draw/pen", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
