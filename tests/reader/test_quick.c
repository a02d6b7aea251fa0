/* Rows that differ from the one before by time and place alone are read at once; whatever is wrong
 * with one of them has to be told as if it had been read byte by byte. */
#include "reader/small.h"

#include "borelay/reader.h"

enum { ROWS = 40 };

/* Figures of every length, either sign; now and then another lap, and one number too long to be
 * read at once.  The last row stands where the header says. */
static void long_rows(char lines[ROWS][200]) {
  static const double SIZES[] = {0.000001,   0.5,    7,     42.25,
                                 999.999999, 1234.5, 99999, 1234567.000001};
  for (int i = 0; i < ROWS; i++) {
    double x = SIZES[i % 8] * (i % 3 ? 1 : -1), y = -SIZES[(i + 3) % 8], z = 1050.25 + i;
    double head = i == ROWS - 1 ? -361.25 : i == 33 ? 123456789.5 : -9.125 * i - 1;
    const char *labels = i == ROWS - 1 ? "0,0,0,0" : i < 12 ? "1,1,1,12" : "1,1,2,12";
    snprintf(lines[i], sizeof lines[i], "%.6f,%.6f,%.6f,%.6f,%.6f,move,0,0.0,0.00,0.000,0.0,0,0,%s",
             0.008 * i, x, y, z, head, labels);
  }
}

static void long_header(char header[SMALL_ROOM], int rows) {
  char lines[80];
  snprintf(lines, sizeof lines, "# rows %d\n# duration_s %.6f\n", rows, 0.008 * (rows - 1));
  const char *at = strstr(SMALL_HEADER, "# rows"), *rest = strstr(SMALL_HEADER, "# head_end_deg");
  snprintf(header, SMALL_ROOM, "%.*s%s%s", (int)(at - SMALL_HEADER), SMALL_HEADER, lines, rest);
}

static void long_make(struct bytes *bytes, bool binary) {
  char lines[ROWS][200], header[SMALL_ROOM], body[SMALL_ROOM];
  const char *rows[ROWS];
  long_rows(lines);
  long_header(header, ROWS);
  size_t length = (size_t)snprintf(body, sizeof body, "%s%s", header, SMALL_COLUMNS);
  for (int i = 0; i < ROWS; i++) {
    rows[i] = lines[i];
    length += (size_t)snprintf(body + length, sizeof body - length, "%s\n", lines[i]);
  }
  if (binary)
    spt_make(bytes, header, rows, ROWS);
  else
    text_seal(bytes, body, ROWS);
}

/* -- what was read ----------------------------------------------------------------------------- */

struct told {
  enum borelay_event end;
  enum borelay_error error;
  uint64_t error_at, error_row;
  size_t count;
  struct borelay_row rows[ROWS + 4];
};

static void tell_row(struct told *told, const struct borelay_row *row) {
  assert_in_range(told->count, 0, ROWS + 3);
  told->rows[told->count++] = *row;
}

static void tell(struct told *told, const struct bytes *bytes, size_t piece, size_t more) {
  struct borelay_reader reader;
  enum borelay_event event = BORELAY_MORE;
  memset(told, 0, sizeof *told);
  borelay_reader_begin(&reader);
  for (size_t at = 0; at < bytes->length && event != BORELAY_ERROR; at += piece) {
    size_t left = bytes->length - at < piece ? bytes->length - at : piece;
    uint8_t *part = malloc(left); /* its own memory: a byte read too far is seen */
    memcpy(part, bytes->at + at, left);
    const uint8_t *next = part;
    do {
      event = borelay_reader_next(&reader, &next, &left);
      struct borelay_row rows[ROWS];
      if (event != BORELAY_ROW)
        continue;
      tell_row(told, &reader.row);
      size_t count = more ? borelay_reader_more(&reader, &next, &left, rows, more) : 0;
      for (size_t i = 0; i < count; i++)
        tell_row(told, &rows[i]);
      assert_memory_equal(&told->rows[told->count - 1], &reader.row, sizeof reader.row);
    } while (event != BORELAY_MORE && event != BORELAY_ERROR);
    free(part);
  }
  told->end = event == BORELAY_ERROR ? event : borelay_reader_finish(&reader);
  told->error = reader.error;
  told->error_at = reader.error_at;
  told->error_row = reader.error_row;
}

