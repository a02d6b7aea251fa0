/* Rows in blocks against the plain way, tick by tick and row by row: the same bytes. */
#include "support/close.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/digits.h"
#include "borelay/tick.h"
#include "emit/records.h"
#include "emit/setpoint.h"
#include "emit/spt.h"
#include "emit/text_block.h"
#include "support/job_text.h"
#include "support/lanes_each.h"
#include "support/random.h"
#include "support/steady_piece.h"

/* Zones, a delayed and retracted wire, voltage control, steps, a hot wire. */
static char *job_of(int kind) {
  char *text = text_with("wire_retract 0 mm",
                         "wire_retract 7 mm; wire_start_delay 0.5 s; travel_start_delay 1 s\n"
                         "  wire_current 50 A; wire_voltage 3 V\n"
                         "  arc_voltage_control on; voltage_control_delay 1.5 s");
  static const char *const PATTERNS[] = {"rings", "spiral", "stepped"};
  char pattern[40];
  snprintf(pattern, sizeof pattern, "pattern %s", PATTERNS[kind % 3]);
  text = text_again(text, "pattern rings", pattern);
  if (kind >= 3)
    text = text_again(text, "retract 5 mm",
                      "zone z { arc off; along 200 .. 260 mm; depths 18 .. 35 mm }");
  if (kind == 5)
    text = text_again(text, "tick 8 ms", "tick 17 ms");
  return text;
}

static bool same_values(const struct tick_values *a, const struct tick_values *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->current == b->current && a->voltage == b->voltage && a->wire == b->wire &&
         a->wire_current == b->wire_current && a->overlay == b->overlay && a->layer == b->layer &&
         a->lap == b->lap && a->line == b->line;
}

static void test_ticks(void **state) {
  (void)state;
  for (int kind = 0; kind < 6; kind++) {
    char *text = job_of(kind);
    struct job_motion made = job_motion_make(text);
    struct tick_cursor one, many;
    struct tick_values values;
    struct tick_stretch stretch;
    struct tick_block block;
    struct tick_values said_before = {0};
    int64_t next = 0, stretches = 0;
    tick_cursor_begin(&one, made.motion);
    tick_cursor_begin(&many, made.motion);
    while (tick_cursor_stretch(&many, &stretch)) {
      assert_true(stretch.count >= 1);
      assert_int_equal(stretch.values.tick, next);
      stretches++;
      if (stretch.goes_on)
        assert_true(same_values(&stretch.values, &said_before));
      said_before = stretch.values;
      for (int64_t from = 0; from < stretch.count; from += (int64_t)block.count) {
        block.count = 0;
        size_t count = tick_stretch_block(made.motion, &stretch, from, &block);
        tick_block_end(&block);
        assert_int_equal(count, block.count);
        assert_in_range(block.count, 1, POSES_MOST);
        assert_int_equal(block.values.tick, next);
        for (size_t i = 0; i < block.count; i++, next++) {
          assert_true(tick_cursor_next(&one, &values));
          assert_int_equal(values.tick, next);
          struct tick_values said =
              stretch.varies ? tick_phase_values(made.motion, stretch.phase, next) : block.values;
          assert_true(same_values(&values, &said));
          assert_int_equal(values.lap, stretch.values.lap); /* labels do not vary */
          assert_int_equal(values.layer, stretch.values.layer);
          assert_int_equal(values.overlay, stretch.values.overlay);
          /* x and y as rows show them, the others to the last bit */
          assert_int_equal(digits_scale(block.poses.x[i], 6), digits_scale(values.pose.x, 6));
          assert_int_equal(digits_scale(block.poses.y[i], 6), digits_scale(values.pose.y, 6));
          assert_memory_equal(&block.poses.z[i], &values.pose.z, sizeof values.pose.z);
          assert_memory_equal(&block.poses.head[i], &values.pose.head, sizeof values.pose.head);
        }
      }
    }
    assert_false(tick_cursor_next(&one, &values));
    assert_int_equal(next, made.motion->ticks + 1);
    assert_true(stretches * 10 < next); /* they are worth their name */
    job_motion_end(&made);
    free(text);
  }
}

