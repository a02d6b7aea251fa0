/* What stands around a drawing: words end on the paper, marks
 * at the seam of the wall are whole, and a wall far deeper than long keeps letters that can be
 * read.
 *
 * A bold letter counts 0.66 em, a plain one 0.56 em; tests/browser/ measures what a browser makes
 * of them. */
#include "draw/drawn.h"

static double attribute(const struct drawn *drawn, const char *node, const char *name) {
  char expression[300];
  snprintf(expression, sizeof expression, "number(%s/@%s)", node, name);
  return drawn_number(drawn, expression);
}

/* x, y, width, height of the root's view. */
static void view_of(const struct drawn *drawn, double view[4]) {
  char *text = drawn_text(drawn, "string(/s:svg/@viewBox)");
  assert_int_equal(sscanf(text, "%lf %lf %lf %lf", &view[0], &view[1], &view[2], &view[3]), 4);
  xmlFree(text);
}

static void title_fits(const char *text) {
  struct drawn drawn = drawn_read(text);
  double view[4], em = attribute(&drawn, "/s:svg", "font-size");
  const char *title = "(//s:text[@class='head-line'])[1]";
  view_of(&drawn, view);
  double size = attribute(&drawn, title, "font-size");
  if (!(size > 0))
    size = em;
  char expression[200];
  snprintf(expression, sizeof expression, "string-length(%s)", title);
  double end = attribute(&drawn, title, "x") + 0.66 * size * drawn_number(&drawn, expression);
  assert_true(end <= view[0] + view[2] + 1e-6 * view[2]);
  assert_true(size > 0.5 * em);
  drawn_free(&drawn);
}

static void long_titles(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "tests/browser/long_riser.lay");
  assert_non_null(outcome.verdict);
  title_fits(draw_plan(arena, &outcome, 0, 100, &plain_look));
  title_fits(draw_wall(arena, &outcome, 0, &plain_look));
  title_fits(draw_thickness(arena, &outcome, 0, &plain_look));
  title_fits(draw_bore(arena, &outcome, 0, &plain_look));
  title_fits(draw_section(arena, &outcome, 100, &plain_look));
  arena_free(arena);
}

/* The lines under the title and the words of the scale below, small. */
static void lines_fit(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "tests/browser/long_riser.lay");
  struct drawn drawn = drawn_read(draw_section(arena, &outcome, 100, &plain_look));
  double view[4], em = attribute(&drawn, "/s:svg", "font-size");
  view_of(&drawn, view);
  size_t count = drawn_count(&drawn, "//s:text[starts-with(@class,'small')]");
  assert_true(count > 8);
  for (size_t i = 1; i <= count; i++) {
    char node[100], expression[200];
    snprintf(node, sizeof node, "(//s:text[starts-with(@class,'small')])[%zu]", i);
    snprintf(expression, sizeof expression, "%s[not(@transform)][not(contains(@class,'mid'))]/@x",
             node);
    if (drawn_count(&drawn, expression) == 0)
      continue;
    snprintf(expression, sizeof expression, "substring-after(%s/@style,'font-size:')", node);
    char *style = drawn_text(&drawn, expression);
    double size = *style ? strtod(style, NULL) : 0.8 * em, x = attribute(&drawn, node, "x");
    xmlFree(style);
    snprintf(expression, sizeof expression, "string-length(%s)", node);
    double wide = 0.56 * size * drawn_number(&drawn, expression);
    snprintf(expression, sizeof expression, "%s[contains(@class,'end')]", node);
    bool is_end = drawn_count(&drawn, expression) > 0;
    assert_true(is_end ? x - wide >= view[0] - em : x + wide <= view[0] + view[2] + em);
  }
  drawn_free(&drawn);
  arena_free(arena);
}

/* 188 mm round and 670 deep: a quarter of the depth, and it says so. */
static void depths_drawn_together(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, "tests/browser/long_riser.lay");
  struct drawn drawn = drawn_read(draw_wall(arena, &outcome, 0, &plain_look));
  double view[4];
  view_of(&drawn, view);
  assert_close(attribute(&drawn, "/s:svg", "data-depth-scale"), 0.25, 0, 0);
  assert_int_equal(drawn_count(&drawn, "//s:text[.='s drawn 4 times as large as depth']"), 1);
  assert_true(view[3] < 1.3 * view[2]);
  /* A lap of 7 mm, in the scaled group, where the stream's own figures stand. */
  assert_int_equal(drawn_count(&drawn, "//s:g[@transform='scale(1 0.25)']/s:g[@class='beads']"
                                       "[@stroke-width='7']"),
                   1);
  drawn_free(&drawn);
  arena_free(arena);
}

/* keyway_track.lay starts a ring where s begins anew, or near it: nothing of a mark is cut off. */
static void marks_are_whole(void **state) {
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, *state);
  struct drawn drawn = drawn_read(draw_wall(arena, &outcome, 0, &plain_look));
  assert_int_equal(drawn_count(&drawn, "//s:svg[@class='field']//s:path[@class='start']"), 0);
  assert_true(drawn_count(&drawn, "/s:svg/s:g[contains(@class,'layer')]//s:path[@class='start']") >
              0);
  drawn_free(&drawn);
  arena_free(arena);
}

/* Letters of a plan printed by itself: 3.2 mm high, small ones 2.56, ISO 3098-1:2015 having 2.5 mm
 * as its second smallest height (from memory). */
static void letters_of_a_sheet(void **state) {
  struct arena *arena = arena_new();
  struct outcome outcome = outcome_of(arena, *state);
  struct drawn drawn = drawn_read(draw_plan(arena, &outcome, 0, 1, &plain_look));
  double view[4];
  view_of(&drawn, view);
  char *width = drawn_text(&drawn, "string(/s:svg/@width)");
  double em = attribute(&drawn, "/s:svg", "font-size") * strtod(width, NULL) / view[2];
  assert_close(em, 3.2, 0.01, 0);
  assert_true(strtod(width, NULL) <= 180);
  xmlFree(width);
  drawn_free(&drawn);
  arena_free(arena);
}

int main(void) {
  static char rings[] = "programs/valve_bore.lay", keyway[] = "programs/keyway_track.lay";
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(long_titles),
      cmocka_unit_test(lines_fit),
      cmocka_unit_test(depths_drawn_together),
      cmocka_unit_test_prestate(marks_are_whole, keyway),
      cmocka_unit_test_prestate(letters_of_a_sheet, rings),
  };
  int failed = cmocka_run_group_tests_name("draw/paper", tests, NULL, NULL);
  xmlCleanupParser();
  return failed;
}