static void assert_same(const struct told *a, const struct told *b) {
  assert_int_equal(a->end, b->end);
  assert_int_equal(a->error, b->error);
  assert_int_equal(a->error_at, b->error_at);
  assert_int_equal(a->error_row, b->error_row);
  assert_int_equal(a->count, b->count);
  for (size_t i = 0; i < a->count; i++) {
    const struct borelay_row *p = &a->rows[i], *q = &b->rows[i];
    assert_true(p->index == q->index && p->t_us == q->t_us && p->x_nm == q->x_nm &&
                p->y_nm == q->y_nm && p->z_nm == q->z_nm && p->head_udeg == q->head_udeg &&
                p->lap == q->lap && p->overlay == q->overlay && p->phase == q->phase);
  }
}

/* -- the tests --------------------------------------------------------------------------------- */

static void test_pieces(void **state) {
  (void)state;
  static struct bytes bytes;
  static struct told plain, told;
  for (int binary = 0; binary < 2; binary++) {
    long_make(&bytes, binary);
    tell(&plain, &bytes, 1, 0);
    if (plain.end != BORELAY_END)
      fail_msg("error %d in row %d", (int)plain.error, (int)plain.error_row);
    assert_int_equal(plain.count, ROWS);
    for (size_t piece = 60; piece < 5000; piece += piece / 3)
      for (size_t more = 0; more <= 16; more += 8) {
        tell(&told, &bytes, piece, more);
        assert_same(&plain, &told);
      }
    tell(&told, &bytes, bytes.length, ROWS);
    assert_same(&plain, &told);
  }
}

/* Every byte of some lines, made each of these. */
static void test_damaged_text(void **state) {
  (void)state;
  static const char MADE[] = "0159.-,\n m";
  static struct bytes bytes;
  static struct told plain, told;
  long_make(&bytes, false);
  const char *text = (const char *)bytes.at;
  for (int line = 18; line < 22; line++) {
    char time[16];
    snprintf(time, sizeof time, "\n%.6f,", 0.008 * line);
    size_t from = (size_t)(strstr(text, time) + 1 - text), to = from;
    while (bytes.at[to] != '\n')
      to++;
    for (size_t at = from; at <= to; at++)
      for (const char *made = MADE; *made; made++) {
        uint8_t kept = bytes.at[at];
        bytes.at[at] = (uint8_t)*made;
        tell(&plain, &bytes, 1, 0);
        tell(&told, &bytes, bytes.length, ROWS);
        assert_same(&plain, &told);
        bytes.at[at] = kept;
      }
  }
}

/* A digit, a sign or a point more or less, at every place of a line. */
static void test_shifted_text(void **state) {
  (void)state;
  static const char ADDED[] = "0-.7,";
  static struct bytes bytes, made;
  static struct told plain, told;
  long_make(&bytes, false);
  size_t from =
      (size_t)(strstr((const char *)bytes.at, "\n0.160000,") + 1 - (const char *)bytes.at);
  for (size_t at = from; at < from + 60; at++)
    for (const char *added = ADDED; *added; added++) {
      made.length = 0;
      bytes_add(&made, bytes.at, at);
      bytes_add(&made, added, 1);
      bytes_add(&made, bytes.at + at + (added == ADDED), bytes.length - at - (added == ADDED));
      tell(&plain, &made, 1, 0);
      tell(&told, &made, made.length, ROWS);
      assert_same(&plain, &told);
    }
}

/* -- records ----------------------------------------------------------------------------------- */

