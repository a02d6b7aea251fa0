/* Whole streams made in parts, by any number of threads, against the plain way row by row: the same
 * bytes.  And what becomes of a stream that cannot be written. */
#include "support/close.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>

#include "emit/line_up.h"
#include "emit/part.h"
#include "support/job_text.h"
#include "support/random_job.h"

static const char HEADER[] = "# a header\n";

struct bytes {
  char *at;
  size_t length;
};

struct made { /* a stream being written to a file that leaves no trace */
  struct outfile file;
  struct stream_writer *writer;
};

static void made_begin(struct made *made, bool binary) {
  assert_true(outfile_open(&made->file, "/tmp/borelay-line-up"));
  made->writer = stream_writer_new(&made->file, binary, HEADER, sizeof HEADER - 1);
  assert_non_null(made->writer);
}

static struct bytes made_end(struct made *made) {
  stream_writer_end(made->writer);
  outfile_pass(&made->file, "", 0, 0); /* all of it out of the buffer */
  assert_int_equal(made->file.error, 0);
  char path[64];
  snprintf(path, sizeof path, "/proc/self/fd/%d", made->file.fd);
  FILE *back = fopen(path, "rb");
  assert_non_null(back);
  fseek(back, 0, SEEK_END);
  struct bytes bytes = {.length = (size_t)ftell(back)};
  rewind(back);
  bytes.at = malloc(bytes.length);
  assert_non_null(bytes.at);
  assert_int_equal(fread(bytes.at, 1, bytes.length, back), bytes.length);
  fclose(back);
  outfile_abandon(&made->file);
  return bytes;
}

static struct bytes row_by_row(const struct motion *motion, bool binary) {
  struct made made;
  struct tick_cursor cursor;
  struct tick_values values;
  struct setpoint setpoint;
  made_begin(&made, binary);
  setpoint_begin(&setpoint, motion->plan->job->cell->tick_us);
  tick_cursor_begin(&cursor, motion);
  while (tick_cursor_next(&cursor, &values)) {
    assert_true(setpoint_make(&setpoint, &values));
    stream_writer_row(made.writer, &setpoint.row);
  }
  return made_end(&made);
}

static struct bytes in_parts(const struct motion *motion, bool binary, size_t hands) {
  struct made made;
  made_begin(&made, binary);
  line_up_run(made.writer, motion, hands, NULL);
  assert_int_equal(made.writer->rows, motion->ticks + 1);
  return made_end(&made);
}

static void expect_same_bytes(const struct motion *motion) {
  static const size_t HANDS[] = {1, 2, 3, 8};
  for (int binary = 0; binary < 2; binary++) {
    struct bytes want = row_by_row(motion, binary);
    for (size_t i = 0; i < sizeof HANDS / sizeof HANDS[0]; i++) {
      struct bytes got = in_parts(motion, binary, HANDS[i]);
      assert_int_equal(got.length, want.length);
      assert_memory_equal(got.at, want.at, want.length);
      free(got.at);
    }
    free(want.at);
  }
}

/* Sectors with ramps, a sway, outlines, spirals, steps, zones, inches, several overlays. */
static void test_programs(void **state) {
  (void)state;
  static const char *const NAMES[] = {
      "auto_sleeve",  "boss_cavity", "corner_pocket", "cross_port",     "gland_chamber",
      "keyway_track", "level_bore",  "level_seat",    "seal_bore_inch", "touched_cavity",
      "twin_bores",   "valve_bore",  "wide_barrel",   "wound_head"};
  for (size_t i = 0; i < sizeof NAMES / sizeof NAMES[0]; i++) {
    char path[100];
    snprintf(path, sizeof path, "programs/%s.lay", NAMES[i]);
    struct arena *arena = arena_new();
    struct source_set *sources = source_set_new(arena);
    struct diag_list *diags = diag_list_new(arena, sources);
    const char *unreadable = NULL;
    const struct job *job = job_resolve(arena, sources, diags, path, NULL, 0, &unreadable);
    assert_non_null(job);
    const struct plan *plan = plan_make(arena, job, diags);
    assert_non_null(plan);
    const struct motion *motion = motion_make(arena, plan, diags);
    assert_non_null(motion);
    expect_same_bytes(motion);
    arena_free(arena);
  }
}

