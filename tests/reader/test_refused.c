/* Streams whose CRCs are right and whose words or figures are not: each its own error and place. */
#include "small.h"

struct change {
  const char *name;
  const char *from,
      *to; /* the first place in the text where it stands, and what stands there then */
  enum borelay_error error;
  long row; /* number of the row being read; -1: not looked at */
  const char
      *at; /* what stands where the error is told, in the changed text; NULL: not looked at */
};

static const struct change CHANGES[] = {
    {"another kind", "# borelay setpoints", "# borelay setpoint", BORELAY_ERROR_KIND, 0, " 1\n"},
    {"a later version", "setpoints 1", "setpoints 2", BORELAY_ERROR_VERSION, 0, "# borelay"},
    {"version 11", "setpoints 1", "setpoints 11", BORELAY_ERROR_VERSION, 0, "# borelay"},
    {"version in letters", "setpoints 1", "setpoints x", BORELAY_ERROR_NUMBER, 0, "x\n# mode"},
    {"mode missing", "# mode weld\n", "", BORELAY_ERROR_HEADER_LINE, 0, "job \"small"},
    {"unknown mode", "mode weld", "mode welt", BORELAY_ERROR_SYNTAX, 0, "t\n# job"},
    {"mode cut short", "mode weld", "mode wel", BORELAY_ERROR_SYNTAX, 0, "\n# job"},
    {"mode with a tail", "mode weld", "mode welder", BORELAY_ERROR_SYNTAX, 0, "er\n"},
    {"unknown line", "# torch", "# colour red\n# torch", BORELAY_ERROR_HEADER_LINE, 0, "colour"},
    {"unknown line at the end of the header", "t_s,", "# colour red\nt_s,",
     BORELAY_ERROR_HEADER_LINE, 0, "colour"},
    {"line twice", "# rows 14\n", "# rows 14\n# rows 14\n", BORELAY_ERROR_HEADER_LINE, 0, NULL},
    {"no procedure",
     "# procedure hot_wire wps \"W 12 rev 3\" filler \"ERNiCrMo-3\"\n"
     "# procedure p.cold wps \"\" filler \"\"\n",
     "", BORELAY_ERROR_HEADER_LINE, 0, "tick_s"},
    {"no overlay", "# overlay 1 seal_bore file 1\n# overlay 2 deep_bore file 2\n", "",
     BORELAY_ERROR_HEADER_LINE, 0, "file 1 \"job"},
    {"no file", "# file 1 \"job.lay\"\n# file 2 \"other.lay\"\n", "", BORELAY_ERROR_HEADER_LINE, 0,
     "t_s,x_mm"},
    {"columns missing", SMALL_COLUMNS, "", BORELAY_ERROR_HEADER_LINE, 0, "0.000000,100.0"},
    {"columns changed", "wire_mm_s,", "wire_in_s,", BORELAY_ERROR_SYNTAX, 0, "in_s"},
    {"string never closed", "revision \"B\"", "revision \"B", BORELAY_ERROR_SYNTAX, 0,
     "\n# source"},
    {"string never opened", "revision \"B\"", "revision B\"", BORELAY_ERROR_SYNTAX, 0, "B\"\n"},
    {"unknown escape", "\\\"bore", "\\tbore", BORELAY_ERROR_SYNTAX, 0, "tbore"},
    {"name in capitals", "bay_two", "Bay_two", BORELAY_ERROR_SYNTAX, 0, "Bay_two"},
    {"name missing", "cell bay_two", "cell ", BORELAY_ERROR_SYNTAX, 0, " sha256 fffe"},
    {"digest short by a digit", "1c1d1e1f", "1c1d1e1", BORELAY_ERROR_NUMBER, 0, "\n# cell"},
    {"digest long by a digit", "1c1d1e1f", "1c1d1e1f0", BORELAY_ERROR_SYNTAX, 0, "0\n# cell"},
    {"digest in capitals", "0a0b", "0A0b", BORELAY_ERROR_NUMBER, 0, "A0b0c"},
    {"CR LF", "# verdict passed\n", "# verdict passed\r\n", BORELAY_ERROR_HEADER_LINE, 0, "\r\n"},
    {"failed", "verdict passed", "verdict failed", BORELAY_ERROR_HEADER_LINE, 0, "failed"},
    {"plus", "reach_mm 42.0", "reach_mm +42.0", BORELAY_ERROR_NUMBER, 0, "+42.0"},
    {"minus twice", "turned_deg -90", "turned_deg --90", BORELAY_ERROR_NUMBER, 0, "-90.000000\n"},
    {"leading zero", "reach_mm 42.0", "reach_mm 042.0", BORELAY_ERROR_NUMBER, 0, "42.000000 drop"},
    {"negative zero", "z_mm 0.000000 turned", "z_mm -0.000000 turned", BORELAY_ERROR_NUMBER, 0,
     " turned"},
    {"a decimal too few", "reach_mm 42.000000", "reach_mm 42.00000", BORELAY_ERROR_NUMBER, 0,
     " drop_mm"},
    {"a decimal too many", "reach_mm 42.000000", "reach_mm 42.0000000", BORELAY_ERROR_NUMBER, 0,
     "0 drop_mm"},
    {"no point", "reach_mm 42.000000", "reach_mm 42", BORELAY_ERROR_NUMBER, 0, " drop_mm"},
    {"no digit before the point", "reach_mm 42.0", "reach_mm .0", BORELAY_ERROR_NUMBER, 0, ".0000"},
    {"exponent", "reach_mm 42.000000", "reach_mm 4e1", BORELAY_ERROR_NUMBER, 0, "e1 drop"},
    {"decimal comma", "reach_mm 42.000000", "reach_mm 42,000000", BORELAY_ERROR_NUMBER, 0, ",0000"},
    {"huge", "reach_mm 42.0", "reach_mm 99999999999999999999.0", BORELAY_ERROR_NUMBER, 0, NULL},
    {"longer than 140 km", "reach_mm 42.000000", "reach_mm 140737488.355328", BORELAY_ERROR_RANGE,
     0, "# torch"},
    {"tick of 0.9 ms", "tick_s 0.008", "tick_s 0.0009", BORELAY_ERROR_NUMBER, 0, NULL},
    {"tick below 1 ms", "tick_s 0.008000", "tick_s 0.000999", BORELAY_ERROR_RANGE, 0, "# tick_s"},
    {"tick above 100 ms", "tick_s 0.008000", "tick_s 0.100001", BORELAY_ERROR_RANGE, 0, NULL},
    {"negative tick", "tick_s 0.008000", "tick_s -0.008000", BORELAY_ERROR_RANGE, 0, NULL},
    {"no rows", "# rows 14", "# rows 0", BORELAY_ERROR_RANGE, 0, "# rows 0"},
    {"negative rows", "# rows 14", "# rows -14", BORELAY_ERROR_RANGE, 0, NULL},
    {"rows past all ages", "# rows 14", "# rows 999999999999999", BORELAY_ERROR_RANGE, 0, NULL},
    {"most rows that there may be", "# rows 14", "# rows 70368744177664", BORELAY_ERROR_HEADER, 0,
     "# duration_s"},
    {"a row more than the duration", "# rows 14", "# rows 15", BORELAY_ERROR_HEADER, 0,
     "# duration_s"},
    {"duration off", "duration_s 0.104000", "duration_s 0.104001", BORELAY_ERROR_HEADER, 0,
     "# duration_s"},
    {"overlays from 2", "# overlay 1", "# overlay 2", BORELAY_ERROR_HEADER, 0, "# overlay 2 seal"},
    {"overlay left out", "# overlay 2", "# overlay 3", BORELAY_ERROR_HEADER, 0, "# overlay 3"},
    {"files from 0", "# file 1", "# file 0", BORELAY_ERROR_HEADER, 0, "# file 0"},
    {"file that is not there", "deep_bore file 2", "deep_bore file 3", BORELAY_ERROR_HEADER, 0,
     "t_s,"},
    {"overlay in file 0", "deep_bore file 2", "deep_bore file 0", BORELAY_ERROR_RANGE, 0,
     "# overlay 2"},
    {"another head at the end", "head_end_deg -361.250000", "head_end_deg -361.250002",
     BORELAY_ERROR_HEADER, 13, "0.104000,"},
    {"tick missing", "0.008000,100.5", "0.016000,100.5", BORELAY_ERROR_TIME, 1, "0.016000,"},
    {"time not on a tick", "0.016000,100.5", "0.016001,100.5", BORELAY_ERROR_TIME, 2, "0.016001"},
    {"time going back", "0.016000,100.5", "0.000000,100.5", BORELAY_ERROR_TIME, 2, NULL},
    {"negative time", "0.016000,100.5", "-0.016000,100.5", BORELAY_ERROR_TIME, 2, NULL},
    {"empty field", ",100.500000,-140", ",,-140", BORELAY_ERROR_NUMBER, 1, ",-140"},
    {"column missing", ",0,0,1,1,1,12\n0.008", ",0,0,1,1,12\n0.008", BORELAY_ERROR_SYNTAX, 0,
     "\n0.008"},
    {"column too many", ",1,1,1,12\n0.008", ",1,1,1,12,\n0.008", BORELAY_ERROR_SYNTAX, 0,
     ",\n0.008"},
    {"empty line", "12\n0.008", "12\n\n0.008", BORELAY_ERROR_NUMBER, 1, "\n0.008"},
    {"comment among rows", "12\n0.008", "12\n# pause\n0.008", BORELAY_ERROR_SYNTAX, 1, "pause"},
    {"x of 140 km", "100.500000,-140737488.355327", "140737488.355328,-140737488.355327",
     BORELAY_ERROR_RANGE, 1, "0.008000"},
    {"y of -140 km", "-140737488.355327", "-140737488.355328", BORELAY_ERROR_RANGE, 1, NULL},
    {"largest current", "weld,1,205.0", "weld,1,1677721.6", BORELAY_ERROR_RANGE, 4, NULL},
    {"negative current", "weld,1,205.0", "weld,1,-205.0", BORELAY_ERROR_RANGE, 4, NULL},
    {"largest voltage", "205.0,11.50", "205.0,167772.16", BORELAY_ERROR_RANGE, 4, NULL},
    {"largest wire speed", "11.50,26.667", "11.50,2147483.648", BORELAY_ERROR_RANGE, 5, NULL},
    {"largest lap", "0,0,1,1,1,12\n0.008", "0,0,1,1,4294967296,12\n0.008", BORELAY_ERROR_RANGE, 0,
     NULL},
    {"arc of 2", "weld,1,205.0", "weld,2,205.0", BORELAY_ERROR_RANGE, 4, NULL},
    {"gas of -1", "55.0,1,1,1,1,1", "55.0,-1,1,1,1,1", BORELAY_ERROR_RANGE, 5, NULL},
    {"unknown phase", ",preflow", ",postpone", BORELAY_ERROR_SYNTAX, 2, "pone"},
    {"phase cut short", ",preflow", ",preflo", BORELAY_ERROR_SYNTAX, 2, NULL},
    {"no phase", ",preflow", ",", BORELAY_ERROR_SYNTAX, 2, NULL},
    {"move after a touch", "preflow,0,0.0,0.00,0.000,0.0,1", "move,0,0.0,0.00,0.000,0.0,0",
     BORELAY_ERROR_PHASE, 2, "0.016000"},
    {"postflow after an upslope", "weld,1,205.0,11.50,0.000", "postflow,0,0.0,0.00,0.000",
     BORELAY_ERROR_PHASE, 4, NULL},
    {"weld after a downslope", "downslope,1,112.8", "weld,1,112.8", BORELAY_ERROR_PHASE, 8, NULL},
    {"touch after a postflow", "0.080000,101.500000,21.000000,1050.000000,-9.500000,move",
     "0.080000,101.500000,21.000000,1050.000000,-9.500000,touch", BORELAY_ERROR_PHASE, 10, NULL},
    {"arc on in a move", "move,0,0.0", "move,1,0.0", BORELAY_ERROR_ARC, 0, "0.000000,100"},
    {"arc on in a wait", "wait,0,0.0", "wait,1,0.0", BORELAY_ERROR_ARC, 11, NULL},
    {"arc on in a preflow", "preflow,0", "preflow,1", BORELAY_ERROR_ARC, 2, NULL},
    {"arc out in a weld", "weld,1,205.0,11.50,26.667,55.0,1,1", "weld,0,0.0,0.00,0.000,0.0,1,0",
     BORELAY_ERROR_ARC, 5, NULL},
    {"arc out in a downslope", "downslope,1,205.0,11.50,-26.667", "downslope,0,0.0,0.00,0.000",
     BORELAY_ERROR_ARC, 7, NULL},
    {"current in a move", "move,0,0.0", "move,0,0.1", BORELAY_ERROR_ARC, 0, NULL},
    {"voltage in a touch", "touch,0,0.0,0.00", "touch,0,0.0,0.01", BORELAY_ERROR_ARC, 1, NULL},
    {"no gas in a weld", "26.667,55.0,1,1", "26.667,55.0,0,1", BORELAY_ERROR_GAS, 5, NULL},
    {"gas in a move", "move,0,0.0,0.00,0.000,0.0,0", "move,0,0.0,0.00,0.000,0.0,1",
     BORELAY_ERROR_GAS, 0, NULL},
    {"wire in an upslope", "20.5,11.50,0.000", "20.5,11.50,26.667", BORELAY_ERROR_WIRE, 3, NULL},
    {"wire drawn back in a weld", "11.50,26.667", "11.50,-26.667", BORELAY_ERROR_WIRE, 5, NULL},
    {"wire fed in a downslope", "11.50,-26.667", "11.50,26.667", BORELAY_ERROR_WIRE, 7, NULL},
    {"wire drawn back in a move", "move,0,0.0,0.00,0.000", "move,0,0.0,0.00,-0.001",
     BORELAY_ERROR_WIRE, 0, NULL},
    {"hot wire that stands", "11.50,0.000,0.0,1,0,1,1,1,12\n0.040",
     "11.50,0.000,55.0,1,0,1,1,1,12"
     "\n0.040",
     BORELAY_ERROR_WIRE, 4, NULL},
    {"voltage control in a downslope", "-26.667,0.0,1,0", "-26.667,0.0,1,1", BORELAY_ERROR_AVC, 7,
     NULL},
    {"voltage control in a move", "move,0,0.0,0.00,0.000,0.0,0,0", "move,0,0.0,0.00,0.000,0.0,0,1",
     BORELAY_ERROR_AVC, 0, NULL},
    {"overlay that is not there", "0,0,1,1,1,12\n0.008", "0,0,3,1,1,12\n0.008", BORELAY_ERROR_LABEL,
     0, NULL},
    {"no layer", "0,0,1,1,1,12\n0.008", "0,0,1,0,1,12\n0.008", BORELAY_ERROR_LABEL, 0, NULL},
    {"no lap", "0,0,1,1,1,12\n0.008", "0,0,1,1,0,12\n0.008", BORELAY_ERROR_LABEL, 0, NULL},
    {"no line", "0,0,1,1,1,12\n0.008", "0,0,1,1,1,0\n0.008", BORELAY_ERROR_LABEL, 0, NULL},
    {"overlay after the end of all", "0.0,0,0,0,0,0,0\n# ", "0.0,0,0,1,1,1,12\n# ",
     BORELAY_ERROR_LABEL, 13, NULL},
    {"no overlay under the arc", "55.0,1,1,1,1,1,12", "55.0,1,1,0,0,0,0", BORELAY_ERROR_LABEL, 5,
     NULL},
    {"row left out at the end",
     "0.104000,101.500000,21.000000,1050.000000,-361.250000,move,0,0.0,0.00,0.000,0.0,0,0,0,0,0,"
     "0\n",
     "", BORELAY_ERROR_ROWS, 13, "# end"},
    {"rehearsal with an arc", "mode weld", "mode rehearsal", BORELAY_ERROR_GAS, 2, "0.016000"},
};

