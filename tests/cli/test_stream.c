/* The text stream of a small job, read back and held against docs/stream-format.md. */
#include "cli/program.h"
#include "cli/rows.h"

#include <inttypes.h>

static const double TICK = 0.02;

static struct program *compiled(void **state, const char *more, struct rows *rows) {
  struct program *program = *state;
  char line[200];
  snprintf(line, sizeof line, "compile @bore.lay -o - %s", more);
  assert_int_equal(program_run(program, line), 0);
  *rows = rows_read(program->out);
  return program;
}

/* Bit by bit from the polynomial, as the catalogues of CRC parameters describe CRC-32/ISCSI. */
static uint32_t crc32c_of(const char *bytes, size_t length) {
  uint32_t rest = 0xFFFFFFFF;
  for (size_t i = 0; i < length; i++) {
    rest ^= (uint8_t)bytes[i];
    for (int bit = 0; bit < 8; bit++)
      rest = rest >> 1 ^ (rest & 1 ? 0x82F63B78 : 0);
  }
  return ~rest;
}

static void test_end_line(void **state) {
  struct rows rows;
  struct program *program = compiled(state, "", &rows);
  char want[80];
  snprintf(want, sizeof want, "# end rows %zu crc32c %08" PRIx32 "\n", rows.count,
           crc32c_of(program->out, (size_t)(rows.end_line - program->out)));
  assert_string_equal(rows.end_line, want);
  rows_free(&rows);
}

/* sha256sum (coreutils) over what the page describes. */
static void source_digest(const struct program *program, const char *setting, char digest[65]) {
  char command[6000];
  snprintf(command, sizeof command,
           "cd %s && { for f in bore.lay shop.lay; do wc -c <$f; cat $f; done; printf '%s'; } | "
           "sha256sum",
           program->jobs, setting);
  FILE *from = popen(command, "r");
  assert_non_null(from);
  assert_int_equal(fscanf(from, "%64[0-9a-f]", digest), 1);
  pclose(from);
}

static void expect_header(void **state, const char *more, const char *setting) {
  struct rows rows;
  struct program *program = compiled(state, more, &rows);
  char digest[65], want[3000];
  source_digest(program, setting, digest);
  char cell[65];
  const char *at = strstr(rows.header, "# cell w.bench sha256 ");
  assert_non_null(at);
  assert_int_equal(sscanf(at, "# cell w.bench sha256 %64[0-9a-f]\n", cell), 1);
  const struct row *last = &rows.items[rows.count - 1];
  snprintf(want, sizeof want,
           "# borelay setpoints 1\n# mode weld\n# job \"test bore\" part \"\" revision \"A\"\n"
           "# source sha256 %s\n# cell w.bench sha256 %s\n"
           "# torch reach_mm 40.000000 drop_mm 300.000000 correction_mm 1.000000\n"
           "# datum x_mm 10.000000 y_mm 20.000000 z_mm 150.000000 turned_deg 0.000000\n"
           "# procedure w.steady wps \"T-1 \\\"b\\\"\" filler \"made-up\"\n"
           "# tick_s 0.020000\n# rows %zu\n# duration_s %.6f\n# head_end_deg %.6f\n"
           "# verdict passed\n# overlay 1 ring_wall file 1\n# file 1 \"bore.lay\"\n"
           "# file 2 \"shop.lay\"\n",
           digest, cell, rows.count, (double)(rows.count - 1) * TICK, last->head);
  assert_string_equal(rows.header, want);
  rows_free(&rows);
}

static void test_header(void **state) {
  expect_header(state, "", "");
  expect_header(state, "--set size=125mm", "size=125mm\\n");
}

/* One row a tick, from 0 on; the last has arc, gas and wire out and names no overlay. */
static void test_times_and_ends(void **state) {
  struct rows rows;
  compiled(state, "", &rows);
  for (size_t i = 0; i < rows.count; i++)
    assert_close(rows.items[i].t, (double)i * TICK, 1e-9, 0);
  const struct row *first = &rows.items[0], *last = &rows.items[rows.count - 1];
  assert_string_equal(first->phase, "move");
  assert_close(first->x, 0, 0, 0);
  assert_close(first->y, -200, 0, 0);
  assert_close(first->z, 700, 0, 0);
  assert_close(last->x, 0, 0, 0);
  assert_close(last->y, -200, 0, 0);
  assert_close(last->z, 700, 0, 0);
  assert_int_equal(
      last->arc + last->gas + last->avc + last->overlay + last->layer + last->lap + last->line, 0);
  assert_close(last->wire, 0, 0, 0);
  rows_free(&rows);
}

static size_t phase_length(const struct rows *rows, size_t from) {
  size_t end = from;
  while (end < rows->count && strcmp(rows->items[end].phase, rows->items[from].phase) == 0)
    end++;
  return end - from;
}

/* Both runs (rings) go through the same phases, with a wait between. */
static void test_order_of_phases(void **state) {
  static const char *const WANT[] = {"move",     "preflow", "upslope",   "weld",     "downslope",
                                     "postflow", "move",    "wait",      "move",     "preflow",
                                     "upslope",  "weld",    "downslope", "postflow", "move"};
  struct rows rows;
  compiled(state, "", &rows);
  size_t at = 0;
  for (size_t i = 0; i < sizeof WANT / sizeof WANT[0]; i++) {
    assert_in_range(at, 0, rows.count - 1);
    assert_string_equal(rows.items[at].phase, WANT[i]);
    at += phase_length(&rows, at);
  }
  assert_int_equal(at, rows.count);
  rows_free(&rows);
}

