/* Beads side by side: how much metal one carries, how many fill a band, how thick they stand.
 * A bead is a parabola of the procedure's width; neighbours add up in area (semantics.md, Deposit).
 */
#include "borelay/deposit.h"

#include <assert.h>
#include <math.h>

#include "borelay/num.h"

/* A band that divides evenly in the author's units must not gain a lap by rounding. */
static const double LAP_ROUNDING = 1e-9;

double bead_area_at(const struct procedure *procedure, const struct lap_values *values) {
  assert(values->travel_speed > 0.0);
  double wire = NUM_PI / 4.0 * procedure->wire_diameter * procedure->wire_diameter;
  return wire * values->wire_feed_speed / values->travel_speed;
}

double bead_area(const struct procedure *procedure) {
  struct lap_values values = lap_values_of(procedure);
  return bead_area_at(procedure, &values);
}

double bead_width_laid(const struct procedure *procedure) {
  return procedure->bead_width + procedure->oscillation.width;
}

int64_t lap_count(double band, double bead_width, double wanted_pitch) {
  assert(wanted_pitch > 0.0);
  double steps = ceil((band - bead_width) / wanted_pitch - LAP_ROUNDING);
  if (!(steps > 0.0))
    return 1;
  return steps < (double)LAP_COUNT_MAX ? 1 + (int64_t)steps : LAP_COUNT_MAX;
}

double lap_pitch(double band, double bead_width, int64_t laps) {
  return laps > 1 ? (band - bead_width) / (double)(laps - 1) : 0.0;
}

double layer_thickness_nominal(double area, double pitch, int64_t laps, double bead_width) {
  double spread = area * (double)laps / bead_width; /* few laps that lie nearly on each other */
  return laps > 1 ? fmin(area / pitch, spread) : spread;
}

/* Both roots in the form that does not lose digits where nominal is small against radius. */
double layer_thickness_true(double nominal, int turn, double radius) {
  if (turn == 0)
    return nominal;
  double under_root = radius * radius - 2.0 * turn * radius * nominal;
  if (under_root <= 0.0)
    return radius; /* concave, and the metal fills the whole round */
  return 2.0 * radius * nominal / (radius + sqrt(under_root));
}

static double bead_height(double area, double bead_width) {
  return 1.5 * area / bead_width;
}

/* Above the tangent pitch, on a flat wall. */
static double valley_floor(double area, double pitch, double bead_width) {
  double share = pitch / bead_width;
  if (share >= 1.0)
    return 0.0;
  /* two flanks meet half a pitch away */
  double valley = 2.0 * bead_height(area, bead_width) * (1.0 - share * share);
  return fmin(area / pitch, valley);
}

double layer_thickness_flat(double area, double pitch, int64_t laps, double bead_width,
                            double true_thickness) {
  if (laps == 1 || pitch <= TANGENT_PITCH_RATIO * bead_width)
    return true_thickness;
  /* On a convex wall the metal stands lower than area / pitch: never promise more than that. */
  return fmin(valley_floor(area, pitch, bead_width), true_thickness);
}

double layer_ridge(double area, double pitch, int64_t laps, double bead_width) {
  if (laps == 1 || pitch <= TANGENT_PITCH_RATIO * bead_width)
    return 0.0;
  return bead_height(area, bead_width) - valley_floor(area, pitch, bead_width);
}
