/* small.h - a small stream of both kinds, put together without the program's own writers, and the
 * means to change it and make its CRCs right again. */
#ifndef TESTS_READER_SMALL_H
#define TESTS_READER_SMALL_H

#include "support/close.h"

#include <math.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay_reader.h"

enum { SMALL_ROOM = 1 << 14 };

/* Two overlays; every phase; voltage control, wire forward and back; figures below zero. */
static const char SMALL_HEADER[] =
    "# borelay setpoints 1\n"
    "# mode weld\n"
    "# job \"small \\\"bore\\\"\" part \"\" revision \"B\"\n"
    "# source sha256 000102030405060708090a0b0c0d0e0f101112131415161718191a1b1c1d1e1f\n"
    "# cell bay_two sha256 fffefdfcfbfaf9f8f7f6f5f4f3f2f1f0efeeedecebeae9e8e7e6e5e4e3e2e1e0\n"
    "# torch reach_mm 42.000000 drop_mm 310.000000 correction_mm 1.000000\n"
    "# datum x_mm 10.000000 y_mm -20.500000 z_mm 0.000000 turned_deg -90.000000\n"
    "# procedure hot_wire wps \"W 12 rev 3\" filler \"ERNiCrMo-3\"\n"
    "# procedure p.cold wps \"\" filler \"\"\n"
    "# tick_s 0.008000\n"
    "# rows 14\n"
    "# duration_s 0.104000\n"
    "# head_end_deg -361.250000\n"
    "# verdict passed\n"
    "# overlay 1 seal_bore file 1\n"
    "# overlay 2 deep_bore file 2\n"
    "# file 1 \"job.lay\"\n"
    "# file 2 \"other.lay\"\n";
static const char SMALL_COLUMNS[] =
    "t_s,x_mm,y_mm,z_mm,head_deg,phase,arc,current_a,voltage_v,wire_mm_s,wire_current_a,gas,avc,"
    "overlay,layer,lap,line\n";
static const char *const SMALL_ROWS[] = {
    "0.000000,100.000000,-0.000001,1050.000000,0.000000,move,0,0.0,0.00,0.000,0.0,0,0,1,1,1,12",
    "0.008000,100.500000,-140737488.355327,1050.000000,-0.000001,touch,0,0.0,0.00,0.000,0.0,0,0,1,"
    "1,1,12",
    "0.016000,100.500000,20.000000,1050.000000,-0.500000,preflow,0,0.0,0.00,0.000,0.0,1,0,1,1,1,12",
    "0.024000,100.500000,20.000000,1050.000000,-0.500000,upslope,1,20.5,11.50,0.000,0.0,1,0,1,1,1,"
    "12",
    "0.032000,100.500000,20.000000,1050.000000,-0.500000,weld,1,205.0,11.50,0.000,0.0,1,0,1,1,1,12",
    "0.040000,101.500000,21.000000,1050.000000,-9.500000,weld,1,205.0,11.50,26.667,55.0,1,1,1,1,1,"
    "12",
    "0.048000,101.500000,21.000000,1050.000000,-9.500000,weld,1,205.0,11.50,26.667,55.0,1,0,1,1,2,"
    "12",
    "0.056000,101.500000,21.000000,1050.000000,-9.500000,downslope,1,205.0,11.50,-26.667,0.0,1,0,1,"
    "1,2,12",
    "0.064000,101.500000,21.000000,1050.000000,-9.500000,downslope,1,112.8,11.50,0.000,0.0,1,0,1,1,"
    "2,12",
    "0.072000,101.500000,21.000000,1050.000000,-9.500000,postflow,0,0.0,0.00,0.000,0.0,1,0,1,1,2,"
    "12",
    "0.080000,101.500000,21.000000,1050.000000,-9.500000,move,0,0.0,0.00,0.000,0.0,0,0,2,1,1,5",
    "0.088000,101.500000,21.000000,1050.000000,-9.500000,wait,0,0.0,0.00,0.000,0.0,0,0,2,1,1,5",
    "0.096000,101.500000,21.000000,1050.000000,-9.500000,move,0,0.0,0.00,0.000,0.0,0,0,0,0,0,0",
    "0.104000,101.500000,21.000000,1050.000000,-361.250000,move,0,0.0,0.00,0.000,0.0,0,0,0,0,0,0"};