static void expect_ramp(const struct rows *rows, size_t at, double from, double to) {
  size_t length = phase_length(rows, at);
  for (size_t k = 0; k < length; k++)
    assert_close(rows->items[at + k].current, from + (to - from) * (double)k / (double)length,
                 0.0501, 0);
}

static void test_electrical_columns(void **state) {
  struct rows rows;
  compiled(state, "", &rows);
  for (size_t at = 0; at < rows.count; at += phase_length(&rows, at)) {
    const char *phase = rows.items[at].phase;
    size_t length = phase_length(&rows, at);
    if (strcmp(phase, "upslope") == 0) {
      assert_int_equal(length, 50); /* 1 s */
      expect_ramp(&rows, at, 20, 200);
    } else if (strcmp(phase, "downslope") == 0) {
      assert_int_equal(length, 100); /* 2 s */
      expect_ramp(&rows, at, 200, 20);
    }
    bool burns = strcmp(phase, "upslope") == 0 || strcmp(phase, "weld") == 0 ||
                 strcmp(phase, "downslope") == 0;
    bool flows = burns || strcmp(phase, "preflow") == 0 || strcmp(phase, "postflow") == 0;
    for (size_t k = 0; k < length; k++) {
      const struct row *row = &rows.items[at + k];
      assert_int_equal(row->arc, burns);
      assert_int_equal(row->gas, flows);
      assert_close(row->voltage, burns ? 11.5 : 0, 0, 0);
      assert_close(row->wire_current, row->wire > 0 ? 50 : 0, 0, 0);
      if (!burns)
        assert_close(row->current, 0, 0, 0);
      if (strcmp(phase, "weld") == 0)
        assert_close(row->current, 200, 0, 0);
      /* voltage_control_delay 1.5 s after full current, when travel has begun */
      assert_int_equal(row->avc, strcmp(phase, "weld") == 0 && k >= 75);
    }
  }
  rows_free(&rows);
}

/* Wire: from wire_start_delay on, 25 mm/s; 7 mm drawn back as the downslope begins. */
static void test_wire(void **state) {
  struct rows rows;
  compiled(state, "", &rows);
  int runs = 0;
  for (size_t at = 0; at < rows.count; at += phase_length(&rows, at)) {
    size_t length = phase_length(&rows, at);
    if (strcmp(rows.items[at].phase, "weld") == 0) {
      for (size_t k = 0; k < length; k++)
        assert_close(rows.items[at + k].wire, k < 25 ? 0 : 25, 0, 0);
    } else if (strcmp(rows.items[at].phase, "downslope") == 0) {
      double drawn = 0;
      for (size_t k = 0; k < length; k++)
        drawn += rows.items[at + k].wire * TICK;
      assert_close(drawn, -7, 1e-9, 0);
      assert_close(rows.items[at].wire, -25, 0, 0);
      runs++;
    } else {
      for (size_t k = 0; k < length; k++)
        assert_close(rows.items[at + k].wire, 0, 0, 0);
    }
  }
  assert_int_equal(runs, 2);
  rows_free(&rows);
}

/* Overlay, layer, lap, line: of the run led to; 0 only after the last postflow. */
static void test_places(void **state) {
  struct rows rows;
  compiled(state, "", &rows);
  size_t last_post = 0, first_wait = 0;
  for (size_t i = 0; i < rows.count; i++) {
    if (strcmp(rows.items[i].phase, "postflow") == 0)
      last_post = i;
    if (!first_wait && strcmp(rows.items[i].phase, "wait") == 0)
      first_wait = i;
  }
  for (size_t i = 0; i < rows.count; i++) {
    int on = i <= last_post;
    assert_int_equal(rows.items[i].overlay, on);
    assert_int_equal(rows.items[i].layer, on);
    assert_int_equal(rows.items[i].line, on ? 5 : 0);
  }
  assert_int_equal(rows.items[0].lap, 1);
  assert_int_equal(rows.items[first_wait].lap, 2);
  assert_int_equal(rows.items[last_post].lap, 2);
  rows_free(&rows);
}

/* The tip, computed back from the rows alone, stands on the circle of radius 60 - 3 mm about
 * (10, 20) while the arc is on, at the laps' depths; the torch looks along the radius. */
static void test_tip_from_rows(void **state) {
  struct rows rows;
  compiled(state, "", &rows);
  for (size_t i = 0; i < rows.count; i++) {
    const struct row *row = &rows.items[i];
    if (!row->arc)
      continue;
    double angle = row->head * (3.14159265358979323846 / 180);
    double x = row->x + 40 * cos(angle) - 10, y = row->y + 40 * sin(angle) - 20;
    assert_close(hypot(x, y), 57, 2e-6, 0);
    assert_close(x * sin(angle) - y * cos(angle), 0, 3e-6, 0);
    /* band 40 .. 54, beads of 8 mm, from the deep edge: depths 50 and 44; tip = H - 300 */
    assert_close(row->z - 300, 150 - (row->lap == 1 ? 50 : 44), 0, 0);
  }
  rows_free(&rows);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, program_setup, program_teardown)
  const struct CMUnitTest tests[] = {
      TEST(test_end_line),
      TEST(test_header),
      TEST(test_times_and_ends),
      TEST(test_order_of_phases),
      TEST(test_electrical_columns),
      TEST(test_wire),
      TEST(test_places),
      TEST(test_tip_from_rows),
  };
  return cmocka_run_group_tests_name("cli stream", tests, NULL, NULL);
}
