/* Small streams of both kinds, read whole and in pieces of every size. */
#include "small.h"

/* -- events ------------------------------------------------------------------------------------ */

/* Everything that a reader tells, as text. */
struct told {
  char text[SMALL_ROOM];
  size_t length;
};

__attribute__((format(printf, 2, 3))) static void tell(struct told *told, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  told->length +=
      (size_t)vsnprintf(told->text + told->length, SMALL_ROOM - told->length, format, arguments);
  va_end(arguments);
  assert_in_range(told->length, 0, SMALL_ROOM - 1);
}

static void tell_event(struct told *told, enum borelay_event event,
                       const struct borelay_reader *reader) {
  const struct borelay_text *text = &reader->text;
  const struct borelay_row *row = &reader->row;
  if (event == BORELAY_TEXT)
    tell(told, "%d.%u %u \"%.*s\"%s\n", text->field, text->number, text->value, text->length,
         text->bytes, text->more ? "+" : "");
  if (event == BORELAY_HEADER)
    tell(told, "header\n");
  if (event == BORELAY_ROW)
    tell(told,
         "%llu %llu: %lld %lld %lld %lld, phase %d, arc %d gas %d avc %d, %u %u %u %d, %u.%u.%u "
         "%u\n",
         (unsigned long long)row->index, (unsigned long long)row->t_us, (long long)row->x_nm,
         (long long)row->y_nm, (long long)row->z_nm, (long long)row->head_udeg, row->phase,
         row->arc, row->gas, row->avc, row->current_100ma, row->voltage_10mv,
         row->wire_current_100ma, row->wire_um_s, row->overlay, row->layer, row->lap, row->line);
  if (event == BORELAY_END)
    tell(told, "end\n");
}

static void read_told(struct told *told, const struct bytes *bytes, size_t piece) {
  struct borelay_reader reader;
  memset(&reader, 0xaa, sizeof reader); /* begin must not lean on what was there */
  borelay_reader_begin(&reader);
  told->length = 0;
  told->text[0] = '\0';
  for (size_t at = 0; at < bytes->length; at += piece) {
    const uint8_t *next = bytes->at + at;
    size_t left = bytes->length - at < piece ? bytes->length - at : piece;
    enum borelay_event event;
    while ((event = borelay_reader_next(&reader, &next, &left)) != BORELAY_MORE) {
      if (event == BORELAY_ERROR)
        fail_msg("error %d at %llu", (int)reader.error, (unsigned long long)reader.error_at);
      tell_event(told, event, &reader);
    }
    assert_int_equal(left, 0);
  }
  assert_int_equal(borelay_reader_finish(&reader), BORELAY_END);
}

static const char TOLD_STRINGS[] = "0.1 0 \"small \\\"bore\\\"\"\n"
                                   "1.1 0 \"\"\n"
                                   "2.1 0 \"B\"\n"
                                   "3.1 0 \"bay_two\"\n"
                                   "4.1 0 \"hot_wire\"\n"
                                   "5.1 0 \"W 12 rev 3\"\n"
                                   "6.1 0 \"ERNiCrMo-3\"\n"
                                   "4.2 0 \"p.cold\"\n"
                                   "5.2 0 \"\"\n"
                                   "6.2 0 \"\"\n"
                                   "7.1 0 \"seal_bore\"\n"
                                   "8.1 1 \"\"\n"
                                   "7.2 0 \"deep_bore\"\n"
                                   "8.2 2 \"\"\n"
                                   "9.1 0 \"job.lay\"\n"
                                   "9.2 0 \"other.lay\"\n"
                                   "header\n";