/* The body with one change, or fails. */
static void body_change(char body[SMALL_ROOM], const struct change *change) {
  static char whole[SMALL_ROOM];
  small_body(whole);
  strcat(whole, "# "); /* of the end line, as context */
  char *place = strstr(whole, change->from);
  assert_non_null(place);
  snprintf(body, SMALL_ROOM, "%.*s%s%s", (int)(place - whole), whole, change->to,
           place + strlen(change->from));
  body[strlen(body) - 2] = '\0';
}

static void expect_error(const struct bytes *bytes, const struct change *change, bool has_place) {
  static const size_t PIECES[] = {SMALL_ROOM, 1, 7};
  for (size_t i = 0; i < sizeof PIECES / sizeof PIECES[0]; i++) {
    static struct borelay_reader reader;
    int rows;
    assert_int_equal(read_all(&reader, bytes->at, bytes->length, PIECES[i], &rows), BORELAY_ERROR);
    if (reader.error != change->error || (long)reader.error_row != change->row)
      fail_msg("error %d, row %d at %llu", (int)reader.error, (int)reader.error_row,
               (unsigned long long)reader.error_at);
    assert_int_equal(rows, change->row);
    if (has_place && change->at)
      assert_memory_equal(bytes->at + reader.error_at, change->at, strlen(change->at));
    const uint8_t *next = bytes->at;
    size_t left = 1;
    assert_int_equal(borelay_reader_next(&reader, &next, &left), BORELAY_ERROR); /* and stays so */
    assert_int_equal(left, 1);
    assert_int_equal(borelay_reader_finish(&reader), BORELAY_ERROR);
    assert_int_equal(reader.error, change->error);
  }
}

