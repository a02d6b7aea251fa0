/* The values that a param takes, and the points of a grid. */
#include "borelay/grid.h"

#include <stdint.h>
#include <string.h>

#include "borelay/arena.h"
#include "support/close.h"

struct vary_row {
  const char *text;
  const char *values; /* with blanks between; NULL: refused */
  const char *why;
};
static const struct vary_row VARIES[] = {
    {"size=160mm..200mm:5", "160mm 170mm 180mm 190mm 200mm", NULL},
    {"size=160..200mm:3", "160mm 180mm 200mm", NULL},
    {"size=6in..6.5in:3", "6in 6.25in 6.5in", NULL},
    {"a.size=-10mm..10mm:3", "-10mm 0mm 10mm", NULL},
    {"size=200mm..160mm:2", "200mm 160mm", NULL}, /* downward: as asked */
    {"layers=1..4:4", "1 2 3 4", NULL},
    {"layers=2..2:1", "2", NULL},
    {"share=10%..30%:3", "10% 20% 30%", NULL},
    {"speed=150 mm/min .. 180 mm/min:2", "150mm/min 180mm/min", NULL},
    {"part=0.1..0.3:3", "0.1 0.2 0.3", NULL},
    {"part=0..1:4", "0 0.333333333333 0.666666666667 1", NULL},
    {"accel=1e2mm/s2..3e2mm/s2:3", "1e2mm/s2 200mm/s2 3e2mm/s2", NULL},
    {"size=160mm", "160mm", NULL},
    {"pitch=4mm,4.5mm,6mm", "4mm 4.5mm 6mm", NULL},
    {"at=(1,2)mm,(3,4)mm", "(1,2)mm (3,4)mm", NULL},
    {"band=10mm..20mm,12mm..22mm", "10mm..20mm 12mm..22mm", NULL},
    {"name=\"a,b\",\"c\"", "\"a,b\" \"c\"", NULL},
    {"name=\"a..b:c\"", "\"a..b:c\"", NULL},
    {"size", NULL, "write NAME=lo..hi:n or NAME=a,b,c"},
    {"=1..2:3", NULL, "write NAME=lo..hi:n or NAME=a,b,c"},
    {"size=", NULL, "a value is missing; write NAME=lo..hi:n or NAME=a,b,c"},
    {"size=1mm,,2mm", NULL, "a value is missing; write NAME=lo..hi:n or NAME=a,b,c"},
    {"size=1mm,", NULL, "a value is missing; write NAME=lo..hi:n or NAME=a,b,c"},
    {"size=1mm..2mm", NULL, "how many values? write size=1mm..2mm:n"},
    {"size=1mm..2mm:0", NULL, "`0` is no count of values"},
    {"size=1mm..2mm:x", NULL, "`x` is no count of values"},
    {"size=1mm..2mm:", NULL, "`` is no count of values"},
    {"size=1mm..2mm:2.5", NULL, "`2.5` is no count of values"},
    {"size=1mm..2in:3", NULL, "the ends have two units, mm and in"},
    {"size=1mm..2:3", NULL, "the ends have two units, mm and none"},
    {"size=low..high:3", NULL, "`low..high` does not go from one number to another"},
    {"size=+1..2:3", NULL, "`+1..2` does not go from one number to another"},
    {"size=1mm..2mm:1", NULL, "one value is written size=1mm"},
    {"size=1mm..2mm:10001", NULL, "10001 values are more than 10000 points"},
};

static void vary_is_read(void **state) {
  const struct vary_row *row = *state;
  struct arena *arena = arena_new();
  struct vary vary;
  const char *why = NULL;
  char got[256] = "";
  assert_int_equal(vary_read(arena, row->text, &vary, &why), row->values != NULL);
  if (!row->values) {
    assert_string_equal(why, row->why);
  } else {
    for (size_t i = 0; i < vary.count; i++) {
      strcat(got, i ? " " : "");
      strcat(got, vary.values[i]);
    }
    assert_string_equal(got, row->values);
    assert_int_equal(strncmp(row->text, vary.name, strlen(vary.name)), 0);
    assert_int_equal(row->text[strlen(vary.name)], '=');
  }
  arena_free(arena);
}

static void last_param_changes_first(void **state) {
  (void)state;
  const char *sizes[] = {"1mm", "2mm", "3mm"}, *layers[] = {"1", "2"}, *names[] = {"x", "y"};
  struct vary varies[] = {{"size", sizes, 3}, {"name", names, 2}, {"layers", layers, 2}};
  struct grid grid = {"job.lay", varies, 3};
  assert_int_equal(grid_points(&grid), 12);
  for (size_t point = 0; point < 12; point++) {
    assert_string_equal(grid_value(&grid, point, 0), sizes[point / 4]);
    assert_string_equal(grid_value(&grid, point, 1), names[point / 2 % 2]);
    assert_string_equal(grid_value(&grid, point, 2), layers[point % 2]);
  }
}

static void points_do_not_overflow(void **state) {
  (void)state;
  struct vary varies[8];
  for (size_t i = 0; i < 8; i++)
    varies[i] = (struct vary){"p", NULL, GRID_POINTS_MOST};
  assert_true(grid_points(&(struct grid){"job.lay", varies, 8}) == SIZE_MAX);
  assert_int_equal(grid_points(&(struct grid){"job.lay", varies, 1}), GRID_POINTS_MOST);
}

enum { VARY_COUNT = sizeof VARIES / sizeof VARIES[0] };

int main(void) {
  struct CMUnitTest tests[VARY_COUNT + 2] = {cmocka_unit_test(last_param_changes_first),
                                             cmocka_unit_test(points_do_not_overflow)};
  for (size_t k = 0; k < VARY_COUNT; k++)
    tests[2 + k] = (struct CMUnitTest){.name = VARIES[k].text,
                                       .test_func = vary_is_read,
                                       .initial_state = (void *)(uintptr_t)&VARIES[k]};
  return cmocka_run_group_tests_name("vary", tests, NULL, NULL);
}