/* A block of any figures that a row has room for: at random, along a way that may go over a border
 * between counts of digits or signs, or standing still. */
static struct tick_block random_block(struct random *random) {
  static const double MOST[] = {1e-5, 0.1, 9.99, 99.9, 500, 9999, 12345, 1.4e6, 1.4e8};
  struct tick_block block = {.count = (size_t)random_whole(random, 1, POSES_MOST)};
  block.placed = block.count;
  block.values =
      (struct tick_values){.tick = (int64_t)(random_bits(random) >> random_whole(random, 30, 60)),
                           .phase = PHASE_WELD,
                           .arc = true,
                           .current = random_between(random, 0, 400),
                           .voltage = random_between(random, 0, 40),
                           .wire = random_between(random, -99, 99),
                           .overlay = random_whole(random, 1, 200),
                           .layer = random_whole(random, 1, 20),
                           .lap = random_whole(random, 1, 1000000),
                           .line = (uint32_t)random_whole(random, 1, 100000)};
  if (random_whole(random, 0, 3) == 0) { /* a long row */
    block.values.phase = PHASE_DOWNSLOPE;
    block.values.overlay = block.values.layer = INT32_MAX;
    block.values.lap = block.values.line = UINT32_MAX;
  }
  double most = MOST[random_whole(random, 0, 8)], turns = MOST[random_whole(random, 0, 6)];
  double *const axes[] = {block.poses.x, block.poses.y, block.poses.z, block.poses.head};
  for (int axis = 0; axis < 4; axis++) {
    double range = axis == 3 ? turns : most;
    double at = random_between(random, -range, range);
    double step = random_whole(random, 0, 3) ? random_between(random, -1, 1) / 50 : 0;
    bool is_way = random_whole(random, 0, 2); /* else places without a way between them */
    for (size_t i = 0; i < block.count; i++)
      axes[axis][i] = is_way ? at + step * (double)i : random_between(random, -range, range);
  }
  return block;
}

/* The rows of a block, and of its ticks one by one with the places that they have, in room for
 * many.
 */
struct rows {
  struct text_row text;
  struct setpoint setpoint;
  char many[TEXT_BLOCK_ROOM], alone[TEXT_BLOCK_ROOM];
};

static struct rows *rows_make(int64_t tick_us) {
  struct rows *rows = calloc(1, sizeof *rows);
  assert_non_null(rows);
  text_row_begin(&rows->text);
  setpoint_begin(&rows->setpoint, tick_us);
  return rows;
}

/* With wide vectors and without.  ticks: placed; block: the same, perhaps not yet; each: what each
 * of them says, NULL: all the same. */
static void expect_same_rows(struct rows *rows, const struct tick_block *ticks,
                             const struct tick_block *block, const struct tick_values *each) {
  const struct poses *poses = &ticks->poses;
  char *end = rows->alone;
  for (size_t i = 0; i < ticks->count; i++) {
    struct tick_values values = each ? each[i] : ticks->values;
    values.tick = ticks->values.tick + (int64_t)i;
    values.pose = (struct pose){poses->x[i], poses->y[i], poses->z[i], poses->head[i]};
    assert_true(setpoint_make(&rows->setpoint, &values));
    end = text_row_put(&rows->text, &rows->setpoint.row, end);
  }
  for (int wide = 0; wide <= text_wide_is_there(); wide++) {
    struct tick_block given = *block;
    char *many_end = rows->many;
    rows->text.is_wide = wide;
    assert_true(text_block_put(&rows->text, &rows->setpoint, &given, each, &many_end));
    assert_int_equal(many_end - rows->many, end - rows->alone);
    assert_memory_equal(rows->many, rows->alone, (size_t)(end - rows->alone));
  }
}

