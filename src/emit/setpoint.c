/* setpoint.c - rounding to the last decimal of a row, and what a row has room for. */
#include "emit/setpoint.h"

#include <math.h>

#include "borelay/digits.h"
#include "borelay/num.h"

static const int64_t LENGTH_END = (int64_t)1 << 47;
enum { THREE_BYTES_END = 1 << 24 };
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

static bool is_same(const struct tick_values *a, const struct tick_values *b) {
  return a->phase == b->phase && a->arc == b->arc && a->gas == b->gas && a->avc == b->avc &&
         a->current == b->current && a->voltage == b->voltage && a->wire == b->wire &&
         a->wire_current == b->wire_current && a->overlay == b->overlay && a->layer == b->layer &&
         a->lap == b->lap && a->line == b->line;
}

/* In units of 10^-decimals, least <= result < end.  What is far out is not even rounded. */
static bool scale(double value, int decimals, int64_t least, int64_t end, int64_t *scaled) {
  if (!(fabs(value) < ANGLE_MOST))
    return false;
  *scaled = digits_scale(value, decimals);
  return *scaled >= least && *scaled < end;
}

static bool make_process(struct borelay_row *row, const struct tick_values *values) {
  int64_t current, voltage, wire, wire_current;
  if (!scale(values->current, 1, 0, THREE_BYTES_END, &current) ||
      !scale(values->voltage, 2, 0, THREE_BYTES_END, &voltage) ||
      !scale(values->wire, 3, -INT32_MAX, (int64_t)INT32_MAX + 1, &wire) ||
      !scale(values->wire_current, 1, 0, THREE_BYTES_END, &wire_current) || values->lap < 0 ||
      values->lap > UINT32_MAX)
    return false;
  row->phase = (uint8_t)values->phase;
  row->arc = values->arc;
  row->gas = values->gas;
  row->avc = values->avc;
  row->current_100ma = (uint32_t)current;
  row->voltage_10mv = (uint32_t)voltage;
  row->wire_um_s = (int32_t)wire;
  row->wire_current_100ma = (uint32_t)wire_current;
  row->overlay = (uint32_t)values->overlay;
  row->layer = (uint32_t)values->layer;
  row->lap = (uint32_t)values->lap;
  row->line = values->line;
  return true;
}

bool setpoint_make(struct setpoint *setpoint, const struct tick_values *values) {
  struct borelay_row *row = &setpoint->row;
  row->index = (uint64_t)values->tick;
  row->t_us = row->index * setpoint->tick_us; /* whole microseconds: exact */
  if (!scale(values->pose.x, 6, 1 - LENGTH_END, LENGTH_END, &row->x_nm) ||
      !scale(values->pose.y, 6, 1 - LENGTH_END, LENGTH_END, &row->y_nm) ||
      !scale(values->pose.z, 6, 1 - LENGTH_END, LENGTH_END, &row->z_nm) ||
      !scale(values->pose.head * (180.0 / NUM_PI), 6, -INT64_MAX, INT64_MAX, &row->head_udeg))
    return false;
  if (setpoint->is_made && is_same(&setpoint->values, values))
    return true;
  setpoint->values = *values;
  setpoint->is_made = make_process(row, values);
  return setpoint->is_made;
}