static void test_text_change(void **state) {
  const struct change *change = *state;
  char body[SMALL_ROOM];
  struct bytes text;
  body_change(body, change);
  text_seal(&text, body, SMALL_ROW_COUNT);
  expect_error(&text, change, true);
}

/* -- binary ------------------------------------------------------------------------------------ */

/* Where the header CRC of the small .spt stands, and its blocks. */
static size_t spt_blocks(const struct bytes *spt) {
  return 16 + number_at(spt->at + 12, 4) + 4;
}

/* What is wrong with a row is wrong with its record. */
static bool suits_binary(const struct change *change) {
  return change->error >= BORELAY_ERROR_PHASE && change->error <= BORELAY_ERROR_LABEL;
}

static void test_binary_change(void **state) {
  const struct change *change = *state;
  char body[SMALL_ROOM], *lines[SMALL_ROW_COUNT];
  struct bytes spt;
  body_change(body, change);
  char *rows = strstr(body, "t_s,");
  char header[SMALL_ROOM];
  snprintf(header, sizeof header, "%.*s", (int)(rows - body), body);
  rows = strchr(rows, '\n') + 1;
  for (int i = 0; i < SMALL_ROW_COUNT; i++) {
    lines[i] = rows;
    rows = strchr(rows, '\n') + 1;
  }
  spt_make(&spt, header, (const char *const *)lines, SMALL_ROW_COUNT);
  expect_error(&spt, change, false);
}

