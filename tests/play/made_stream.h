/* made_stream.h - a short stream by hand, through the compiler's own writer: two laps with a touch
 * before the first, a wait between them and another one at the end.  Figures are made up. */
#ifndef TESTS_PLAY_MADE_STREAM_H
#define TESTS_PLAY_MADE_STREAM_H

#include "support/close.h"

#include <stdio.h>
#include <string.h>

#include "borelay/emit.h"

struct made_stretch {
  uint8_t phase;
  uint32_t rows, lap; /* lap 0: after the last postflow */
};

static const struct made_stretch MADE[] = {
    {BORELAY_MOVE, 30, 1},       {BORELAY_TOUCH, 20, 1},      {BORELAY_PREFLOW, 20, 1},
    {BORELAY_UPSLOPE, 20, 1},    {BORELAY_WELD_PHASE, 99, 1}, {BORELAY_DOWNSLOPE, 21, 1},
    {BORELAY_POSTFLOW, 20, 1},   {BORELAY_MOVE, 10, 2},       {BORELAY_WAIT, 10, 2},
    {BORELAY_MOVE, 10, 2},       {BORELAY_PREFLOW, 20, 2},    {BORELAY_UPSLOPE, 10, 2},
    {BORELAY_WELD_PHASE, 50, 2}, {BORELAY_DOWNSLOPE, 10, 2},  {BORELAY_POSTFLOW, 10, 2},
    {BORELAY_MOVE, 20, 0},       {BORELAY_WAIT, 5, 0},        {BORELAY_MOVE, 15, 0}};
enum {
  MADE_STRETCHES = sizeof MADE / sizeof MADE[0],
  MADE_ROWS = 400,
  MADE_TICK_US = 1000,
  /* first rows of stretches */
  MADE_TOUCH = 30,
  MADE_PREFLOW = 50,
  MADE_ARC = 70,
  MADE_POSTFLOW = 210,
  MADE_WAIT = 240,
  MADE_WAIT_OVER = 250,
  MADE_SECOND_WAIT_OVER = 385,
  MADE_LAST = MADE_ROWS - 1
};

static inline struct borelay_row made_row(uint64_t index, bool rehearsal) {
  uint64_t left = index;
  int k = 0;
  while (left >= MADE[k].rows)
    left -= MADE[k++].rows;
  uint8_t phase = MADE[k].phase;
  bool arc = !rehearsal && phase >= BORELAY_UPSLOPE && phase <= BORELAY_DOWNSLOPE;
  bool feeds = arc && phase == BORELAY_WELD_PHASE;
  uint32_t label = MADE[k].lap > 0;
  return (struct borelay_row){.index = index,
                              .t_us = index * MADE_TICK_US,
                              .x_nm = (int64_t)index * 1000 - 7,
                              .y_nm = -(int64_t)index * 500,
                              .z_nm = 450000000,
                              .head_udeg = (int64_t)index * 12345,
                              .wire_um_s = feeds ? 25000 : 0,
                              .current_100ma = arc ? 2000 : 0,
                              .voltage_10mv = arc ? 1150 : 0,
                              .overlay = label,
                              .layer = label,
                              .lap = MADE[k].lap,
                              .line = label * 12,
                              .phase = phase,
                              .arc = arc,
                              .gas = !rehearsal && phase >= BORELAY_PREFLOW &&
                                     phase <= BORELAY_POSTFLOW};
}

static inline void made_write(const char *path, const char *mode) {
  char header[2000];
  static const char NOUGHTS[] = "0000000000000000000000000000000000000000000000000000000000000000";
  int64_t end = made_row(MADE_LAST, true).head_udeg;
  snprintf(header, sizeof header,
           "# borelay setpoints 1\n# mode %s\n# job \"two laps\" part \"\" revision \"\"\n"
           "# source sha256 %s\n# cell bench sha256 %s\n"
           "# torch reach_mm 40.000000 drop_mm 300.000000 correction_mm 1.000000\n"
           "# datum x_mm 0.000000 y_mm 0.000000 z_mm 0.000000 turned_deg 0.000000\n"
           "# procedure nickel wps \"\" filler \"\"\n# tick_s 0.%06d\n# rows %d\n"
           "# duration_s 0.%06d\n# head_end_deg %d.%06d\n# verdict passed\n"
           "# overlay 1 bore_wall file 1\n# file 1 \"two_laps.lay\"\n",
           mode, NOUGHTS, NOUGHTS, MADE_TICK_US, MADE_ROWS, MADE_LAST * MADE_TICK_US,
           (int)(end / 1000000), (int)(end % 1000000));
  struct outfile file;
  assert_true(outfile_open(&file, path));
  struct stream_writer *writer =
      stream_writer_new(&file, stream_is_binary(path), header, strlen(header));
  for (uint64_t i = 0; i < MADE_ROWS; i++) {
    struct borelay_row row = made_row(i, strcmp(mode, "rehearsal") == 0);
    stream_writer_row(writer, &row);
  }
  stream_writer_end(writer);
  assert_true(outfile_commit(&file));
}

#endif
