/* Broken transfers: streams cut short, flipped bits, noise, absurd counts.  docs/reliability.md
 * gives the figures. */
#include "small.h"

/* What a stream's damage came to. */
struct outcome {
  enum borelay_event event;
  int rows;
  bool rows_differ; /* a row was handed out that the whole stream does not have there */
};

static struct borelay_row whole_rows[SMALL_ROW_COUNT];

static bool is_same_row(const struct borelay_row *a, const struct borelay_row *b) {
  return a->index == b->index && a->t_us == b->t_us && a->x_nm == b->x_nm && a->y_nm == b->y_nm &&
         a->z_nm == b->z_nm && a->head_udeg == b->head_udeg && a->wire_um_s == b->wire_um_s &&
         a->current_100ma == b->current_100ma && a->wire_current_100ma == b->wire_current_100ma &&
         a->voltage_10mv == b->voltage_10mv && a->overlay == b->overlay && a->layer == b->layer &&
         a->lap == b->lap && a->line == b->line && a->phase == b->phase && a->arc == b->arc &&
         a->gas == b->gas && a->avc == b->avc;
}

static struct outcome read_damaged(const uint8_t *bytes, size_t length, bool learn) {
  static struct borelay_reader reader;
  struct outcome outcome = {.event = BORELAY_MORE};
  const uint8_t *next = bytes;
  size_t left = length, turns = 0;
  borelay_reader_begin(&reader);
  do {
    outcome.event = borelay_reader_next(&reader, &next, &left);
    assert_true(++turns <= 2 * length + 100); /* no event without a byte for ever */
    if (outcome.event != BORELAY_ROW)
      continue;
    assert_in_range(outcome.rows, 0, SMALL_ROW_COUNT - 1);
    if (learn)
      whole_rows[outcome.rows] = reader.row;
    else if (!is_same_row(&whole_rows[outcome.rows], &reader.row))
      outcome.rows_differ = true;
    outcome.rows++;
  } while (outcome.event != BORELAY_MORE && outcome.event != BORELAY_ERROR);
  outcome.event = borelay_reader_finish(&reader);
  return outcome;
}

static void learn(struct bytes *bytes, bool binary) {
  small_make(bytes, binary);
  assert_int_equal(read_damaged(bytes->at, bytes->length, true).event, BORELAY_END);
}

/* Cut at every byte: never taken for whole, and what was handed out is right. */
static void test_cut(void **state) {
  struct bytes bytes;
  learn(&bytes, *(const bool *)*state);
  for (size_t length = 0; length < bytes.length; length++) {
    struct outcome outcome = read_damaged(bytes.at, length, false);
    assert_int_equal(outcome.event, BORELAY_ERROR);
    assert_false(outcome.rows_differ);
  }
  print_message("%zu lengths, none taken for whole\n", bytes.length);
}

/* Every bit once. */
static void test_every_bit(void **state) {
  bool binary = *(const bool *)*state;
  struct bytes bytes;
  int differ = 0;
  learn(&bytes, binary);
  for (size_t bit = 0; bit < 8 * bytes.length; bit++) {
    bytes.at[bit / 8] ^= (uint8_t)(1 << bit % 8);
    struct outcome outcome = read_damaged(bytes.at, bytes.length, false);
    bytes.at[bit / 8] ^= (uint8_t)(1 << bit % 8);
    assert_int_equal(outcome.event, BORELAY_ERROR);
    differ += outcome.rows_differ;
  }
  print_message("%zu bits, none accepted; wrong rows handed out before: %d\n", 8 * bytes.length,
                differ);
  if (binary)
    assert_int_equal(differ, 0);
}

/* 1 to 64 bits at random, 100,000 times: bursts and scattered ones by turns. */
static void test_flips(void **state) {
  bool binary = *(const bool *)*state;
  struct bytes bytes, damaged;
  uint64_t seed = 20261125;
  int differ = 0;
  learn(&bytes, binary);
  print_message("seed %llu\n", (unsigned long long)seed);
  for (int i = 0; i < 100000; i++) {
    damaged = bytes;
    int flips = i % 2 ? 1 : 1 + (int)(small_random(&seed) % 64);
    size_t from = (size_t)(small_random(&seed) % (8 * bytes.length));
    for (int k = 0; k < flips; k++) {
      size_t bit = i % 4 == 0 ? (from + (size_t)k) % (8 * bytes.length)
                   : k > 0    ? (size_t)(small_random(&seed) % (8 * bytes.length))
                              : from;
      damaged.at[bit / 8] ^= (uint8_t)(1 << bit % 8);
    }
    if (memcmp(damaged.at, bytes.at, bytes.length) == 0)
      continue;
    struct outcome outcome = read_damaged(damaged.at, damaged.length, false);
    assert_int_equal(outcome.event, BORELAY_ERROR);
    differ += outcome.rows_differ;
  }
  print_message("100000 times, none accepted; wrong rows handed out before: %d\n", differ);
  if (binary)
    assert_int_equal(differ, 0);
}