struct poke {
  const char *name;
  long block;    /* of the file; -1: the file itself */
  long at;       /* from its start; negative: from the end of the file */
  uint8_t value; /* XORed */
  bool seal;
  enum borelay_error error;
  long row;
};

static const struct poke POKES[] = {
    {"magic", -1, 3, 1, true, BORELAY_ERROR_KIND, 0},
    {"first byte", -1, 0, 1, true, BORELAY_ERROR_KIND, 0},
    {"version", -1, 8, 3, true, BORELAY_ERROR_VERSION, 0},
    {"record size", -1, 10, 1, true, BORELAY_ERROR_VERSION, 0},
    {"a digit of the header", -1, 400, 1, false, BORELAY_ERROR_HEADER_CRC, 0},
    {"magic of a block", 0, 0, 1, false, BORELAY_ERROR_BLOCK, 0},
    {"count of a block", 0, 4, 1, false, BORELAY_ERROR_BLOCK, 0},
    {"count of a block, told again", 0, 6, 1, false, BORELAY_ERROR_BLOCK, 0},
    {"first row of a block", 0, 8, 1, true, BORELAY_ERROR_BLOCK_ORDER, 0},
    {"first row of a block, top byte", 0, 15, 0x80, true, BORELAY_ERROR_BLOCK_ORDER, 0},
    {"block of another stream", 0, 16, 1, false, BORELAY_ERROR_BLOCK_CRC, 0},
    {"a bit of a record", 0, 40, 1, false, BORELAY_ERROR_BLOCK_CRC, 0},
    {"spare bits of a record", 0, 36 + 39, 0x40, true, BORELAY_ERROR_RANGE, 0},
    {"spare bits of the next record", 0, 76 + 39, 0x80, true, BORELAY_ERROR_RANGE, 1},
    {"magic of the end", -1, -24, 1, false, BORELAY_ERROR_BLOCK, 14},
    {"zeros of the end", -1, -20, 1, true, BORELAY_ERROR_BLOCK, 14},
    {"rows of the end", -1, -16, 1, true, BORELAY_ERROR_ROWS, 14},
    {"rows of the end, top byte", -1, -9, 0x80, true, BORELAY_ERROR_ROWS, 14},
    {"CRC of the CRCs", -1, -8, 1, false, BORELAY_ERROR_BLOCK_CRC, 14},
    {"CRC of the end", -1, -1, 1, false, BORELAY_ERROR_BLOCK_CRC, 14},
};