enum { SMALL_ROW_COUNT = sizeof SMALL_ROWS / sizeof SMALL_ROWS[0] };

struct bytes {
  uint8_t at[SMALL_ROOM];
  size_t length;
};

static inline void bytes_add(struct bytes *bytes, const void *more, size_t length) {
  assert_in_range(bytes->length + length, 0, SMALL_ROOM);
  memcpy(bytes->at + bytes->length, more, length);
  bytes->length += length;
}

static inline void bytes_text(struct bytes *bytes, const char *text) {
  bytes_add(bytes, text, strlen(text));
}

static inline void bytes_number(struct bytes *bytes, int64_t value, size_t size) {
  for (size_t i = 0; i < size; i++) {
    uint8_t byte = (uint8_t)(i < 8 ? (uint64_t)value >> (8 * i) : 0);
    bytes_add(bytes, &byte, 1);
  }
}

/* Bit by bit, after the definition in RFC 3720, appendix B.4, and 12.1. */
static inline uint32_t small_crc(const uint8_t *bytes, size_t length) {
  uint32_t crc = 0xffffffff;
  for (size_t i = 0; i < length; i++) {
    crc ^= bytes[i];
    for (int bit = 0; bit < 8; bit++)
      crc = crc & 1 ? crc >> 1 ^ 0x82f63b78 : crc >> 1;
  }
  return ~crc;
}

/* Header, columns and rows as they stand in `body`, and the end line that belongs to them. */
static inline void text_seal(struct bytes *text, const char *body, int rows) {
  char end[64];
  text->length = 0;
  bytes_text(text, body);
  snprintf(end, sizeof end, "# end rows %d crc32c %08x\n", rows, small_crc(text->at, text->length));
  bytes_text(text, end);
}

static inline void small_body(char body[SMALL_ROOM]) {
  snprintf(body, SMALL_ROOM, "%s%s", SMALL_HEADER, SMALL_COLUMNS);
  for (int i = 0; i < SMALL_ROW_COUNT; i++) {
    strcat(body, SMALL_ROWS[i]);
    strcat(body, "\n");
  }
}

static inline void small_text(struct bytes *text) {
  char body[SMALL_ROOM];
  small_body(body);
  text_seal(text, body, SMALL_ROW_COUNT);
}

/* -- the same as .spt ------------------------------------------------------------------------- */

struct small_row {
  double t, x, y, z, head, current, voltage, wire, wire_current;
  char phase[16];
  int arc, gas, avc;
  unsigned label[4];
};

static inline struct small_row small_row_parse(const char *text) {
  struct small_row row;
  assert_int_equal(sscanf(text, "%lf,%lf,%lf,%lf,%lf,%15[a-z],%d,%lf,%lf,%lf,%lf,%d,%d,%u,%u,%u,%u",
                          &row.t, &row.x, &row.y, &row.z, &row.head, row.phase, &row.arc,
                          &row.current, &row.voltage, &row.wire, &row.wire_current, &row.gas,
                          &row.avc, &row.label[0], &row.label[1], &row.label[2], &row.label[3]),
                   17);
  return row;
}

static inline int small_phase(const char *word) {
  static const char *const WORDS[] = {"move", "touch",     "preflow",  "upslope",
                                      "weld", "downslope", "postflow", "wait"};
  for (int i = 0; i < 8; i++)
    if (strcmp(word, WORDS[i]) == 0)
      return i;
  fail();
  return -1;
}

static inline void small_record(struct bytes *spt, const struct small_row *row) {
  bytes_number(spt, llround(row->x * 1e6), 6);
  bytes_number(spt, llround(row->y * 1e6), 6);
  bytes_number(spt, llround(row->z * 1e6), 6);
  bytes_number(spt, llround(row->head * 1e6), 8);
  bytes_number(spt, llround(row->current * 10), 3);
  bytes_number(spt, llround(row->wire_current * 10), 3);
  bytes_number(spt, llround(row->voltage * 100), 3);
  bytes_number(spt, llround(row->wire * 1000), 4);
  bytes_number(spt, small_phase(row->phase) | row->arc << 3 | row->gas << 4 | row->avc << 5, 1);
}

static inline uint32_t number_at(const uint8_t *at, size_t size) {
  uint32_t value = 0;
  while (size-- > 0)
    value = value << 8 | at[size];
  return value;
}

