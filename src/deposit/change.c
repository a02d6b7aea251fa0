/* Values that change along a lap, evenly in time: what lies between, and what comes of it.
 *
 * On a way L from speed a to speed b the time is T = 2 L / (a + b); after a share u of it the speed
 * is a + (b - a) u and the share of the way x = (2 a u + (b - a) u^2) / (a + b). */
#include "borelay/deposit.h"

#include <math.h>

#include "borelay/num.h"

struct lap_values lap_values_of(const struct procedure *procedure) {
  return (struct lap_values){procedure->current, procedure->voltage, procedure->travel_speed,
                             procedure->wire_feed_speed};
}

static double between(double a, double b, double u) {
  return a + (b - a) * u;
}

struct lap_values change_at(const struct lap_values *a, const struct lap_values *b, double u) {
  return (struct lap_values){between(a->current, b->current, u), between(a->voltage, b->voltage, u),
                             between(a->travel_speed, b->travel_speed, u),
                             between(a->wire_feed_speed, b->wire_feed_speed, u)};
}

double change_share(double speed_a, double speed_b, double x) {
  double square = speed_a * speed_a + (speed_b * speed_b - speed_a * speed_a) * x;
  return x * (speed_a + speed_b) / (speed_a + sqrt(fmax(square, 0)));
}

double change_way(double speed_a, double speed_b, double u) {
  return u * (2 * speed_a + (speed_b - speed_a) * u) / (speed_a + speed_b);
}

double change_time(double speed_a, double speed_b, double way) {
  return 2 * way / (speed_a + speed_b);
}

double change_bead_area_mean(const struct procedure *procedure, const struct lap_values *a,
                             const struct lap_values *b) {
  struct lap_values sum = {.travel_speed = a->travel_speed + b->travel_speed,
                           .wire_feed_speed = a->wire_feed_speed + b->wire_feed_speed};
  return bead_area_at(procedure, &sum);
}

static double arc_energy_of(const struct lap_values *values) {
  return arc_energy_kj_mm(values->voltage, values->current, values->travel_speed);
}

/* U I is a quadratic in u, its mean over the time that of a quadratic. */
double change_arc_energy_mean(const struct lap_values *a, const struct lap_values *b) {
  double i = a->current, di = b->current - i, u = a->voltage, du = b->voltage - u;
  double power = u * i + (u * di + i * du) / 2 + du * di / 3;
  return 2 * power / (a->travel_speed + b->travel_speed) / 1000;
}

static void widen(struct range *range, double value) {
  range->lo = fmin(range->lo, value);
  range->hi = fmax(range->hi, value);
}

static void widen_inside(struct range *range, const struct lap_values *a,
                         const struct lap_values *b, double u) {
  if (!(u > 0 && u < 1))
    return;
  struct lap_values here = change_at(a, b, u);
  widen(range, arc_energy_of(&here));
}

/* With N = n0 + n1 u + n2 u^2 = U I and v = v0 + v1 u, (N / v)' = 0 where
 * n2 v1 u^2 + 2 n2 v0 u + n1 v0 - n0 v1 = 0. */
struct range change_arc_energy(const struct lap_values *a, const struct lap_values *b) {
  double first = arc_energy_of(a);
  struct range range = {first, first};
  widen(&range, arc_energy_of(b));
  double di = b->current - a->current, du = b->voltage - a->voltage;
  double n0 = a->voltage * a->current, n1 = a->voltage * di + a->current * du, n2 = du * di;
  double v0 = a->travel_speed, v1 = b->travel_speed - v0;
  double p = n2 * v1, q = n2 * v0, r = n1 * v0 - n0 * v1; /* p u^2 + 2 q u + r */
  if (p == 0) {
    if (q != 0)
      widen_inside(&range, a, b, -r / (2 * q));
    return range;
  }
  double square = q * q - p * r;
  if (square < 0)
    return range;
  double root = q >= 0 ? -(q + sqrt(square)) : sqrt(square) - q; /* without cancellation */
  widen_inside(&range, a, b, root / p);
  if (root != 0)
    widen_inside(&range, a, b, r / root);
  return range;
}
