/* Expressions and dimensions: what each comes to, and the algebra behind. */
#include "borelay/num.h"
#include "resolve/dimension.h"
#include "resolve/resolver.h"
#include "support/case_run.h"

#define DEG (NUM_PI / 180)

/* -- expressions ------------------------------------------------------------------- */

/* Figures by hand; x in base units (mm, s, rad, A, V, g, degC). */
static const struct expression {
  const char *text, *phrase; /* what it measures */
  double x[3];
  int count;
} expressions[] = {
    {"12", "a pure number", {12}, 1},
    {"45 %", "a pure number", {0.45}, 1},
    {"1 + 2 * 3 - 4 / 8", "a pure number", {6.5}, 1},
    {"-(2 + 1) * 2", "a pure number", {-6}, 1},
    {"8 - 4 - 2", "a pure number", {2}, 1},
    {"16 / 4 / 2", "a pure number", {2}, 1},
    {"1 in + 0.6 mm", "a length", {26}, 1},
    {"2 mm * 3 mm", "an area", {6}, 1},
    {"2 mm * 3 mm * 4 mm", "a volume", {24}, 1},
    {"180 mm / 1 min", "a speed", {3}, 1},
    {"3 mm/s * 2 s", "a length", {6}, 1},
    {"6 mm/s / 2 s", "an acceleration", {3}, 1},
    {"1 / 4 s", "a frequency", {0.25}, 1},
    {"200 A * 12 V", "a power", {2400}, 1},
    {"200 A * 12 V / 3 mm/s", "an energy per length", {800}, 1},
    {"0.8 kJ/mm * 100 mm", "an energy", {80000}, 1},
    {"8.4 g/cm3 * 2 mm * 1 mm * 500 mm", "a mass", {8.4}, 1},
    {"12 L/min * 2 min", "a volume", {24e6}, 1},
    {"2 A * 3 s", "a value in A s", {6}, 1},
    {"2 / 1 mm / 1 s", "a value in 1/(mm s)", {2}, 1},
    {"3 mm / 1 s / 1 s / 1 s / 1 s", "a value in mm/s4", {3}, 1},
    /* angles */
    {"50 mm * 30 deg", "a length", {50 * NUM_PI / 6}, 1},
    {"30 deg * 50 mm", "a length", {50 * NUM_PI / 6}, 1},
    {"2 * 30 deg", "an angle", {60 * DEG}, 1},
    {"20 deg/s * 3 s", "an angle", {60 * DEG}, 1},
    {"50 mm * 2 rad/s", "a speed", {100}, 1},
    {"90 deg / 3 s", "a turning speed", {30 * DEG}, 1},
    {"90 deg / 1 turn", "a pure number", {0.25}, 1},
    {"90 deg / 30 deg/s", "a time", {3}, 1},
    {"50 mm / 0.5 rad", "a length", {100}, 1},
    {"10 mm * 10 mm * 0.5 rad", "an area", {50}, 1},
    /* functions */
    {"sqrt(9 mm * 4 mm)", "a length", {6}, 1},
    {"sqrt(2.25)", "a pure number", {1.5}, 1},
    {"abs(-3 mm)", "a length", {3}, 1},
    {"min(3 mm, 1 cm, 2 mm)", "a length", {2}, 1},
    {"max(3 mm, 1 cm, 2 mm)", "a length", {10}, 1},
    {"max(20 degC, 32 degF)", "a temperature", {20}, 1},
    {"sin(30 deg)", "a pure number", {0.5}, 1},
    {"cos(60 deg)", "a pure number", {0.5}, 1},
    {"tan(45 deg)", "a pure number", {1}, 1},
    {"atan2(1 mm, -1 mm)", "an angle", {135 * DEG}, 1},
    {"round(2.5) + round(-2.5) + round(1.4)", "a pure number", {1}, 1},
    {"floor(-1.5)", "a pure number", {-2}, 1},
    {"ceil(1.2)", "a pure number", {2}, 1},
    {"min(2, 3) * 1 min", "a time", {120}, 1},
    /* readings */
    {"-10 degC", "a temperature", {-10}, 1},
    {"-40 degF", "a temperature", {-40}, 1},
    /* points */
    {"(1, 2) in", "a point of lengths", {25.4, 50.8}, 2},
    {"(1 cm, 2 mm, -3 mm)", "a point of lengths", {10, 2, -3}, 3},
    {"(8 mm / 2, 0 mm)", "a point of lengths", {4, 0}, 2},
    {"(1, 2) mm + (3, 4) mm", "a point of lengths", {4, 6}, 2},
    {"2 * (1, 2) mm", "a point of lengths", {2, 4}, 2},
    {"-(1, 2) mm / 2", "a point of lengths", {-0.5, -1}, 2},
    /* ranges */
    {"12 .. 140 mm", "a range of lengths", {12, 140}, 2},
    {"1 .. 2 in", "a range of lengths", {25.4, 50.8}, 2},
    {"1 cm .. 2 in", "a range of lengths", {10, 50.8}, 2},
    {"12..140 mm", "a range of lengths", {12, 140}, 2},
    {"2 * 6 .. 1 cm + 20 mm", "a range of lengths", {12, 30}, 2},
    {"twelve .. 140 mm", "a range of lengths", {12, 140}, 2},
    {"-10 .. 20 degC", "a range of temperatures", {-10, 20}, 2},
    {"32 .. 212 degF", "a range of temperatures", {0, 100}, 2},
    {"10 .. 40 %", "a range of pure numbers", {0.1, 0.4}, 2},
    {"5 % .. 40 %", "a range of pure numbers", {0.05, 0.4}, 2},
    {"tenth .. 40 %", "a range of pure numbers", {0.1, 0.4}, 2},
    {"3 .. 3 mm", "a range of lengths", {3, 3}, 2},
    {"1 .. 2", "a range of pure numbers", {1, 2}, 2},
};