static inline void number_put(uint8_t *at, uint32_t value) {
  for (int i = 0; i < 4; i++)
    at[i] = (uint8_t)(value >> (8 * i));
}

/* All CRCs made right again, by the counts as they stand. */
static inline void spt_seal(struct bytes *spt) {
  size_t at = 16 + number_at(spt->at + 12, 4);
  uint8_t crcs[SMALL_ROOM];
  size_t count = 0;
  uint32_t header = small_crc(spt->at, at);
  number_put(spt->at + at, header);
  number_put(crcs, header);
  for (at += 4; memcmp(spt->at + at, "ENDS", 4) != 0;) {
    size_t length = 36 + 40 * (size_t)number_at(spt->at + at + 4, 2);
    number_put(spt->at + at + 16, header);
    number_put(spt->at + at + length, small_crc(spt->at + at, length));
    memcpy(crcs + 4 * ++count, spt->at + at + length, 4);
    at += length + 4;
    assert_in_range(at, 0, spt->length - 24);
  }
  number_put(spt->at + at + 16, small_crc(crcs, 4 * (count + 1)));
  number_put(spt->at + at + 20, small_crc(spt->at + at, 20));
}

/* Of those rows, which share labels in runs shorter than 64. */
static inline void spt_make(struct bytes *spt, const char *header, const char *const *rows,
                            int count) {
  spt->length = 0;
  bytes_text(spt, "\x89"
                  "borelay");
  bytes_number(spt, 1, 2);
  bytes_number(spt, 40, 2);
  bytes_number(spt, (int64_t)strlen(header), 4);
  bytes_text(spt, header);
  bytes_number(spt, 0, 4);
  for (int i = 0; i < count;) {
    struct small_row first = small_row_parse(rows[i]), row = first;
    size_t block = spt->length;
    int start = i;
    bytes_text(spt, "ROWS");
    bytes_number(spt, 0, 4);
    bytes_number(spt, start, 8);
    bytes_number(spt, 0, 4);
    for (int k = 0; k < 4; k++)
      bytes_number(spt, first.label[k], 4);
    while (memcmp(row.label, first.label, sizeof row.label) == 0) {
      small_record(spt, &row);
      if (++i == count)
        break;
      row = small_row_parse(rows[i]);
    }
    number_put(spt->at + block + 4, (uint32_t)(i - start) | (uint32_t)(65535 - (i - start)) << 16);
    bytes_number(spt, 0, 4);
  }
  bytes_text(spt, "ENDS");
  bytes_number(spt, 0, 4);
  bytes_number(spt, count, 8);
  bytes_number(spt, 0, 8);
  spt_seal(spt);
}

static inline void small_spt(struct bytes *spt) {
  spt_make(spt, SMALL_HEADER, SMALL_ROWS, SMALL_ROW_COUNT);
}

static inline void small_make(struct bytes *bytes, bool binary) {
  if (binary)
    small_spt(bytes);
  else
    small_text(bytes);
}

/* -- reading ----------------------------------------------------------------------------------- */

/* Reads all of it in pieces of `piece` bytes, each in memory of its own so that a byte read too far
 * is seen.  Returns the last event; rows: how many were given.  */
static inline enum borelay_event read_all(struct borelay_reader *reader, const uint8_t *bytes,
                                          size_t length, size_t piece, int *rows) {
  enum borelay_event event = BORELAY_MORE;
  borelay_reader_begin(reader);
  *rows = 0;
  for (size_t at = 0; at < length; at += piece) {
    size_t left = length - at < piece ? length - at : piece;
    uint8_t *part = malloc(left);
    memcpy(part, bytes + at, left);
    const uint8_t *next = part;
    do {
      event = borelay_reader_next(reader, &next, &left);
      *rows += event == BORELAY_ROW;
    } while (event != BORELAY_MORE && event != BORELAY_ERROR);
    free(part);
    if (event == BORELAY_ERROR)
      return event;
  }
  return borelay_reader_finish(reader);
}

/* xorshift64*, Vigna 2016, "An experimental exploration of Marsaglia's xorshift generators". */
static inline uint64_t small_random(uint64_t *seed) {
  *seed ^= *seed >> 12;
  *seed ^= *seed << 25;
  *seed ^= *seed >> 27;
  return *seed * 2685821657736338717u;
}

#endif
