/* Rehearsals and welds that are taken up again, from their rows beside those of the whole weld. */
#include "cli/program.h"
#include "cli/rows.h"

#include <math.h>

static struct rows stream_of(struct program *program, const char *line) {
  char path[1400];
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
  path_in(path, program, "out.csv");
  char *text = file_read(path);
  assert_non_null(text);
  struct rows rows = rows_read(text);
  rows.end_line = NULL; /* it lies in the text */
  free(text);
  return rows;
}

static bool same_place(const struct row *a, const struct row *b, double most) {
  double way = sqrt((a->x - b->x) * (a->x - b->x) + (a->y - b->y) * (a->y - b->y) +
                    (a->z - b->z) * (a->z - b->z));
  return way <= most;
}

/* The same rows, but for arc, gas, wire and voltage control. */
static void test_rehearsal(void **state) {
  struct program *program = *state;
  struct rows weld = stream_of(program, "compile @port.lay -q -o out.csv");
  struct rows dry = stream_of(program, "compile @port.lay --rehearse -q -o out.csv");
  assert_non_null(strstr(weld.header, "\n# mode weld\n"));
  assert_non_null(strstr(dry.header, "\n# mode rehearsal\n"));
  assert_int_equal(dry.count, weld.count);
  for (size_t i = 0; i < dry.count; i++) {
    const struct row *a = &weld.items[i], *b = &dry.items[i];
    assert_true(a->t == b->t && a->x == b->x && a->y == b->y && a->z == b->z && a->head == b->head);
    assert_string_equal(a->phase, b->phase);
    assert_true(a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap &&
                a->line == b->line);
    assert_true(!b->arc && !b->gas && !b->avc && b->current == 0 && b->voltage == 0 &&
                b->wire == 0 && b->wire_current == 0);
  }
  rows_free(&weld);
  rows_free(&dry);
  assert_int_equal(program_run(program, "compile @port.lay --rehearse --json -o out.csv"), 0);
  assert_non_null(strstr(program->out, "\"mode\": \"rehearsal\""));
  assert_int_equal(program_run(program, "compile @port.lay --rehearse -o out.csv"), 0);
  assert_non_null(strstr(program->out, "\nREHEARSAL: arc, wire, gas and voltage control are off"));
  assert_non_null(strstr(program->out, "local rules on moving machinery"));
  assert_non_null(strstr(program->out, "arc time   0 h 00 min 00.0 s"));
}

/* Faster, over the same places: every run begins and ends where it does in the weld. */
static void test_fast_rehearsal(void **state) {
  struct program *program = *state;
  struct rows weld = stream_of(program, "compile @port.lay -q -o out.csv");
  struct rows fast = stream_of(program, "compile @port.lay --rehearse --times 3 -q -o out.csv");
  assert_true(fast.count < weld.count / 2);
  size_t runs = 0, k = 0;
  for (size_t i = 1; i < weld.count; i++) {
    if (strcmp(weld.items[i].phase, "weld") != 0 || strcmp(weld.items[i - 1].phase, "weld") == 0)
      continue;
    for (k++; k < fast.count; k++)
      if (strcmp(fast.items[k].phase, "weld") == 0 && strcmp(fast.items[k - 1].phase, "weld") != 0)
        break;
    assert_true(k < fast.count);
    assert_true(same_place(&weld.items[i], &fast.items[k], 2e-6));
    runs++;
  }
  assert_true(runs > 8);
  rows_free(&weld);
  rows_free(&fast);
}

static size_t last_row(const struct rows *rows, const char *phase) {
  for (size_t i = rows->count; i > 0; i--)
    if (strcmp(rows->items[i - 1].phase, phase) == 0)
      return i - 1;
  fail_msg("no row of %s", phase);
  return 0;
}

/* Behind the run-up it goes where the whole weld goes, at the same time to the end. */
static void compare_rest(const struct rows *weld, const struct rows *rest, double tick) {
  size_t shift = last_row(weld, "downslope") - last_row(rest, "downslope"), compared = 0;
  size_t first = 0;
  while (strcmp(rest->items[first].phase, "weld") != 0)
    first++;
  size_t settled = first + (size_t)(2 / tick);
  for (size_t i = settled; i <= last_row(rest, "downslope"); i++) {
    const struct row *a = &weld->items[i + shift], *b = &rest->items[i];
    assert_true(same_place(a, b, 0.001));
    double turns = (a->head - b->head) / 360;
    assert_true(fabs(turns - round(turns)) * 360 < 1e-3);
    assert_string_equal(a->phase, b->phase);
    assert_true(a->arc == b->arc && a->current == b->current && a->wire == b->wire);
    assert_true(a->layer == b->layer && a->lap == b->lap && a->overlay == b->overlay);
    compared++;
  }
  assert_true(compared > 1000);
}

struct place {
  const char *name, *where;
  double along;      /* mm, asked for */
  double behind_end; /* > 0: in a zone, where the next run starts anew */
};
static const struct place PLACES[] = {
    {"a level first turn", "overlay=low_wall,layer=1,lap=1,along=300mm", 300, 0},
    {"a sinking turn", "overlay=low_wall,layer=2,lap=3,along=20mm", 20, 0},
    {"just behind a border of laps", "overlay=low_wall,layer=1,lap=2,along=376.9mm", 376.9, 0},
    {"the mouth of the port", "overlay=low_wall,layer=1,lap=3,along=94mm", 94, 1},
    {"the second overlay", "overlay=ring_wall,layer=1,lap=2,along=5in", 127, 0},
};

