/* The sway as cubics: see sway.h. */
#include "motion/sway.h"

#include <math.h>

static const double SAME_TIME = 1e-9;  /* of a sway */
static const double SAME_PLACE = 1e-6; /* mm */
/* A crossing of fewer rows would be cut off by the straights between them. */
static const double ROWS_LEAST = 4;

struct sway sway_make(const struct oscillation *oscillation, const struct profile *along, double t0,
                      double t1) {
  double period = 1 / oscillation->frequency, half = period / 2;
  double cross = half - oscillation->dwell;
  double whole = floor((t1 - t0 - cross) / period + SAME_TIME);
  return (struct sway){.along = along,
                       .t0 = t0,
                       .half = half,
                       .cross = cross,
                       .amplitude = oscillation->width / 2,
                       .last = whole > 0 ? 2 * (int64_t)whole : 0};
}

bool sway_exists(const struct sway *sway) {
  return sway->last > sway->first;
}

struct range sway_crossing(const struct sway *sway, int64_t j) {
  double t = sway->t0 + (double)j * sway->half;
  return (struct range){profile_at(sway->along, t) - sway->q_shift,
                        profile_at(sway->along, t + sway->cross) - sway->q_shift};
}

void sway_limit(struct sway *sway, double q_a, double q_b) {
  while (sway_exists(sway) && sway_crossing(sway, sway->first).lo < q_a - SAME_PLACE)
    sway->first += 2;
  while (sway_exists(sway) && sway_crossing(sway, sway->last).hi > q_b + SAME_PLACE)
    sway->last -= 2;
}

int64_t sway_find(const struct sway *sway, double q) {
  if (q < sway_crossing(sway, sway->first).lo)
    return sway->first - 1;
  if (q >= sway_crossing(sway, sway->last).hi)
    return sway->last + 1;
  int64_t lo = sway->first, hi = sway->last + 1;
  while (hi - lo > 1) {
    int64_t mid = lo + (hi - lo) / 2;
    if (sway_crossing(sway, mid).lo <= q)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

void sway_cuts(const struct sway *sway, int64_t j, double cuts[4]) {
  struct range over = sway_crossing(sway, j);
  double quarter = (over.hi - over.lo) / 4;
  cuts[0] = over.lo;
  cuts[1] = over.lo + quarter;
  cuts[2] = over.hi - quarter;
  cuts[3] = over.hi;
}

/* d E over `over`, of the part that holds `inside`, in q - origin. */
static struct cubic crossing_at(struct range over, double d, double origin, double inside) {
  double length = over.hi - over.lo;
  if (inside < over.lo + length / 4)
    return cubic_shift(crossing_cubic(CROSSING_FIRST, d, length), origin - over.lo);
  if (inside > over.hi - length / 4)
    return cubic_shift(crossing_cubic(CROSSING_LAST, d, length), origin - over.hi);
  return cubic_shift(crossing_cubic(CROSSING_MIDDLE, d, length), origin - (over.lo + length / 2));
}

/* over: the crossing of half sway j, where it is known; NULL: it is not. */
static struct sway_place place_of(const struct sway *sway, int64_t j, const struct range *over) {
  struct sway_place place = {.j = j, .from = -INFINITY, .to = INFINITY};
  if (j > sway->last) {
    place.from = sway_crossing(sway, sway->last).hi;
    return place;
  }
  if (j < sway->last)
    place.next = sway_crossing(sway, j < sway->first ? sway->first : j + 1);
  if (j < sway->first) {
    place.to = place.next.lo;
    return place;
  }
  place.over = over ? *over : sway_crossing(sway, j);
  place.from = place.over.lo;
  place.to = j == sway->last ? place.over.hi : place.next.lo;
  return place;
}

struct sway_place sway_place_at(const struct sway *sway, double q) {
  return place_of(sway, sway_find(sway, q), NULL);
}

void sway_place_follow(const struct sway *sway, struct sway_place *place, double q) {
  if (q >= place->to) {
    struct range next = place->next;
    *place = place_of(sway, place->j + 1, place->j < sway->last ? &next : NULL);
  }
  if (q < place->from || q >= place->to)
    *place = sway_place_at(sway, q);
}

struct cubic sway_cubic(const struct sway *sway, const struct sway_place *place, double q_a,
                        double inside) {
  int64_t j = place->j;
  if (j < sway->first || j > sway->last)
    return (struct cubic){0, 0, 0, 0};
  double end = j % 2 == 0 ? sway->amplitude : -sway->amplitude;
  double from = j == sway->first ? 0 : -end, to = j == sway->last ? 0 : end;
  if (inside >= place->over.hi)
    return (struct cubic){to, 0, 0, 0};
  struct cubic u = crossing_at(place->over, to - from, q_a, inside);
  u.c0 += from;
  return u;
}

/* Nearest double above the cube root, or a few steps of rounding off it. */
static double cube_root(double x) {
  double lo = 0, hi = fmax(x, 1);
  for (int i = 0; i < 200; i++) {
    double mid = lo + (hi - lo) / 2;
    if (mid <= lo || mid >= hi)
      break;
    if (mid * mid * mid < x)
      lo = mid;
    else
      hi = mid;
  }
  return hi;
}

double sway_least_crossing(const struct cell *cell, double width, double sinking, double part) {
  const struct axis_limits *z = &cell->axis[AXIS_Z];
  double least = ROWS_LEAST * cell->tick;
  if (sinking >= z->speed)
    return (double)INFINITY;
  least = fmax(least, CROSSING_MOST[1] * width / (z->speed - sinking));
  least = fmax(least, sqrt(CROSSING_MOST[2] * width / (part * z->accel)));
  return fmax(least, cube_root(CROSSING_MOST[3] * width / (part * z->jerk)));
}

double oscillation_crossing(const struct oscillation *oscillation) {
  return 0.5 / oscillation->frequency - oscillation->dwell;
}