static const char TOLD_ROWS[] =
    "0 0: 100000000 -1 1050000000 0, phase 0, arc 0 gas 0 avc 0, 0 0 0 0, 1.1.1 12\n"
    "1 8000: 100500000 -140737488355327 1050000000 -1, phase 1, arc 0 gas 0 avc 0, 0 0 0 0, 1.1.1 "
    "12\n"
    "2 16000: 100500000 20000000 1050000000 -500000, phase 2, arc 0 gas 1 avc 0, 0 0 0 0, 1.1.1 "
    "12\n"
    "3 24000: 100500000 20000000 1050000000 -500000, phase 3, arc 1 gas 1 avc 0, 205 1150 0 0, "
    "1.1.1 12\n"
    "4 32000: 100500000 20000000 1050000000 -500000, phase 4, arc 1 gas 1 avc 0, 2050 1150 0 0, "
    "1.1.1 12\n"
    "5 40000: 101500000 21000000 1050000000 -9500000, phase 4, arc 1 gas 1 avc 1, 2050 1150 550 "
    "26667, 1.1.1 12\n"
    "6 48000: 101500000 21000000 1050000000 -9500000, phase 4, arc 1 gas 1 avc 0, 2050 1150 550 "
    "26667, 1.1.2 12\n"
    "7 56000: 101500000 21000000 1050000000 -9500000, phase 5, arc 1 gas 1 avc 0, 2050 1150 0 "
    "-26667, 1.1.2 12\n"
    "8 64000: 101500000 21000000 1050000000 -9500000, phase 5, arc 1 gas 1 avc 0, 1128 1150 0 0, "
    "1.1.2 12\n"
    "9 72000: 101500000 21000000 1050000000 -9500000, phase 6, arc 0 gas 1 avc 0, 0 0 0 0, 1.1.2 "
    "12\n"
    "10 80000: 101500000 21000000 1050000000 -9500000, phase 0, arc 0 gas 0 avc 0, 0 0 0 0, 2.1.1 "
    "5\n"
    "11 88000: 101500000 21000000 1050000000 -9500000, phase 7, arc 0 gas 0 avc 0, 0 0 0 0, 2.1.1 "
    "5\n"
    "12 96000: 101500000 21000000 1050000000 -9500000, phase 0, arc 0 gas 0 avc 0, 0 0 0 0, 0.0.0 "
    "0\n"
    "13 104000: 101500000 21000000 1050000000 -361250000, phase 0, arc 0 gas 0 avc 0, 0 0 0 0, "
    "0.0.0 0\n"
    "end\n";

/* In one piece, byte by byte, and in every size between. */
static void test_events(void **state) {
  struct bytes bytes;
  small_make(&bytes, *(const bool *)*state);
  char wanted[SMALL_ROOM];
  snprintf(wanted, sizeof wanted, "%s%s", TOLD_STRINGS, TOLD_ROWS);
  for (size_t piece = 1; piece <= bytes.length; piece += piece < 300 ? 1 : 97) {
    static struct told told;
    read_told(&told, &bytes, piece);
    assert_string_equal(told.text, wanted);
  }
}

static void test_header(void **state) {
  struct bytes bytes;
  small_make(&bytes, *(const bool *)*state);
  struct borelay_reader reader;
  int rows;
  assert_int_equal(read_all(&reader, bytes.at, bytes.length, SMALL_ROOM, &rows), BORELAY_END);
  assert_int_equal(rows, SMALL_ROW_COUNT);
  const struct borelay_header *header = &reader.header;
  assert_int_equal(header->mode, BORELAY_WELD);
  assert_int_equal(header->rows, 14);
  assert_int_equal(header->duration_us, 104000);
  assert_int_equal(header->tick_us, 8000);
  assert_true(header->head_end_udeg == -361250000);
  assert_int_equal(header->reach_nm, 42000000);
  assert_int_equal(header->drop_nm, 310000000);
  assert_int_equal(header->correction_nm, 1000000);
  assert_int_equal(header->datum_x_nm, 10000000);
  assert_true(header->datum_y_nm == -20500000);
  assert_int_equal(header->datum_z_nm, 0);
  assert_true(header->datum_turned_udeg == -90000000);
  for (int i = 0; i < 32; i++) {
    assert_int_equal(header->source_sha256[i], i);
    assert_int_equal(header->cell_sha256[i], 255 - i);
  }
  assert_int_equal(header->procedures, 2);
  assert_int_equal(header->overlays, 2);
  assert_int_equal(header->files, 2);
  assert_int_equal(header->text_to - header->text_from, strlen(SMALL_HEADER));
  assert_memory_equal(bytes.at + header->text_from, SMALL_HEADER, strlen(SMALL_HEADER));
  assert_int_equal(header->binary, bytes.at[0] == 0x89);
}

/* Strings of any length come in parts; those that just fill a part, and one more, too. */
static void test_long_strings(void **state) {
  (void)state;
  for (size_t length = 0; length <= 200; length += length < 62 || length > 130 ? 31 : 1) {
    char title[256], body[SMALL_ROOM], header[SMALL_ROOM], joined[256] = "";
    memset(title, 'm', length);
    title[length] = '\0';
    small_body(body);
    char *rest = strstr(body, "\" part");
    snprintf(header, sizeof header, "# borelay setpoints 1\n# mode weld\n# job \"%s%s", title,
             rest);
    struct bytes text;
    text_seal(&text, header, SMALL_ROW_COUNT);
    struct borelay_reader reader;
    borelay_reader_begin(&reader);
    const uint8_t *next = text.at;
    size_t left = text.length;
    bool more = true;
    while (more) {
      assert_int_equal(borelay_reader_next(&reader, &next, &left), BORELAY_TEXT);
      assert_int_equal(reader.text.field, BORELAY_JOB_TITLE);
      strncat(joined, reader.text.bytes, reader.text.length);
      more = reader.text.more;
      if (more)
        assert_int_equal(reader.text.length, BORELAY_TEXT_PART);
    }
    assert_string_equal(joined, title);
    enum borelay_event event;
    while ((event = borelay_reader_next(&reader, &next, &left)) != BORELAY_END)
      assert_int_not_equal(event, BORELAY_ERROR);
  }
}