static void test_rest(void **state) {
  const struct place *place = *state;
  void *own = NULL;
  char line[200];
  assert_int_equal(program_setup(&own), 0);
  struct program *program = own;
  struct rows weld = stream_of(program, "compile @port.lay -q -o out.csv");
  snprintf(line, sizeof line, "compile @port.lay -q -o out.csv --resume %s", place->where);
  struct rows rest = stream_of(program, line);
  assert_non_null(strstr(rest.header, "\n# mode resume\n"));
  assert_true(rest.count < weld.count);
  compare_rest(&weld, &rest, weld.items[1].t);
  /* the arc starts a tie-in of 6 mm before the place, or a little more (at the border of a lap) */
  size_t first = 0;
  while (!rest.items[first].arc)
    first++;
  const struct row *start = &rest.items[first];
  int dir = strstr(place->where, "low_wall") ? -1 : 1;
  double angle = start->head * (acos(-1) / 180), s = 60 * angle;
  double before = dir * (place->along - s), turn = 120 * acos(-1);
  before -= turn * floor(before / turn);
  if (place->behind_end > 0)
    assert_true(before > turn - 25); /* the far edge of the zone lies ahead */
  else
    assert_true(before >= 6 - 1e-3 && before < 8);
  rows_free(&weld);
  rows_free(&rest);
  assert_int_equal(program_teardown(&own), 0);
}

/* The wire comes later than a tie-in of 3 mm behind the start: what is laid anew reaches back over
 * the place all the same, and no farther than a run-up and some ticks ask for.  Common practice, no
 * source: a restart laps the bead that was broken off. */
struct late_place {
  const char *name, *where, *set;
  double along, drawn; /* mm */
  bool is_own_start;   /* nearer to the run's own start than the wire needs */
};
static const struct late_place LATE_PLACES[] = {
    {"late wire in a turn", "overlay=turn_wall,layer=1,lap=1,along=120mm", "", 120, 0, false},
    {"late wire in a sinking turn", "overlay=turn_wall,layer=1,lap=3,along=200mm", "", 200, 0,
     false},
    {"late wire in the second layer", "overlay=step_wall,layer=2,lap=1,along=60mm", "", 60, 0,
     false},
    {"late wire that was drawn back", "overlay=turn_wall,layer=1,lap=1,along=120mm",
     " --set drawn=7mm", 120, 7, false},
    {"a tie-in that the wire keeps", "overlay=turn_wall,layer=1,lap=1,along=120mm",
     " --set wire=1.1s", 120, 0, false},
    {"late wire near the run's own start", "overlay=turn_wall,layer=1,lap=1,along=5mm", "", 5, 0,
     true},
};

/* The row behind the one with which metal begins: what was drawn back is fed first. */
static size_t metal_row(const struct rows *rows, double drawn) {
  double fed = 0;
  for (size_t i = 0; i + 1 < rows->count; i++) {
    if (rows->items[i].arc && rows->items[i].wire > 0)
      fed += rows->items[i].wire * (rows->items[i + 1].t - rows->items[i].t);
    if (fed > drawn)
      return i + 1;
  }
  fail_msg("no wire");
  return 0;
}

/* mm of contour from the row to the place, within half a turn. */
static double before_place(const struct row *row, double along) {
  double turn = 120 * acos(-1), before = along - row->head / 360 * turn;
  return before - turn * round(before / turn);
}

static void test_late_wire(void **state) {
  const struct late_place *place = *state;
  void *own = NULL;
  char line[300];
  assert_int_equal(program_setup(&own), 0);
  struct program *program = own;
  snprintf(line, sizeof line, "compile @later_wire.lay -q -o out.csv --resume %s%s", place->where,
           place->set);
  struct rows rest = stream_of(program, line);
  size_t first = 0;
  while (!rest.items[first].arc)
    first++;
  double start = before_place(&rest.items[first], place->along);
  double metal = before_place(&rest.items[metal_row(&rest, place->drawn)], place->along);
  if (place->is_own_start) {
    assert_close(start, place->along, 1e-3, 0);
  } else {
    assert_true(start >= 3 - 1e-3);
    assert_true(metal >= 0);
    assert_true(metal < 0.3 || start < 3 + 1e-3);
  }
  snprintf(line, sizeof line, "verify -q out.csv --job @later_wire.lay --mode resume%s",
           place->set);
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
  rows_free(&rest);
  assert_int_equal(program_teardown(&own), 0);
}

int main(void) {
  enum { LATE_COUNT = sizeof LATE_PLACES / sizeof LATE_PLACES[0] };
  enum { PLACES_COUNT = sizeof PLACES / sizeof PLACES[0] };
  struct CMUnitTest tests[PLACES_COUNT + LATE_COUNT + 2] = {
      cmocka_unit_test_setup_teardown(test_rehearsal, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_fast_rehearsal, program_setup, program_teardown)};
  for (size_t i = 0; i < PLACES_COUNT; i++)
    tests[i + 2] =
        (struct CMUnitTest){PLACES[i].name, test_rest, NULL, NULL, (void *)(uintptr_t)&PLACES[i]};
  for (size_t i = 0; i < LATE_COUNT; i++)
    tests[PLACES_COUNT + 2 + i] = (struct CMUnitTest){LATE_PLACES[i].name, test_late_wire, NULL,
                                                      NULL, (void *)(uintptr_t)&LATE_PLACES[i]};
  return _cmocka_run_group_tests("kinds of streams", tests, PLACES_COUNT + LATE_COUNT + 2, NULL,
                                 NULL);
}
