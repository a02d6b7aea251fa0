/* lap_asked.h - what sectors ask for at a place of a wall that is a box with round corners, worked
 * out anew from docs/semantics.md, Sectors: only `along` sectors, apart from one another. */
#ifndef TESTS_MOTION_LAP_ASKED_H
#define TESTS_MOTION_LAP_ASKED_H

#include <math.h>

#include "borelay/job.h"

/* Half sides a, b without the corners of radius r; a round has neither. */
struct box {
  double a, b, r;
  bool is_round;
};

/* The eight stretches of half a box from the middle of the lower side, or a round, s rising. */
struct box_walk {
  double length[9];
  bool is_arc[9];
  int count;
};
static inline struct box_walk box_walk_of(const struct box *box) {
  const double pi = 3.14159265358979323846;
  if (box->is_round)
    return (struct box_walk){{2 * pi * box->r}, {true}, 1};
  double q = pi / 2 * box->r, a = box->a, b = box->b;
  return (struct box_walk){{a, q, 2 * b, q, 2 * a, q, 2 * b, q, a},
                           {false, true, false, true, false, true, false, true, false},
                           9};
}
static inline double box_perimeter(const struct box *box) {
  struct box_walk walk = box_walk_of(box);
  double sum = 0;
  for (int i = 0; i < walk.count; i++)
    sum += walk.length[i];
  return sum;
}
/* Length from s = 0 to s >= 0 of the contour moved inward by offset. */
static inline double box_offset_way(const struct box *box, double offset, double s) {
  struct box_walk walk = box_walk_of(box);
  double whole = box_perimeter(box), turns = floor(s / whole), way = 0, once = 0;
  s -= turns * whole;
  for (int i = 0; i < walk.count; i++) {
    double ratio = walk.is_arc[i] ? (box->r - offset) / box->r : 1;
    once += walk.length[i] * ratio;
    way += fmin(fmax(s, 0), walk.length[i]) * ratio;
    s -= walk.length[i];
  }
  return way + turns * once;
}
/* s of a place of the wall, by its normal and its place in the box's own frame. */
static inline double box_s(const struct box *box, double x, double y, double nx, double ny) {
  const double pi = 3.14159265358979323846;
  double turn = atan2(ny, nx), q = pi / 2 * box->r;
  if (box->is_round)
    return box->r * (turn < 0 ? turn + 2 * pi : turn);
  double corner = box->r * (turn + pi / 2); /* from the lower side on */
  if (turn + pi / 2 < -1e-12)
    corner += 2 * pi * box->r;
  if (fabs(nx) < 1e-12 && ny < 0)
    return x >= 0 ? x : box_perimeter(box) + x;
  double side = 0; /* straight stretches passed */
  if (corner > q + 1e-9 || (fabs(ny) < 1e-12 && nx > 0))
    side += fabs(ny) < 1e-12 && nx > 0 ? y + box->b : 2 * box->b;
  if (corner > 2 * q + 1e-9 || (fabs(nx) < 1e-12 && ny > 0))
    side += fabs(nx) < 1e-12 && ny > 0 ? box->a - x : 2 * box->a;
  if (corner > 3 * q + 1e-9 || (fabs(ny) < 1e-12 && nx < 0))
    side += fabs(ny) < 1e-12 && nx < 0 ? box->b - y : 2 * box->b;
  return box->a + corner + side;
}

struct asked_values {
  double current, voltage, speed, wire;
};
static inline struct asked_values asked_of(const struct procedure *p, const struct sector *s) {
  return (struct asked_values){
      s && s->has_current ? s->current : p->current, s && s->has_voltage ? s->voltage : p->voltage,
      s && s->has_travel_speed ? s->travel_speed : p->travel_speed,
      s && s->has_wire_feed_speed ? s->wire_feed_speed : p->wire_feed_speed};
}
static inline double asked_mix(double a, double b, double u) {
  return a + (b - a) * u;
}

/* Into *out where s lies on the ramp at `edge`, on which `low` goes over into `high`. */
static inline bool asked_on_ramp(const struct box *box, double offset, double s, double edge,
                                 double ramp, struct asked_values low, struct asked_values high,
                                 struct asked_values *out) {
  double whole = box_perimeter(box), from = edge - ramp / 2;
  double into = s - from - whole * floor((s - from) / whole);
  if (into >= ramp)
    return false;
  from -= whole * floor(from / whole);
  double start = box_offset_way(box, offset, from);
  double x = (box_offset_way(box, offset, from + into) - start) /
             (box_offset_way(box, offset, from + ramp) - start);
  /* v^2 even with the way; time even with v, or with the way where v stays */
  double v = sqrt(asked_mix(low.speed * low.speed, high.speed * high.speed, x));
  double u = fabs(high.speed - low.speed) > 1e-6 ? (v - low.speed) / (high.speed - low.speed) : x;
  *out = (struct asked_values){asked_mix(low.current, high.current, u),
                               asked_mix(low.voltage, high.voltage, u), v,
                               asked_mix(low.wire, high.wire, u)};
  return true;
}

static inline struct asked_values lap_asked(const struct box *box, const struct overlay *overlay,
                                            const struct procedure *p, double offset, double s) {
  double whole = box_perimeter(box);
  struct asked_values base = asked_of(p, NULL), out;
  for (size_t i = 0; i < overlay->sector_count; i++) {
    const struct sector *sector = &overlay->sectors[i];
    double ramp = sector->has_ramp ? sector->ramp.value : 2 * p->bead_width;
    struct asked_values own = asked_of(p, sector);
    if (asked_on_ramp(box, offset, s, sector->along.lo, ramp, base, own, &out) ||
        asked_on_ramp(box, offset, s, sector->along.hi, ramp, own, base, &out))
      return out;
    double into = s - sector->along.lo;
    into -= whole * floor(into / whole);
    if (into <= sector->along.hi - sector->along.lo)
      return own;
  }
  return base;
}

#endif