static void test_random_jobs(void **state) {
  (void)state;
  uint64_t seed = 20250301;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  int judged = 0;
  for (int tries = 0; judged < 12 && tries < 200; tries++) {
    struct job_writer writer;
    random_job_write(&writer, &random);
    struct job_motion made = job_motion_make(writer.text);
    if (made.motion && made.motion->ticks < 300000) {
      expect_same_bytes(made.motion);
      judged++;
    }
    job_motion_end(&made);
  }
  assert_int_equal(judged, 12);
}

/* A lap of few rows: labels change more often than blocks fill. */
static void test_short_laps(void **state) {
  (void)state;
  char *text = text_with("tick 8 ms", "tick 100 ms");
  struct job_motion made = job_motion_make(text);
  assert_non_null(made.motion);
  expect_same_bytes(made.motion);
  job_motion_end(&made);
  free(text);
}

/* Parts follow one another, and end where a block does: every 64 rows of the same labels.  Returns
 * how many there are. */
static int64_t expect_ends_of_blocks(const struct motion *motion, bool binary, int64_t rows_most) {
  struct part *part = malloc(sizeof *part);
  assert_non_null(part);
  struct part_source source;
  int64_t next = 0, since = 0, last_lap = -1, parts = 0;
  part_source_begin(&source, motion, binary);
  while (part_take(part, &source)) {
    parts++;
    assert_in_range(part->rows, 1, rows_most);
    for (size_t i = 0; i < part->stretch_count; i++) {
      const struct tick_stretch *stretch = &part->stretches[i];
      assert_int_equal(stretch->values.tick, next);
      next += stretch->count;
      if (stretch->values.lap != last_lap)
        since = 0;
      if (i == 0)
        assert_int_equal(since % BORELAY_BLOCK_ROWS, 0);
      since += stretch->count;
      last_lap = stretch->values.lap;
    }
  }
  part_source_end(&source);
  free(part);
  assert_int_equal(next, motion->ticks + 1);
  return parts;
}

static void test_where_parts_end(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  int64_t binary = expect_ends_of_blocks(made.motion, true, PART_BINARY_ROWS + BORELAY_BLOCK_ROWS);
  int64_t text = expect_ends_of_blocks(made.motion, false, PART_TEXT_ROWS + BORELAY_BLOCK_ROWS);
  assert_true(binary > 2);
  assert_true(text > binary);
  job_motion_end(&made);
}

/* The first write fails: no hand waits for ever, nothing else is written, the error stays. */
static void test_full_device(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  for (size_t hands = 1; hands <= 8; hands += 7) {
    struct outfile file;
    assert_true(outfile_open(&file, "/dev/full"));
    struct stream_writer *writer = stream_writer_new(&file, false, HEADER, sizeof HEADER - 1);
    line_up_run(writer, made.motion, hands, NULL);
    assert_int_equal(writer->rows, 0);
    stream_writer_end(writer);
    assert_int_equal(file.error, ENOSPC);
    assert_false(outfile_commit(&file));
  }
  job_motion_end(&made);
}

/* A figure that no row can carry stops the stream, wherever it stands. */
static void test_no_room_in_a_row(void **state) {
  (void)state;
  struct job_motion made = job_motion_make(base_text);
  struct motion *motion = arena_alloc(made.arena, 1, sizeof *motion);
  *motion = *made.motion;
  motion->phases = arena_alloc(made.arena, motion->phase_count, sizeof *motion->phases);
  memcpy(motion->phases, made.motion->phases, motion->phase_count * sizeof *motion->phases);
  motion->phases[motion->phase_count / 2].lap = (int64_t)UINT32_MAX + 1;
  for (size_t hands = 1; hands <= 3; hands += 2) {
    struct outfile file;
    assert_true(outfile_open(&file, "/dev/null"));
    struct stream_writer *writer = stream_writer_new(&file, hands == 3, HEADER, sizeof HEADER - 1);
    line_up_run(writer, motion, hands, NULL);
    stream_writer_end(writer);
    assert_int_equal(file.error, EOVERFLOW);
    outfile_abandon(&file);
  }
  job_motion_end(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_programs),    cmocka_unit_test(test_random_jobs),
      cmocka_unit_test(test_short_laps),  cmocka_unit_test(test_where_parts_end),
      cmocka_unit_test(test_full_device), cmocka_unit_test(test_no_room_in_a_row),
  };
  return cmocka_run_group_tests_name("emit line up", tests, NULL, NULL);
}
