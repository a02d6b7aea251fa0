/* Arc energy and heat input: the same product, without and with the efficiency of the arc. */
#include "borelay/deposit.h"

#include <assert.h>
#include <math.h>

/* ISO/TR 17671-1 and EN 1011-1, Table 1. */
double process_efficiency(enum process process) {
  switch (process) {
  case PROCESS_GTAW:
  case PROCESS_PAW:
    return 0.6;
  case PROCESS_GMAW:
  case PROCESS_FCAW:
    return 0.8;
  case PROCESS_SAW:
    return 1.0;
  }
  assert(false); /* outside the enumeration */
  return 1.0;
}

double arc_energy_kj_mm(double voltage, double current, double travel_speed) {
  assert(travel_speed > 0.0);
  return voltage * current / travel_speed / 1000.0;
}

double heat_input_kj_mm(enum process process, double voltage, double current, double travel_speed) {
  return process_efficiency(process) * arc_energy_kj_mm(voltage, current, travel_speed);
}

static struct range limit_or_value(const struct procedure *procedure, enum limit_kind kind,
                                   double value) {
  return procedure->has_limit[kind] ? procedure->limit[kind] : (struct range){value, value};
}

struct range arc_energy_qualified(const struct procedure *procedure) {
  struct range current = limit_or_value(procedure, LIMIT_CURRENT, procedure->current);
  struct range voltage = limit_or_value(procedure, LIMIT_VOLTAGE, procedure->voltage);
  struct range speed = limit_or_value(procedure, LIMIT_TRAVEL_SPEED, procedure->travel_speed);
  struct range energy = {0, (double)INFINITY};
  if (speed.lo > 0)
    energy.hi = arc_energy_kj_mm(voltage.hi, current.hi, speed.lo);
  if (speed.hi > 0)
    energy.lo = arc_energy_kj_mm(voltage.lo, current.lo, speed.hi);
  return energy;
}