static void test_poke(void **state) {
  const struct poke *poke = *state;
  struct bytes spt;
  small_spt(&spt);
  size_t base = poke->block >= 0 ? spt_blocks(&spt) : poke->at < 0 ? spt.length : 0;
  spt.at[(size_t)((long)base + poke->at)] ^= poke->value;
  if (poke->seal)
    spt_seal(&spt);
  struct change change = {.error = poke->error, .row = poke->row};
  expect_error(&spt, &change, false);
}

/* -- what no single change gives ------------------------------------------------------------- */

static void expect(const struct bytes *bytes, enum borelay_error error, long row) {
  struct change change = {.error = error, .row = row};
  expect_error(bytes, &change, false);
}

static void test_trailing(void **state) {
  (void)state;
  for (int binary = 0; binary <= 1; binary++) {
    struct bytes bytes;
    small_make(&bytes, binary);
    bytes_text(&bytes, "\n");
    expect(&bytes, BORELAY_ERROR_TRAILING, SMALL_ROW_COUNT);
    bytes.length--;
    struct bytes twice = bytes;
    bytes_add(&twice, bytes.at, bytes.length);
    expect(&twice, BORELAY_ERROR_TRAILING, SMALL_ROW_COUNT);
  }
}

static void test_row_too_many(void **state) {
  (void)state;
  char body[SMALL_ROOM];
  struct bytes text;
  small_body(body);
  strcat(body, "0.112000,101.500000,21.000000,1050.000000,-361.250000,move,0,0.0,0.00,0.000,0.0,0,"
               "0,0,0,0,0\n");
  text_seal(&text, body, 15);
  expect(&text, BORELAY_ERROR_ROWS, SMALL_ROW_COUNT);
}