static void expression_check(void **state) {
  const struct expression *wanted = *state;
  struct run run;
  run_begin(&run);
  struct resolver r = {
      .arena = run.arena, .lasting = run.arena, .sources = run.sources, .diags = run.diags};
  char source[256];
  snprintf(source, sizeof source, "let x = %s\nlet twelve = 12\nlet tenth = 10 %%\n" JOB,
           wanted->text);
  run_file("job.lay", source);
  assert_true(load_job_file(&r, "job.lay"));
  span nowhere = {0};
  struct value value = name_value(&r, r.root, "x", nowhere);
  if (diag_error_count(run.diags) > 0)
    fail_msg("%s: %s", wanted->text, diag_view_get(run.diags, 0).message);
  char phrase[VALUE_TEXT];
  assert_string_equal(value_phrase(&value, phrase), wanted->phrase);
  assert_int_equal(value.count, wanted->count);
  for (int i = 0; i < value.count; i++)
    assert_close(value.x[i], wanted->x[i], 1e-13, 1e-15);
  run_end(&run);
}

/* -- the algebra --------------------------------------------------------------------- */

static const struct {
  struct dimension a, b;
  bool by; /* divided */
  enum dimension_result result;
  struct dimension value;
} products[] = {
    {{.length = 1}, {.length = 2}, false, DIMENSION_OK, {.length = 3}},
    {{.length = 1}, {.time = 1}, true, DIMENSION_OK, {.length = 1, .time = -1}},
    {{.angle = 1}, {.length = 1}, false, DIMENSION_OK, {.length = 1}},
    {{.angle = 1, .time = -1}, {.length = 1}, false, DIMENSION_OK, {.length = 1, .time = -1}},
    {{.angle = 1}, {.time = 1}, true, DIMENSION_OK, {.angle = 1, .time = -1}},
    {{.angle = 1}, {.time = 1}, false, DIMENSION_OK, {.angle = 1, .time = 1}},
    {{.angle = 1}, {.angle = 1}, true, DIMENSION_OK, {0}},
    {{.length = 1}, {.angle = 1}, true, DIMENSION_OK, {.length = 1}},
    {{.angle = 1}, {.angle = 1}, false, DIMENSION_ANGLES, {0}},
    {{.angle = 1}, {.current = 1}, false, DIMENSION_ANGLES, {0}},
    {{.angle = 1}, {.length = -1}, false, DIMENSION_ANGLES, {0}},
    {{.angle = 1}, {.length = 1}, true, DIMENSION_ANGLES, {0}},
    {{.time = 1}, {.angle = 1}, true, DIMENSION_ANGLES, {0}},
    {{0}, {.angle = 1}, true, DIMENSION_ANGLES, {0}},
    {{.temperature = 1}, {0}, false, DIMENSION_READING, {0}},
    {{0}, {.temperature = 1}, true, DIMENSION_READING, {0}},
    {{.length = 12}, {.length = 1}, false, DIMENSION_TOO_HIGH, {0}},
    {{.mass = -12}, {.mass = 1}, true, DIMENSION_TOO_HIGH, {0}},
};

static void algebra(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof products / sizeof *products; i++) {
    struct dimension value = {0};
    enum dimension_result result = products[i].by
                                       ? dimension_divide(products[i].a, products[i].b, &value)
                                       : dimension_multiply(products[i].a, products[i].b, &value);
    if (result != products[i].result ||
        (result == DIMENSION_OK && !dimension_equal(value, products[i].value)))
      fail_msg("row %zu of products", i);
  }
}

/* Over all named quantities: a product divided by one factor is the other, and order
 * does not matter - but where an angle dropped out. */
static void products_undo(void **state) {
  (void)state;
  size_t checked = 0;
  for (int i = 0; i < QUANTITY_COUNT; i++)
    for (int k = 0; k < QUANTITY_COUNT; k++) {
      struct dimension a = quantity_get((enum quantity)i)->dimension;
      struct dimension b = quantity_get((enum quantity)k)->dimension, ab, ba, back;
      enum dimension_result result = dimension_multiply(a, b, &ab);
      assert_int_equal(result, dimension_multiply(b, a, &ba));
      if (result != DIMENSION_OK)
        continue;
      assert_true(dimension_equal(ab, ba));
      if (ab.angle != a.angle + b.angle)
        continue;
      if (dimension_divide(ab, b, &back) == DIMENSION_OK && ab.angle == b.angle + back.angle) {
        assert_true(dimension_equal(back, a));
        checked++;
      }
    }
  assert_true(checked > 200);
}

int main(void) {
  enum { COUNT = sizeof expressions / sizeof *expressions };
  struct CMUnitTest tests[COUNT + 2];
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){.name = expressions[i].text,
                                   .test_func = expression_check,
                                   .initial_state = (void *)(uintptr_t)&expressions[i]};
  tests[COUNT] = (struct CMUnitTest){.name = "algebra", .test_func = algebra};
  tests[COUNT + 1] = (struct CMUnitTest){.name = "products undo", .test_func = products_undo};
  return _cmocka_run_group_tests("values", tests, COUNT + 2, NULL, NULL);
}