static void test_text(void **state) {
  (void)state;
  uint64_t seed = 20250119;
  print_message("seed %" PRIu64 ", wide vectors: %d\n", seed, text_wide_is_there());
  struct random random = {seed};
  struct rows *rows = rows_make(1000 * random_whole(&random, 1, 100));
  for (int round = 0; round < 3000; round++) {
    struct tick_block ticks = random_block(&random);
    struct row_block block;
    assert_true(setpoint_block(&rows->setpoint, &ticks, &block));
    for (size_t i = 0; i < block.count; i++) {
      struct borelay_row row = row_of_block(&block, i);
      struct tick_values values = ticks.values;
      values.tick += (int64_t)i;
      values.pose =
          (struct pose){ticks.poses.x[i], ticks.poses.y[i], ticks.poses.z[i], ticks.poses.head[i]};
      assert_true(setpoint_make(&rows->setpoint, &values));
      assert_int_equal(row.t_us, rows->setpoint.row.t_us);
      assert_int_equal(row.head_udeg, rows->setpoint.row.head_udeg);
    }
    expect_same_rows(rows, &ticks, &ticks, NULL);
  }
  free(rows);
}

/* Currents, voltages and wire that change from row to row, over borders between counts of digits.
 */
static void test_text_of_ramps(void **state) {
  (void)state;
  struct random random = {20261129};
  struct rows *rows = rows_make(4000);
  for (int round = 0; round < 1000; round++) {
    static const double AROUND[] = {10, 100, 1000, 150};
    struct tick_block ticks = random_block(&random);
    struct tick_values each[POSES_MOST];
    double from = AROUND[random_whole(&random, 0, 3)];
    for (size_t i = 0; i < ticks.count; i++) {
      double part = (double)i / (double)ticks.count - 0.5;
      each[i] = ticks.values;
      each[i].current = from + part * 3;
      each[i].voltage = round % 3 ? 10 + part * 0.3 : 11.5;
      each[i].wire = round % 2 ? part * 25 : -1.5;
    }
    expect_same_rows(rows, &ticks, &ticks, each);
  }
  free(rows);
}

/* Numbers with many zeros or nines, a millionth or a half of one apart, over the borders between
 * counts of digits and around 0. */
static void test_text_of_round_numbers(void **state) {
  (void)state;
  struct random random = {20261128};
  struct rows *rows = rows_make(4000);
  for (int round = 0; round < 2000; round++) {
    struct tick_block ticks = random_block(&random);
    double *const axes[] = {ticks.poses.x, ticks.poses.y, ticks.poses.z, ticks.poses.head};
    for (int axis = 0; axis < 4; axis++) {
      double step = (random_whole(&random, 0, 1) ? 1e-6 : 5e-7) / (axis == 3 ? 180 / NUM_PI : 1);
      double middle = 0, from = random_whole(&random, 0, POSES_MOST);
      int power = random_whole(&random, -6, 6);
      if (power < 6) /* else around 0 */
        middle = random_whole(&random, -9, 9) * pow(10, power);
      for (size_t i = 0; i < ticks.count; i++)
        axes[axis][i] = middle + ((double)i - from) * step;
    }
    expect_same_rows(rows, &ticks, &ticks, NULL);
  }
  free(rows);
}

/* Of ticks on an arc, one with places as near to a half of a millionth as doubles come. */
static struct tick_block block_near_half(struct random *random) {
  struct tick_block ticks = random_block(random);
  struct curve curve = {.radius = random_between(random, 5, 500)};
  size_t chosen = (size_t)random_whole(random, 0, (int)ticks.count - 1);
  double at = random_between(random, -50, 50), half = random_whole(random, -1000000, 1000000);
  for (size_t i = 0; i < ticks.count; i++)
    ticks.poses.turn[i] = ticks.poses.head[i] = at + (double)i * 1e-4;
  struct sincos of = num_sincos(ticks.poses.turn[chosen]);
  curve.centre.x = (half + 0.5) * 1e-6 - curve.radius * of.cos;
  curve.centre.y = (half - 0.5) * 1e-6 - curve.radius * of.sin;
  ticks.placed = 0;
  ticks.curve = curve;
  return ticks;
}