static void test_noise(void **state) {
  (void)state;
  uint64_t seed = 4711;
  struct bytes noise, whole[2];
  small_text(&whole[0]);
  small_spt(&whole[1]);
  for (int i = 0; i < 20000; i++) {
    noise.length = (size_t)(small_random(&seed) % 2000);
    for (size_t k = 0; k < noise.length; k++)
      noise.at[k] = (uint8_t)(small_random(&seed) >> 56);
    size_t keep = (size_t)(small_random(&seed) % (noise.length + 1));
    if (i % 3) /* a good beginning, then noise */
      memcpy(noise.at, whole[i % 3 - 1].at, keep);
    if (i % 3 && keep >= whole[i % 3 - 1].length)
      continue;
    static struct borelay_reader reader;
    int rows;
    assert_int_equal(read_all(&reader, noise.at, noise.length, (size_t)(1 + i % 200), &rows),
                     BORELAY_ERROR);
  }
}

/* Counts as large as their fields: nothing overflows, nothing is waited for beyond the bytes. */
static void test_absurd_counts(void **state) {
  (void)state;
  static const char *const LINES[][2] = {
      {"# rows 14", "# rows 9223372036854775807"},
      {"# rows 14", "# rows 9223372036854775808"},
      {"# rows 14", "# rows 18446744073709551615"},
      {"# rows 14", "# rows 18446744073709551630"},
      {"# rows 14", "# rows 70368744177664"},
      {"# duration_s 0.104000", "# duration_s 9223372036854.775807"},
      {"# tick_s 0.008000", "# tick_s 4294967.304000"}, /* 0.008 s more than 32 bits hold */
      {"# overlay 1", "# overlay 4294967297"},
      {"file 1\n", "file 4294967297\n"},
      {"-361.250000", "-9223372036854.775808"},
      {"-361.250000", "9223372036854.775807"}};
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    char body[SMALL_ROOM], header[SMALL_ROOM];
    small_body(body);
    char *place = strstr(body, LINES[i][0]);
    snprintf(header, sizeof header, "%.*s%s%s", (int)(place - body), body, LINES[i][1],
             place + strlen(LINES[i][0]));
    struct bytes text, spt;
    text_seal(&text, header, SMALL_ROW_COUNT);
    static struct borelay_reader reader;
    int rows;
    assert_int_equal(read_all(&reader, text.at, text.length, 50, &rows), BORELAY_ERROR);
    *strstr(header, "t_s,") = '\0';
    spt_make(&spt, header, SMALL_ROWS, SMALL_ROW_COUNT);
    assert_int_equal(read_all(&reader, spt.at, spt.length, 50, &rows), BORELAY_ERROR);
  }
}

/* A figure as long as a megabyte, zeros before and behind the point. */
static void test_endless_figures(void **state) {
  (void)state;
  static const char *const STARTS[] = {"0.", "-", "1", "0"};
  for (size_t i = 0; i < sizeof STARTS / sizeof STARTS[0]; i++) {
    char body[SMALL_ROOM];
    small_body(body);
    char *place = strstr(body, "42.000000");
    struct borelay_reader reader;
    borelay_reader_begin(&reader);
    size_t left = (size_t)(place - body), digits = 0;
    const uint8_t *next = (const uint8_t *)body;
    enum borelay_event event = BORELAY_MORE;
    while ((event = borelay_reader_next(&reader, &next, &left)) == BORELAY_TEXT) {
    }
    next = (const uint8_t *)STARTS[i];
    left = strlen(STARTS[i]);
    event = borelay_reader_next(&reader, &next, &left);
    for (; digits < 1000000 && event == BORELAY_MORE; digits++) {
      next = (const uint8_t *)"0";
      left = 1;
      event = borelay_reader_next(&reader, &next, &left);
    }
    assert_int_equal(event, BORELAY_ERROR);
    assert_int_equal(reader.error, BORELAY_ERROR_NUMBER);
    assert_in_range(digits, 1, 20);
  }
}

int main(void) {
  static bool kinds[] = {false, true}; /* binary */
  const struct CMUnitTest tests[] = {
      {"a text stream cut short", test_cut, NULL, NULL, &kinds[0]},
      {"a binary stream cut short", test_cut, NULL, NULL, &kinds[1]},
      {"every bit of a text stream", test_every_bit, NULL, NULL, &kinds[0]},
      {"every bit of a binary stream", test_every_bit, NULL, NULL, &kinds[1]},
      {"bits of a text stream at random", test_flips, NULL, NULL, &kinds[0]},
      {"bits of a binary stream at random", test_flips, NULL, NULL, &kinds[1]},
      cmocka_unit_test(test_noise),
      cmocka_unit_test(test_absurd_counts),
      cmocka_unit_test(test_endless_figures),
  };
  return cmocka_run_group_tests_name("reader damage", tests, NULL, NULL);
}