/* 64 rows fill a block, the 65th begins the next. */
static void test_full_blocks(void **state) {
  (void)state;
  static const int COUNTS[] = {1, 63, 64, 65, 128, 129};
  for (size_t i = 0; i < sizeof COUNTS / sizeof COUNTS[0]; i++) {
    int count = COUNTS[i];
    char header[SMALL_ROOM], lines[40];
    snprintf(header, sizeof header, "%s", SMALL_HEADER);
    snprintf(lines, sizeof lines, "# rows %d\n# duration_s 0.%03d000\n", count, 4 * (count - 1));
    char *tick = strstr(header, "0.008000"), *rows = strstr(header, "# rows");
    tick[4] = '4';
    char tail[SMALL_ROOM];
    snprintf(tail, sizeof tail, "%s", strstr(header, "# head_end_deg"));
    snprintf(rows, sizeof header - (size_t)(rows - header), "%s%s", lines, tail);
    memcpy(strstr(header, "-361.25"), "0000.00", 7);
    char *zeros = strstr(header, "0000.000000");
    memmove(zeros, zeros + 3, strlen(zeros + 3) + 1);
    static struct bytes spt;
    spt.length = 0;
    spt_make(&spt, header, NULL, 0); /* header alone; the blocks go before the closing one */
    spt.length -= 24;
    struct small_row row = small_row_parse(SMALL_ROWS[0]);
    memset(row.label, 0, sizeof row.label);
    for (int k = 0; k < count; k += 64) {
      int m = count - k < 64 ? count - k : 64;
      bytes_text(&spt, "ROWS");
      bytes_number(&spt, m | (int64_t)(65535 - m) << 16, 4);
      bytes_number(&spt, k, 8);
      bytes_number(&spt, 0, 20);
      for (int n = 0; n < m; n++)
        small_record(&spt, &row);
      bytes_number(&spt, 0, 4);
    }
    bytes_text(&spt, "ENDS");
    bytes_number(&spt, 0, 4);
    bytes_number(&spt, count, 8);
    bytes_number(&spt, 0, 8);
    spt_seal(&spt);
    struct borelay_reader reader;
    int got;
    if (read_all(&reader, spt.at, spt.length, 100, &got) != BORELAY_END)
      fail_msg("%d rows: error %d at %llu", count, (int)reader.error,
               (unsigned long long)reader.error_at);
    assert_int_equal(got, count);
  }
}

/* Two readers, a byte for the one, a byte for the other. */
static void test_two_at_once(void **state) {
  (void)state;
  static struct bytes bytes[2];
  static struct borelay_reader readers[2];
  int rows[2] = {0, 0};
  small_text(&bytes[0]);
  small_spt(&bytes[1]);
  for (int i = 0; i < 2; i++)
    borelay_reader_begin(&readers[i]);
  for (size_t at = 0; at < SMALL_ROOM; at++)
    for (int i = 0; i < 2; i++) {
      const uint8_t *next = bytes[i].at + at;
      size_t left = at < bytes[i].length;
      enum borelay_event event;
      while ((event = borelay_reader_next(&readers[i], &next, &left)) != BORELAY_MORE) {
        assert_int_not_equal(event, BORELAY_ERROR);
        rows[i] += event == BORELAY_ROW;
      }
    }
  for (int i = 0; i < 2; i++) {
    assert_int_equal(borelay_reader_finish(&readers[i]), BORELAY_END);
    assert_int_equal(rows[i], SMALL_ROW_COUNT);
  }
}

int main(void) {
  static bool kinds[] = {false, true}; /* binary */
  const struct CMUnitTest tests[] = {
      {"events of a text stream", test_events, NULL, NULL, &kinds[0]},
      {"events of a binary stream", test_events, NULL, NULL, &kinds[1]},
      {"header of a text stream", test_header, NULL, NULL, &kinds[0]},
      {"header of a binary stream", test_header, NULL, NULL, &kinds[1]},
      cmocka_unit_test(test_long_strings),
      cmocka_unit_test(test_full_blocks),
      cmocka_unit_test(test_two_at_once),
  };
  return cmocka_run_group_tests_name("reader whole", tests, NULL, NULL);
}