static void test_end_line(void **state) {
  (void)state;
  struct bytes text;
  char body[SMALL_ROOM];
  small_body(body);
  text_seal(&text, body, 13);
  expect(&text, BORELAY_ERROR_ROWS, SMALL_ROW_COUNT);
  *strstr(body, "0.104000,") = '\0'; /* a row left out, and the end line knows */
  text_seal(&text, body, 13);
  expect(&text, BORELAY_ERROR_ROWS, 13);
  small_text(&text);
  text.at[text.length - 2] ^= 1; /* the last digit of the CRC */
  expect(&text, BORELAY_ERROR_CRC, SMALL_ROW_COUNT);
}

/* Arc, gas or wire left on in the last row. */
static void test_last_row(void **state) {
  (void)state;
  const char *rows[6];
  char header[SMALL_ROOM];
  for (int i = 0; i < 6; i++)
    rows[i] = SMALL_ROWS[i];
  snprintf(header, sizeof header, "%s", SMALL_HEADER);
  memcpy(strstr(header, "rows 14"), "rows 6\n", 7);
  memcpy(strstr(header, "\n\n") + 1, "# duration_s 0.040000\n# head_end_deg -9.500000\n", 47);
  char *rest = strstr(header, "# head_end_deg -9.500000\n") + 25;
  memmove(rest, strstr(header, "# verdict"), strlen(strstr(header, "# verdict")) + 1);
  struct bytes spt;
  spt_make(&spt, header, rows, 6);
  expect(&spt, BORELAY_ERROR_LAST_ROW, 5);
  rows[5] = "0.040000,101.5,21.0,1050.0,-9.5,postflow,0,0.0,0.00,0.000,0.0,1,0,1,1,1,12";
  spt_make(&spt, header, rows, 6);
  expect(&spt, BORELAY_ERROR_LAST_ROW, 5);
  rows[5] = "0.040000,101.5,21.0,1050.0,-9.5,weld,0,0.0,0.00,0.000,0.0,0,0,1,1,1,12";
  spt_make(&spt, header, rows, 6); /* whatever its phase */
  struct borelay_reader reader;
  int count;
  assert_int_equal(read_all(&reader, spt.at, spt.length, 64, &count), BORELAY_END);
}

