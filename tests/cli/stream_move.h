/* stream_move.h - runs of a stream moved as a whole: slow moves lead over to what was moved and
 * back, so that nothing but the change itself is wrong. */
#ifndef TESTS_CLI_STREAM_MOVE_H
#define TESTS_CLI_STREAM_MOVE_H

#include "cli/stream_edit.h"

#include <math.h>

#define DEGREE (3.14159265358979323846 / 180)

/* x, y, z in mm, head in deg. */
struct at {
  double of[4];
};

static inline struct at at_get(const struct edit_row *row) {
  struct at at;
  for (int i = 0; i < 4; i++)
    at.of[i] = atof(row->fields[FIELD_X + i]);
  return at;
}

static inline void at_put(struct edit_row *row, struct at at) {
  for (int i = 0; i < 4; i++)
    snprintf(row->fields[FIELD_X + i], sizeof row->fields[0], "%.6f", at.of[i] + 0.0);
}

/* Room for more rows before row `at`; what is in them is left to the caller. */
static inline struct edit_row *edit_open_up(struct edit *edit, size_t at, size_t more) {
  edit->rows = realloc(edit->rows, (edit->count + more) * sizeof *edit->rows);
  assert_non_null(edit->rows);
  memmove(&edit->rows[at + more], &edit->rows[at], (edit->count - at) * sizeof *edit->rows);
  edit->count += more;
  return &edit->rows[at];
}

/* Smooth from rest to rest, straight from row at - 1 to row at, in moves with the labels given. */
static inline void edit_lead(struct edit *edit, size_t at, size_t rows, struct edit_row labels) {
  struct at from = at_get(&edit->rows[at - 1]), to = at_get(&edit->rows[at]), here;
  struct edit_row *row = edit_open_up(edit, at, rows);
  edit_put_out(&labels);
  for (size_t i = 1; i <= rows; i++, row++) {
    double u = (double)i / (double)(rows + 1), share = u * u * u * (10 + u * (6 * u - 15));
    for (int k = 0; k < 4; k++)
      here.of[k] = from.of[k] + share * (to.of[k] - from.of[k]);
    *row = labels;
    at_put(row, here);
  }
}

/* First row of a run, and the first behind it. */
struct run_rows {
  size_t from, to;
};
static inline struct run_rows edit_run(const struct edit *edit, size_t after, const char *overlay,
                                       const char *lap) {
  struct run_rows run = {edit_find(edit, after, "preflow", overlay, lap), 0};
  run.to = run.from;
  while (!edit_is(&edit->rows[run.to], FIELD_PHASE, "move") &&
         !edit_is(&edit->rows[run.to], FIELD_PHASE, "wait"))
    run.to++;
  return run;
}

/* A row more, as a move. */
static inline void edit_stay(struct edit *edit, size_t at, struct at place,
                             struct edit_row labels) {
  edit_put_out(&labels);
  at_put(&labels, place);
  *edit_open_up(edit, at, 1) = labels;
}

enum { LEAD_ROWS = 400 };
/* From the end of a run that was moved, at - 1, to the moves behind it. */
static inline void edit_lead_out(struct edit *edit, size_t at) {
  edit_stay(edit, at, at_get(&edit->rows[at - 1]), edit->rows[at]);
  edit_lead(edit, at + 1, LEAD_ROWS, edit->rows[at]);
}

/* From `begin`, where the moves before it end, to the start of a run that was moved. */
static inline void edit_lead_in(struct edit *edit, size_t at, struct at begin) {
  edit_stay(edit, at, begin, edit->rows[at]);
  edit_lead(edit, at + 1, LEAD_ROWS, edit->rows[at]);
}

/* With the ways between the wall and the place that is `retract` mm off it: what leads over to a
 * run that was moved, or back, goes from one such place to another.  The last is told twice. */
static inline struct run_rows edit_with_ways(struct edit *edit, struct run_rows run,
                                             double retract) {
  struct at from = at_get(&edit->rows[run.from]), to = at_get(&edit->rows[run.to]), at;
  do {
    at = at_get(&edit->rows[--run.from]);
  } while (hypot(at.of[0] - from.of[0], at.of[1] - from.of[1]) < retract - 1e-5);
  do {
    at = at_get(&edit->rows[++run.to]);
  } while (hypot(at.of[0] - to.of[0], at.of[1] - to.of[1]) < retract - 1e-5);
  struct edit_row last = edit->rows[run.to];
  *edit_open_up(edit, run.to++, 1) = last;
  return run;
}

/* What a row becomes; `by`: how much. */
typedef struct at (*change_of)(struct at at, double by);

static inline void edit_move_run(struct edit *edit, struct run_rows run, change_of moving,
                                 double by) {
  struct at begin = at_get(&edit->rows[run.from]);
  for (size_t i = run.from; i < run.to; i++)
    at_put(&edit->rows[i], moving(at_get(&edit->rows[i]), by));
  edit_lead_out(edit, run.to);
  edit_lead_in(edit, run.from, begin);
}

/* Rows from .. to turned about an upright axis. */
static inline void edit_turn(struct edit *edit, size_t from, size_t to, double x, double y,
                             double degrees) {
  double c = cos(degrees * DEGREE), s = sin(degrees * DEGREE);
  for (size_t i = from; i < to; i++) {
    struct at at = at_get(&edit->rows[i]);
    double dx = at.of[0] - x, dy = at.of[1] - y;
    at.of[0] = x + c * dx - s * dy;
    at.of[1] = y + s * dx + c * dy;
    at.of[3] += degrees;
    at_put(&edit->rows[i], at);
  }
}

#endif