static void test_text_near_halves(void **state) {
  (void)state;
  struct random random = {20261130};
  struct rows *rows = rows_make(4000);
  for (int round = 0; round < 1000; round++) {
    struct tick_block block = block_near_half(&random), ticks = block;
    for (size_t i = 0; i < ticks.count; i++) {
      struct sincos of = num_sincos(ticks.poses.turn[i]);
      ticks.poses.x[i] = ticks.curve.centre.x + ticks.curve.radius * of.cos;
      ticks.poses.y[i] = ticks.curve.centre.y + ticks.curve.radius * of.sin;
    }
    expect_same_rows(rows, &ticks, &block, NULL);
  }
  free(rows);
}

/* Ticks on an arc, one of which is as near to a half of a millionth as doubles come: rounded from
 * what is worked out fast, x and y are those that each would have alone. */
static void test_halves_on_arcs(void **state) {
  (void)state;
  uint64_t seed = 20261129;
  print_message("seed %" PRIu64 "\n", seed);
  struct random random = {seed};
  struct setpoint setpoint;
  setpoint_begin(&setpoint, 4000);
  for (int round = 0; round < 3000; round++) {
    struct tick_block ticks = block_near_half(&random);
    struct row_block rows;
    struct curve curve = ticks.curve;
    assert_true(setpoint_block(&setpoint, &ticks, &rows));
    for (size_t i = 0; i < ticks.count; i++) {
      struct sincos of = num_sincos(ticks.poses.turn[i]);
      assert_int_equal(rows.x_nm[i], digits_scale(curve.centre.x + curve.radius * of.cos, 6));
      assert_int_equal(rows.y_nm[i], digits_scale(curve.centre.y + curve.radius * of.sin, 6));
    }
    ticks.poses.head[0] = 5e9; /* no block can round it: x and y are for the plain way */
    assert_false(setpoint_block(&setpoint, &ticks, &rows));
    for (size_t i = 0; i < ticks.count; i++)
      assert_int_equal(digits_scale(ticks.poses.x[i], 6), rows.x_nm[i]);
  }
}

/* What a block cannot hold is told, and the plain way can still do it, or says no. */
static void test_far_out(void **state) {
  (void)state;
  struct random random = {7};
  struct setpoint setpoint;
  setpoint_begin(&setpoint, 1000);
  struct tick_block ticks = random_block(&random);
  struct row_block rows;
  ticks.poses.head[0] = 5e9; /* rad: 2.9e17 millionths of a degree */
  assert_false(setpoint_block(&setpoint, &ticks, &rows));
  ticks.values.pose = (struct pose){1, 2, 3, 5e9};
  assert_true(setpoint_make(&setpoint, &ticks.values));
  ticks.poses.head[0] = 0;
  ticks.poses.x[0] = 1.5e8; /* mm */
  assert_false(setpoint_block(&setpoint, &ticks, &rows));
  ticks.values.pose = (struct pose){1.5e8, 2, 3, 0};
  assert_false(setpoint_make(&setpoint, &ticks.values));
  struct text_row *text = calloc(1, sizeof *text);
  char *room = malloc(TEXT_BLOCK_ROOM), *end = room;
  assert_false(text_block_put(text, &setpoint, &ticks, NULL, &end));
  free(room);
  free(text);
}

static void test_binary(void **state) {
  (void)state;
  struct random random = {20250120};
  enum { ROUNDS = 50 };
  uint8_t *room = malloc(ROUNDS * POSES_MOST * SPT_ROW_ROOM);
  uint8_t *alone = malloc(ROUNDS * POSES_MOST * SPT_ROW_ROOM);
  struct spt_part *parts = calloc(2, sizeof *parts);
  struct setpoint setpoint;
  setpoint_begin(&setpoint, 2000);
  for (int turn = 0; turn < 10; turn++) {
    spt_part_begin(&parts[0], 77, room);
    spt_part_begin(&parts[1], 77, alone);
    for (int round = 0; round < ROUNDS; round++) {
      struct tick_block ticks = random_block(&random);
      struct row_block rows;
      assert_true(setpoint_block(&setpoint, &ticks, &rows));
      spt_part_rows(&parts[0], &rows);
      for (size_t i = 0; i < rows.count; i++) {
        struct borelay_row row = row_of_block(&rows, i);
        spt_part_row(&parts[1], &row);
      }
    }
    size_t length = (size_t)(spt_part_end(&parts[0]) - room);
    assert_int_equal(spt_part_end(&parts[1]) - alone, length);
    assert_memory_equal(room, alone, length);
    assert_int_equal(parts[0].rows, parts[1].rows);
    assert_int_equal(parts[0].crc_count, parts[1].crc_count);
    assert_memory_equal(parts[0].crcs, parts[1].crcs, 4 * parts[0].crc_count);
  }
  free(parts);
  free(alone);
  free(room);
}