struct poke {
  const char *name;
  int row;
  size_t at, size; /* bytes of its record that are set */
  int value;       /* of the last of them; 0 of the others */
  enum borelay_error error;
};

/* docs/stream-format.md: lengths below 2^47, an angle below 2^63, in size. */
static const struct poke POKES[] = {
    {"x too far below zero", 20, 0, 6, 0x80, BORELAY_ERROR_RANGE},
    {"y too far below zero", 20, 6, 6, 0x80, BORELAY_ERROR_RANGE},
    {"z too far below zero", 20, 12, 6, 0x80, BORELAY_ERROR_RANGE},
    {"angle too far below zero", 20, 18, 8, 0x80, BORELAY_ERROR_RANGE},
    {"arc in a move", 20, 39, 1, 0x08, BORELAY_ERROR_ARC},
    {"current in a move", 20, 26, 1, 1, BORELAY_ERROR_ARC},
    {"gas in a move", 20, 39, 1, 0x10, BORELAY_ERROR_GAS},
    {"wire in a move", 20, 35, 1, 1, BORELAY_ERROR_WIRE},
    {"another angle at the end", ROWS - 1, 18, 1, 0x55, BORELAY_ERROR_HEADER},
};

static void test_poke(void **state) {
  const struct poke *poke = *state;
  static struct bytes spt;
  static struct told told;
  long_make(&spt, true);
  uint8_t *block = spt.at;
  while (memcmp(block, "ROWS", 4) != 0 ||
         number_at(block + 8, 4) + number_at(block + 4, 2) <= (uint32_t)poke->row)
    block++;
  uint8_t *record = block + 36 + 40 * ((size_t)poke->row - number_at(block + 8, 4));
  memset(record + poke->at, 0, poke->size);
  record[poke->at + poke->size - 1] = (uint8_t)poke->value;
  spt_seal(&spt);
  for (size_t more = 0; more <= ROWS; more += ROWS) {
    tell(&told, &spt, spt.length, more);
    assert_int_equal(told.error, poke->error);
    assert_int_equal(told.error_row, poke->row);
    assert_int_equal(told.count, poke->row);
  }
}

/* The last row of all may not be like the others: the gas has to be off. */
static void test_last_row_repeats(void **state) {
  (void)state;
  static struct bytes bytes;
  static struct told told;
  char header[SMALL_ROOM], body[SMALL_ROOM], lines[4][200];
  const char *rows[4];
  long_header(header, 4);
  size_t length = (size_t)snprintf(body, sizeof body, "%s%s", header, SMALL_COLUMNS);
  for (int i = 0; i < 4; i++) {
    snprintf(
        lines[i], sizeof lines[i],
        "%.6f,1.000000,2.000000,3.000000,-361.250000,preflow,0,0.0,0.00,0.000,0.0,1,0,1,1,1,12",
        0.008 * i);
    rows[i] = lines[i];
    length += (size_t)snprintf(body + length, sizeof body - length, "%s\n", lines[i]);
  }
  for (int binary = 0; binary < 2; binary++) {
    if (binary)
      spt_make(&bytes, header, rows, 4);
    else
      text_seal(&bytes, body, 4);
    memset(bytes.at + bytes.length, '\n',
           400); /* so that the text's last rows may be read at once */
    bytes.length += binary ? 0 : 400;
    tell(&told, &bytes, bytes.length, ROWS);
    assert_int_equal(told.error, BORELAY_ERROR_LAST_ROW);
    assert_int_equal(told.error_row, 3);
  }
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(POKES) + 4];
  size_t count = 0;
  for (size_t i = 0; i < COUNT(POKES); i++)
    tests[count++] =
        (struct CMUnitTest){POKES[i].name, test_poke, NULL, NULL, (void *)(uintptr_t)&POKES[i]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_pieces);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_damaged_text);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_shifted_text);
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(test_last_row_repeats);
  return _cmocka_run_group_tests("quick", tests, count, NULL, NULL);
}
