/* limit.c - a qualified range beside what a layer asks for, with the least and the most of it that
 * sectors and their ramps ask for: one reading for the check and for the choice of layers. */
#include "borelay/plan.h"

#include <math.h>

/* Of a limit: docs/semantics.md, first lines. */
static const double SLACK = 1e-6;

struct quantity {
  const char *key, *unit;
  double per_unit; /* inside per shown unit */
};
static const struct quantity QUANTITIES[LIMIT_COUNT] = {
    [LIMIT_CURRENT] = {"current", "A", 1},
    [LIMIT_VOLTAGE] = {"voltage", "V", 1},
    [LIMIT_TRAVEL_SPEED] = {"travel_speed", "mm/min", 1.0 / 60},
    [LIMIT_WIRE_FEED_SPEED] = {"wire_feed_speed", "mm/min", 1.0 / 60},
    [LIMIT_WIRE_CURRENT] = {"wire_current", "A", 1},
    [LIMIT_ARC_LENGTH] = {"arc_length", "mm", 1},
    [LIMIT_ARC_ENERGY] = {"arc_energy", "kJ/mm", 1},
    [LIMIT_HEAT_INPUT] = {"heat_input", "kJ/mm", 1},
};

/* Least and most over a lap; one value where no sector says otherwise. */
static struct range values_of(const struct plan_layer *layer, enum limit_kind kind) {
  const struct procedure *p = layer->procedure;
  const struct lap_values *lo = &layer->values_least, *hi = &layer->values_most;
  switch (kind) {
  case LIMIT_CURRENT:
    return (struct range){lo->current, hi->current};
  case LIMIT_VOLTAGE:
    return (struct range){lo->voltage, hi->voltage};
  case LIMIT_TRAVEL_SPEED:
    return (struct range){lo->travel_speed, hi->travel_speed};
  case LIMIT_WIRE_FEED_SPEED:
    return (struct range){lo->wire_feed_speed, hi->wire_feed_speed};
  case LIMIT_WIRE_CURRENT:
    return (struct range){p->wire_current, p->wire_current};
  case LIMIT_ARC_LENGTH:
    return (struct range){p->arc_length, p->arc_length};
  case LIMIT_ARC_ENERGY:
    return layer->arc_energies;
  case LIMIT_HEAT_INPUT:
    return layer->heat_inputs;
  case LIMIT_COUNT:
    break;
  }
  return (struct range){0, 0};
}

/* How far the value goes towards an end of its range: 1 on it, more beyond. */
static double share_high(double value, struct range limit) {
  return limit.hi > 0 ? value / limit.hi : value > limit.hi ? 1e9 : 1;
}
static double share_low(double value, struct range limit) {
  if (isinf(limit.lo) || limit.lo <= 0)
    return value < limit.lo ? 1e9 : 0;
  return value > 0 ? limit.lo / value : 1e9;
}

struct plan_limit plan_limit_get(const struct plan_layer *layer, enum limit_kind kind) {
  const struct quantity *quantity = &QUANTITIES[kind];
  struct plan_limit got = {.is_asked = layer->procedure->has_limit[kind],
                           .key = quantity->key,
                           .unit = quantity->unit,
                           .per_unit = quantity->per_unit,
                           .values = values_of(layer, kind),
                           .limit = layer->procedure->limit[kind],
                           .is_kept = true};
  if (!got.is_asked)
    return got;
  got.high = share_high(got.values.hi, got.limit);
  got.low = share_low(got.values.lo, got.limit);
  got.is_kept = fmax(got.high, got.low) <= 1 + SLACK;
  return got;
}