/* Rows of labels like those before them, so that blocks are full or not where they begin. */
static void test_steady(void **state) {
  (void)state;
  struct random random = {20261201};
  enum { PIECES = 300, MOST = 4000 };
  const double tick_s = 0.004;
  uint8_t *room = malloc((MOST + RECORDS_SPARE) * SPT_ROW_ROOM);
  uint8_t *alone = malloc(MOST * SPT_ROW_ROOM);
  struct spt_part *parts = calloc(2, sizeof *parts);
  struct steady *steady = calloc(1, sizeof *steady);
  struct setpoint setpoint;
  size_t all = 0, sure = 0;
  setpoint_begin(&setpoint, 4000);
  for (int n = 0; n < PIECES; n++) {
    struct piece piece = steady_piece(&random);
    struct tick_values values = random_block(&random).values;
    int64_t first = (int64_t)(piece.t0 / tick_s) + 2;
    size_t before = (size_t)random_whole(&random, 0, 70);
    size_t count = (size_t)random_whole(&random, 2 * STEADY_REACH, MOST - 70);
    assert_true(steady_begin(steady, &piece, tick_s, (int64_t)count));
    spt_part_begin(&parts[0], 77, room);
    spt_part_begin(&parts[1], 77, alone);
    for (size_t i = 0; i < before + count;) {
      size_t put = 0;
      values.tick = first + (int64_t)i;
      values.pose = piece_at(&piece, (double)values.tick * tick_s);
      assert_true(setpoint_make(&setpoint, &values));
      if (i >= before)
        put = spt_part_steady(&parts[0], &setpoint.row, steady, before + count - i);
      assert_true(put <= before + count - i);
      sure += put;
      if (put == 0) /* near a half, or before them */
        spt_part_row(&parts[0], &setpoint.row), put = 1;
      for (size_t end = i + put; i < end; i++) {
        values.tick = first + (int64_t)i;
        values.pose = piece_at(&piece, (double)values.tick * tick_s);
        assert_true(setpoint_make(&setpoint, &values));
        spt_part_row(&parts[1], &setpoint.row);
      }
    }
    size_t length = (size_t)(spt_part_end(&parts[0]) - room);
    assert_int_equal(spt_part_end(&parts[1]) - alone, length);
    assert_memory_equal(room, alone, length);
    assert_memory_equal(parts[0].crcs, parts[1].crcs, 4 * parts[0].crc_count);
    all += count;
  }
  print_message("%zu of %zu the quick way\n", sure, all);
  assert_true(sure > all / 2);
  free(steady);
  free(parts);
  free(alone);
  free(room);
}

static int run(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_ticks),
      cmocka_unit_test(test_text),
      cmocka_unit_test(test_text_of_ramps),
      cmocka_unit_test(test_text_of_round_numbers),
      cmocka_unit_test(test_text_near_halves),
      cmocka_unit_test(test_halves_on_arcs),
      cmocka_unit_test(test_far_out),
      cmocka_unit_test(test_binary),
      cmocka_unit_test(test_steady),
  };
  return cmocka_run_group_tests_name("emit blocks", tests, NULL, NULL);
}

/* The loops over many numbers at each width, against the same one by one. */
int main(void) {
  return lanes_each(run);
}
