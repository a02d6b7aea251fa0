/* setpoint.c - rounding to the last decimal of a row, and what a row has room for. */
#include "emit/setpoint.h"

#include <math.h>

#include "borelay/digits.h"
#include "borelay/num.h"

static const int64_t LENGTH_END = (int64_t)1 << 47;
enum { THREE_BYTES_END = 1 << 24 };
#define DEGREES (180.0 / NUM_PI)
static const double ANGLE_MOST = 9e12; /* deg: in its last digit within 63 bits */

/* The phases stand in both headers in one order. */
_Static_assert(PHASE_MOVE == (int)BORELAY_MOVE && PHASE_TOUCH == (int)BORELAY_TOUCH &&
                   PHASE_PREFLOW == (int)BORELAY_PREFLOW && PHASE_UPSLOPE == (int)BORELAY_UPSLOPE &&
                   PHASE_WELD == (int)BORELAY_WELD_PHASE &&
                   PHASE_DOWNSLOPE == (int)BORELAY_DOWNSLOPE &&
                   PHASE_POSTFLOW == (int)BORELAY_POSTFLOW && PHASE_WAIT == (int)BORELAY_WAIT &&
                   PHASE_KIND_COUNT == (int)BORELAY_PHASE_COUNT,
               "phases");

void setpoint_begin(struct setpoint *setpoint, int64_t tick_us) {
  *setpoint = (struct setpoint){.tick_us = (uint32_t)tick_us};
}

static bool has_same_labels(const struct tick_values *a, const struct tick_values *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap && a->line == b->line;
}

/* In units of 10^-decimals, least <= result < end.  What is far out is not even rounded. */
static bool scale(double value, int decimals, int64_t least, int64_t end, int64_t *scaled) {
  if (!(fabs(value) < ANGLE_MOST))
    return false;
  *scaled = digits_scale(value, decimals);
  return *scaled >= least && *scaled < end;
}

static bool make_labels(struct borelay_row *row, const struct tick_values *values) {
  if (values->lap < 0 || values->lap > UINT32_MAX)
    return false;
  row->phase = (uint8_t)values->phase;
  row->arc = values->arc;
  row->gas = values->gas;
  row->avc = values->avc;
  row->overlay = (uint32_t)values->overlay;
  row->layer = (uint32_t)values->layer;
  row->lap = (uint32_t)values->lap;
  row->line = values->line;
  return true;
}

static bool keep_unsigned(double value, int decimals, double *had, uint32_t *figure) {
  int64_t scaled;
  if (value == *had)
    return true;
  *had = value;
  if (!scale(value, decimals, 0, THREE_BYTES_END, &scaled))
    return false;
  *figure = (uint32_t)scaled;
  return true;
}

static bool keep_wire(double value, double *had, int32_t *figure) {
  int64_t scaled;
  if (value == *had)
    return true;
  *had = value;
  if (!scale(value, 3, -INT32_MAX, (int64_t)INT32_MAX + 1, &scaled))
    return false;
  *figure = (int32_t)scaled;
  return true;
}

/* The seldom changing part, of which only what changed is made anew. */
static bool keep_process(struct setpoint *setpoint, const struct tick_values *values) {
  struct tick_values *had = &setpoint->values;
  struct borelay_row *row = &setpoint->row;
  bool knows = setpoint->is_made;
  if (!knows) /* nothing is what it was */
    *had = (struct tick_values){.current = NAN, .voltage = NAN, .wire = NAN, .wire_current = NAN};
  setpoint->is_made =
      keep_unsigned(values->current, 1, &had->current, &row->current_100ma) &&
      keep_unsigned(values->voltage, 2, &had->voltage, &row->voltage_10mv) &&
      keep_wire(values->wire, &had->wire, &row->wire_um_s) &&
      keep_unsigned(values->wire_current, 1, &had->wire_current, &row->wire_current_100ma);
  if (!setpoint->is_made || (knows && has_same_labels(had, values)))
    return setpoint->is_made;
  *had = *values;
  setpoint->is_made = make_labels(row, values);
  return setpoint->is_made;
}

static void number_row(struct borelay_row *row, int64_t tick, uint32_t tick_us) {
  row->index = (uint64_t)tick;
  row->t_us = row->index * tick_us; /* whole microseconds: exact */
}

bool setpoint_labels(struct setpoint *setpoint, const struct tick_values *values) {
  number_row(&setpoint->row, values->tick, setpoint->tick_us);
  return keep_process(setpoint, values);
}

bool setpoint_make(struct setpoint *setpoint, const struct tick_values *values) {
  struct borelay_row *row = &setpoint->row;
  return setpoint_labels(setpoint, values) &&
         scale(values->pose.x, 6, 1 - LENGTH_END, LENGTH_END, &row->x_nm) &&
         scale(values->pose.y, 6, 1 - LENGTH_END, LENGTH_END, &row->y_nm) &&
         scale(values->pose.z, 6, 1 - LENGTH_END, LENGTH_END, &row->z_nm) &&
         scale(values->pose.head * DEGREES, 6, -INT64_MAX, INT64_MAX, &row->head_udeg);
}

/* x and y; those that were not worked out in full do, but near halves. */
static bool round_places(struct tick_block *ticks, struct row_block *rows) {
  const struct poses *poses = &ticks->poses;
  size_t count = ticks->count;
  double end = (double)LENGTH_END, margin = tick_block_end_nearly(ticks);
  if (digits_scale_sure(poses->x, 1.0, 6, end, margin, count, rows->x_nm) &&
      digits_scale_sure(poses->y, 1.0, 6, end, margin, count, rows->y_nm))
    return true;
  tick_block_end(ticks);
  return digits_scale_all(poses->x, 1.0, 6, end, count, rows->x_nm) &&
         digits_scale_all(poses->y, 1.0, 6, end, count, rows->y_nm);
}

bool setpoint_block(struct setpoint *setpoint, struct tick_block *ticks, struct row_block *rows) {
  const struct poses *poses = &ticks->poses;
  size_t count = ticks->count;
  double end = (double)LENGTH_END;
  if (!round_places(ticks, rows) || !digits_scale_all(poses->z, 1.0, 6, end, count, rows->z_nm) ||
      !digits_scale_all(poses->head, DEGREES, 6, 0x1p51, count, rows->head_udeg) ||
      !setpoint_labels(setpoint, &ticks->values))
    return false;
  rows->row = setpoint->row;
  rows->count = count;
  rows->tick_us = setpoint->tick_us;
  return true;
}

static void put_pose(struct borelay_row *row, const struct row_block *rows, size_t i) {
  number_row(row, (int64_t)(rows->row.index + i), rows->tick_us);
  row->x_nm = rows->x_nm[i];
  row->y_nm = rows->y_nm[i];
  row->z_nm = rows->z_nm[i];
  row->head_udeg = rows->head_udeg[i];
}

bool setpoint_in_block(struct setpoint *setpoint, const struct row_block *rows, size_t i,
                       const struct tick_values *values) {
  put_pose(&setpoint->row, rows, i);
  return keep_process(setpoint, values);
}

struct borelay_row row_of_block(const struct row_block *rows, size_t i) {
  struct borelay_row row = rows->row;
  put_pose(&row, rows, i);
  return row;
}
