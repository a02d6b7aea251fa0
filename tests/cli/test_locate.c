/* Where a row is: the whole text, and the place that leads back to it. */
#include "cli/program.h"
#include "cli/rows.h"

static struct rows compiled(struct program *program, const char *line) {
  char path[1400];
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
  path_in(path, program, "out.csv");
  char *text = file_read(path);
  struct rows rows = rows_read(text);
  rows.end_line = NULL; /* it lies in the text */
  free(text);
  return rows;
}

static void test_words(void **state) {
  struct program *program = *state;
  struct rows rows = compiled(program, "compile @bore.lay -q -o out.csv");
  rows_free(&rows);
  assert_int_equal(program_run(program, "locate out.csv --time 20.019s --job @bore.lay"), 0);
  assert_string_equal(program->err, "");
  assert_string_equal(
      program->out,
      "row 1000 of 13952, 20.000000 s of 279.020000 s: welding at full current\n"
      "  overlay 1 ring_wall, layer 1, lap 1  (bore.lay:5)\n"
      "  arc on   200.0 A, 11.50 V; wire 25.000 mm/s, 50.0 A; gas on; voltage control on\n"
      "  H        x 23.100316 y 30.834285 z 400.000000 mm, head 39.591588 deg\n"
      "  tip      x 53.925 y 56.327 z 100.000 mm; depth 50.000 mm\n"
      "  wall     along 41.460 mm, angle 39.592 deg about the shape's centre; the tip 3.000 mm "
      "inside it\n"
      "  taken up again with  --resume overlay=ring_wall,layer=1,lap=1,along=41.460mm\n");
  assert_int_equal(program_run(program, "locate out.csv --row 0 --job @bore.lay"), 0);
  assert_non_null(strstr(program->out, "moving, arc off\n  on the way to overlay 1 ring_wall"));
  assert_non_null(strstr(program->out, " mm outside it\n")); /* parked beside the part */
  assert_int_equal(program_run(program, "locate out.csv --row 999999"), 1);
  assert_non_null(strstr(program->err, "out.csv ends at row"));
  assert_int_equal(program_run(program, "locate out.csv --row 1200 --job @port.lay"), 1);
  assert_non_null(strstr(program->err, "was not compiled from"));
  assert_int_equal(program_run(program, "locate out.csv --row 1200"), 0);
  assert_non_null(strstr(program->out, "depth ")); /* all but the wall */
  assert_string_equal(program->err, "borelay: cannot read bore.lay, which tells the place on the "
                                    "wall; --job names the job\n");
  assert_int_equal(program_run(program, "locate out.csv --row 1200 --job none.lay"), 3);
  assert_int_equal(program_run(program, "locate @bore.lay --row 1200"), 1);
  assert_int_equal(program_run(program, "locate none.csv --row 1200"), 3);
}

/* "Welding" beside "arc off" would be a riddle. */
static void test_rehearsal_says_so(void **state) {
  struct program *program = *state;
  struct rows rows = compiled(program, "compile @bore.lay -q --rehearse -o out.csv");
  rows_free(&rows);
  assert_int_equal(program_run(program, "locate out.csv --time 20.019s --job @bore.lay"), 0);
  assert_non_null(strstr(program->out,
                         ": welding at full current\n  a rehearsal: arc, wire and gas "
                         "stay off; what is said is what the weld would do there\n"));
  assert_null(strstr(program->out, "--resume"));
}

/* The place printed for a row leads a rest that begins a tie-in of 6 mm before it. */
static void test_leads_back(void **state) {
  struct program *program = *state;
  char line[300], place[200];
  struct rows weld = compiled(program, "compile @port.lay -q -o out.csv");
  size_t at = weld.count / 3;
  while (strcmp(weld.items[at].phase, "weld") != 0)
    at++;
  at += 500;
  assert_string_equal(weld.items[at].phase, "weld");
  snprintf(line, sizeof line, "locate out.csv --row %zu --job @port.lay", at);
  assert_int_equal(program_run(program, line), 0);
  const char *found = strstr(program->out, "--resume ");
  assert_non_null(found);
  snprintf(place, sizeof place, "%.*s", (int)strcspn(found, "\n"), found);
  snprintf(line, sizeof line, "compile @port.lay -q -o out.csv %s", place);
  struct rows rest = compiled(program, line);
  const struct row *wanted = &weld.items[at];
  double nearest = 1e9;
  size_t first = 0, reached = 0;
  while (!rest.items[first].arc)
    first++;
  for (size_t i = first; i < rest.count; i++) {
    double dx = rest.items[i].x - wanted->x, dy = rest.items[i].y - wanted->y;
    double dz = rest.items[i].z - wanted->z, off = dx * dx + dy * dy + dz * dz;
    if (off < nearest) {
      nearest = off;
      reached = i;
    }
  }
  assert_true(nearest < 0.05 * 0.05); /* a row's way or so */
  double angle = (rest.items[first].head - rest.items[reached].head) * (3.14159265358979 / 180);
  double before = 60 * (angle < 0 ? -angle : angle);
  assert_true(before > 5.9 && before < 7.1);
  rows_free(&weld);
  rows_free(&rest);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(test_words, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_rehearsal_says_so, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_leads_back, program_setup, program_teardown)};
  return cmocka_run_group_tests_name("where rows are", tests, NULL, NULL);
}