/* A file written over an older one of the same length: blocks of the old behind the new header. */
static void test_blocks_of_another_stream(void **state) {
  (void)state;
  struct bytes old, new;
  small_spt(&old);
  char header[SMALL_ROOM];
  snprintf(header, sizeof header, "%s", SMALL_HEADER);
  *strstr(header, "revision \"B\"") = 'r';
  memcpy(strstr(header, "\"B\""), "\"C\"", 3);
  spt_make(&new, header, SMALL_ROWS, SMALL_ROW_COUNT);
  size_t blocks = spt_blocks(&new);
  memcpy(new.at + blocks, old.at + blocks, new.length - blocks);
  expect(&new, BORELAY_ERROR_BLOCK_ORDER, 0);
}

/* A block cut in two though nothing changes: there is one way to write a stream. */
static void test_needless_block(void **state) {
  (void)state;
  struct bytes spt, cut;
  small_spt(&spt);
  size_t block = spt_blocks(&spt);
  cut.length = 0;
  bytes_add(&cut, spt.at, block + 36 + 40);
  number_put(cut.at + block + 4, 1 | 65534u << 16);
  bytes_number(&cut, 0, 4);
  bytes_add(&cut, spt.at + block, 36);
  size_t second = cut.length - 36;
  number_put(cut.at + second + 4, 5 | 65530u << 16);
  number_put(cut.at + second + 8, 1);
  bytes_add(&cut, spt.at + block + 76, spt.length - block - 76);
  spt_seal(&cut);
  expect(&cut, BORELAY_ERROR_BLOCK_ORDER, 1);
}

/* Header lines that end too soon: after each line, and in the middle of each. */
static void test_header_ends_early(void **state) {
  (void)state;
  size_t files = (size_t)(strstr(SMALL_HEADER, "# file") - SMALL_HEADER);
  for (size_t length = 0; length < strlen(SMALL_HEADER); length++) {
    char header[SMALL_ROOM];
    struct bytes spt;
    snprintf(header, sizeof header, "%.*s", (int)length, SMALL_HEADER);
    spt_make(&spt, header, SMALL_ROWS, SMALL_ROW_COUNT);
    bool is_file_line = length > files && SMALL_HEADER[length - 1] == '\n';
    expect(&spt, is_file_line ? BORELAY_ERROR_HEADER : BORELAY_ERROR_HEADER_LINE, 0);
  }
}

/* A block of no rows, and one of more than there may be. */
static void test_block_counts(void **state) {
  (void)state;
  static const uint32_t COUNTS[] = {0, 65, 66, 65535};
  for (size_t i = 0; i < sizeof COUNTS / sizeof COUNTS[0]; i++) {
    struct bytes spt;
    small_spt(&spt);
    number_put(spt.at + spt_blocks(&spt) + 4, COUNTS[i] | (65535 - COUNTS[i]) << 16);
    expect(&spt, BORELAY_ERROR_BLOCK, 0);
  }
}

/* A block swapped for another good one of the same place: the CRC over the CRCs tells. */
static void test_block_exchanged(void **state) {
  (void)state;
  struct bytes spt;
  small_spt(&spt);
  uint8_t *block = spt.at + spt_blocks(&spt);
  size_t length = 36 + 40 * (size_t)number_at(block + 4, 2);
  block[36] ^= 1; /* the least digit of the first row's x */
  number_put(block + length, small_crc(block, length));
  expect(&spt, BORELAY_ERROR_CRC, SMALL_ROW_COUNT);
}

/* The last block left out, and the closing block knows, or does not. */
static void test_block_left_out(void **state) {
  (void)state;
  struct bytes spt;
  small_spt(&spt);
  size_t last = 36 + 2 * 40 + 4;
  memmove(spt.at + spt.length - 24 - last, spt.at + spt.length - 24, 24);
  spt.length -= last;
  number_put(spt.at + spt.length - 16, SMALL_ROW_COUNT - 2);
  spt_seal(&spt);
  expect(&spt, BORELAY_ERROR_ROWS, SMALL_ROW_COUNT - 2);
  number_put(spt.at + spt.length - 16, SMALL_ROW_COUNT);
  spt_seal(&spt);
  expect(&spt, BORELAY_ERROR_ROWS, SMALL_ROW_COUNT - 2);
}

/* Header lines longer or shorter than the preamble says; nothing is waited for in vain. */
static void test_header_length(void **state) {
  (void)state;
  struct bytes spt;
  static const uint32_t LENGTHS[] = {0, 1, 100, 0xffffffff};
  for (size_t i = 0; i < sizeof LENGTHS / sizeof LENGTHS[0]; i++) {
    small_spt(&spt);
    number_put(spt.at + 12, LENGTHS[i]);
    struct borelay_reader reader;
    int rows;
    assert_int_equal(read_all(&reader, spt.at, spt.length, 64, &rows), BORELAY_ERROR);
    assert_int_equal(reader.error, BORELAY_ERROR_HEADER_LINE);
  }
}

int main(void) {
  enum {
    CHANGE_COUNT = sizeof CHANGES / sizeof CHANGES[0],
    POKE_COUNT = sizeof POKES / sizeof POKES[0]
  };
  static const struct CMUnitTest OTHERS[] = {
      cmocka_unit_test(test_trailing),       cmocka_unit_test(test_row_too_many),
      cmocka_unit_test(test_end_line),       cmocka_unit_test(test_last_row),
      cmocka_unit_test(test_needless_block), cmocka_unit_test(test_blocks_of_another_stream),
      cmocka_unit_test(test_header_length),  cmocka_unit_test(test_header_ends_early),
      cmocka_unit_test(test_block_counts),   cmocka_unit_test(test_block_exchanged),
      cmocka_unit_test(test_block_left_out)};
  enum { OTHER_COUNT = sizeof OTHERS / sizeof OTHERS[0] };
  struct CMUnitTest tests[2 * CHANGE_COUNT + POKE_COUNT + OTHER_COUNT];
  size_t count = 0;
  for (size_t i = 0; i < CHANGE_COUNT; i++) {
    union {
      const struct change *given;
      void *wanted;
    } change = {&CHANGES[i]};
    tests[count++] =
        (struct CMUnitTest){change.given->name, test_text_change, NULL, NULL, change.wanted};
    if (suits_binary(change.given))
      tests[count++] =
          (struct CMUnitTest){change.given->name, test_binary_change, NULL, NULL, change.wanted};
  }
  for (size_t i = 0; i < POKE_COUNT; i++) {
    union {
      const struct poke *given;
      void *wanted;
    } poke = {&POKES[i]};
    tests[count++] = (struct CMUnitTest){poke.given->name, test_poke, NULL, NULL, poke.wanted};
  }
  for (size_t i = 0; i < OTHER_COUNT; i++)
    tests[count++] = OTHERS[i];
  return _cmocka_run_group_tests("reader refused", tests, count, NULL, NULL);
}
