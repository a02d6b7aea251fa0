/* brute_head.h - the head's parts as solids and their distance to the brute metal.
 *
 * A part over all its shifts is a flat piece of a plane, axis times shift (a parallelogram, or
 * less), with a ball or a disc added.  A slab's boundary is upright lines through the points of its
 * cloud, and its level faces.  The nearest of a flat piece and an upright line is a quadratic
 * program in two unknowns, solved by trying its interior and its borders.  Over a level face the
 * nearest is straight above or below a corner of the flat piece, or else at the face's border,
 * which the cloud holds; and a flat piece that meets a slab lies in it with any point of it, or
 * meets its border. */
#ifndef TESTS_CHECK_BRUTE_HEAD_H
#define TESTS_CHECK_BRUTE_HEAD_H

#include "borelay/path.h"
#include "check/brute_metal.h"

struct brute_solid {
  bool is_body;  /* upright cylinder; else a capsule or, with radius 0, a line */
  vec3 from, to; /* axis (out, left, up) */
  double radius;
  double shift;             /* the head moves out by -shift .. shift */
  double lever;             /* farthest of its axis's points from the head axis */
  size_t warm[BRUTE_SLABS]; /* nearest points last time: a good first guess */
};

static inline struct brute_solid brute_capsule(vec3 from, vec3 to, double radius, double shift) {
  struct brute_solid solid = {.from = from, .to = to, .radius = radius, .shift = shift};
  solid.lever = fmax(hypot(fabs(from.x) + shift, from.y), hypot(fabs(to.x) + shift, to.y));
  return solid;
}

static inline struct brute_solid brute_body(const struct body *body, double shift) {
  struct brute_solid solid = brute_capsule((vec3){0, 0, body->heights.lo},
                                           (vec3){0, 0, body->heights.hi}, body->radius, shift);
  solid.is_body = true;
  return solid;
}

/* The flat piece at a pose, and its parts below, beside and above a slab: for s between the two,
 * its height's distance to the slab is gap0 + gap1 s. */
struct brute_probe {
  vec2 base, along, out; /* base + s along + w out, 0 <= s <= 1, |w| <= shift */
  double shift, disc;    /* disc: radius taken off the level distance */
  struct {
    double s0, s1, gap0, gap1;
  } parts[3];
  int count;
  double along2, across; /* along . along, along . out */
};

static inline double brute_clamp(double x, double lo, double hi) {
  return x < lo ? lo : x > hi ? hi : x;
}

static inline double brute_value(double sr, double sb, double s, double w, double c, double e,
                                 double rest) {
  return s * s * sr + w * w + 2 * s * w * e + 2 * s * sb + 2 * w * c + rest;
}

/* Least of the square of the distance to the upright line through q, over one of the parts. */
static inline double brute_part_square(const struct brute_probe *probe, int i, vec2 q) {
  double g0 = probe->parts[i].gap0, g1 = probe->parts[i].gap1;
  double lo = probe->parts[i].s0, hi = probe->parts[i].s1;
  double rx = probe->base.x - q.x, ry = probe->base.y - q.y, e = probe->across;
  double c = rx * probe->out.x + ry * probe->out.y;
  double ss = probe->along2 + g1 * g1, sb = rx * probe->along.x + ry * probe->along.y + g0 * g1;
  double rest = rx * rx + ry * ry + g0 * g0, k = ss - e * e, least = HUGE_VAL;
  if (k > 1e-12) {
    double s = -(sb - c * e) / k, w = -(c + s * e);
    if (s >= lo && s <= hi && fabs(w) <= probe->shift)
      return brute_value(ss, sb, s, w, c, e, rest);
  }
  for (int side = 0; side < 2; side++) {
    double s = side ? hi : lo, w = brute_clamp(-(c + s * e), -probe->shift, probe->shift);
    least = fmin(least, brute_value(ss, sb, s, w, c, e, rest));
    w = side ? probe->shift : -probe->shift;
    s = ss > 0 ? brute_clamp(-(sb + w * e) / ss, lo, hi) : lo;
    least = fmin(least, brute_value(ss, sb, s, w, c, e, rest));
  }
  return least;
}

static inline double brute_to_line(const struct brute_probe *probe, vec2 q) {
  double least = HUGE_VAL;
  if (probe->disc > 0) { /* an upright cylinder along its shift: one gap */
    double rx = q.x - probe->base.x, ry = q.y - probe->base.y, gap = probe->parts[0].gap0;
    double w = brute_clamp(rx * probe->out.x + ry * probe->out.y, -probe->shift, probe->shift);
    rx -= w * probe->out.x;
    ry -= w * probe->out.y;
    double level = fmax(0, sqrt(rx * rx + ry * ry) - probe->disc);
    return sqrt(level * level + gap * gap);
  }
  for (int i = 0; i < probe->count; i++)
    least = fmin(least, brute_part_square(probe, i, q));
  return sqrt(fmax(0, least));
}

/* The distance changes no faster than the line moves, so a ball's centre bounds all in it. */
static inline double brute_to_ball(const struct brute_probe *probe, const struct brute_ball *ball) {
  return brute_to_line(probe, (vec2){ball->x, ball->y}) - ball->radius;
}

static inline void brute_nearest(const struct brute_probe *probe, const struct brute_slab *slab,
                                 size_t at, double bound, double *least, size_t *which) {
  if (bound >= *least)
    return;
  const struct brute_ball *ball = &slab->balls[at];
  if (ball->left == 0) {
    for (size_t i = ball->first; i < ball->first + ball->count; i++) {
      double distance = brute_to_line(probe, slab->points[i]);
      if (distance < *least) {
        *least = distance;
        *which = i;
      }
    }
    return;
  }
  double left = brute_to_ball(probe, &slab->balls[ball->left]);
  double right = brute_to_ball(probe, &slab->balls[ball->right]);
  bool left_first = left < right;
  brute_nearest(probe, slab, left_first ? ball->left : ball->right, fmin(left, right), least,
                which);
  brute_nearest(probe, slab, left_first ? ball->right : ball->left, fmax(left, right), least,
                which);
}

static inline vec2 brute_corner(const struct brute_probe *probe, double s, double w) {
  return (vec2){probe->base.x + s * probe->along.x + w * probe->out.x,
                probe->base.y + s * probe->along.y + w * probe->out.y};
}

static inline void brute_add_part(struct brute_probe *probe, double s0, double s1, double gap0,
                                  double gap1) {
  if (s0 > s1)
    return;
  probe->parts[probe->count].s0 = s0;
  probe->parts[probe->count].s1 = s1;
  probe->parts[probe->count].gap0 = gap0;
  probe->parts[probe->count].gap1 = gap1;
  probe->count++;
}

/* Heights z0 + s rise (rise >= 0) against the slab. */
static inline void brute_cut(struct brute_probe *probe, const struct brute_slab *slab, double z0,
                             double rise) {
  probe->count = 0;
  if (probe->disc > 0 || !(rise > 0)) {
    double gap = fmax(0, fmax(z0 - slab->z_hi, slab->z_lo - (z0 + rise)));
    brute_add_part(probe, 0, probe->disc > 0 ? 0 : 1, gap, 0);
    return;
  }
  double in = (slab->z_lo - z0) / rise, out = (slab->z_hi - z0) / rise;
  if (in > 0)
    brute_add_part(probe, 0, fmin(in, 1), slab->z_lo - z0, -rise);
  if (out >= 0 && in <= 1)
    brute_add_part(probe, fmax(in, 0), fmin(out, 1), 0, 0);
  if (out < 1)
    brute_add_part(probe, fmax(out, 0), 1, z0 - slab->z_hi, rise);
}

/* Straight above, below or within the slab's metal: its distance there, else INFINITY. */
static inline double brute_over(const struct brute_probe *probe, const struct brute_slab *slab) {
  double least = HUGE_VAL;
  for (int i = 0; i < probe->count; i++)
    for (int corner = 0; corner < 4; corner++) {
      double s = corner & 1 ? probe->parts[i].s1 : probe->parts[i].s0;
      double gap = probe->parts[i].gap0 + s * probe->parts[i].gap1;
      vec2 p = brute_corner(probe, s, corner & 2 ? probe->shift : -probe->shift);
      if (gap < least && brute_is_metal(slab, p))
        least = fmax(0, gap);
    }
  return least;
}

static inline double brute_guess(const struct brute_probe *probe, const struct brute_slab *slab,
                                 size_t warm) {
  double least = brute_over(probe, slab);
  if (slab->count == 0)
    return least;
  return fmin(least, brute_to_line(probe, slab->points[warm < slab->count ? warm : 0]));
}

/* Distance of the solid, at a pose in the part frame, to the metal; never below the truth but for
 * rounding. */
static inline double brute_distance(struct brute_solid *solid, const struct brute_metal *metal,
                                    struct pose pose) {
  bool up = solid->from.z <= solid->to.z;
  vec3 low = up ? solid->from : solid->to, high = up ? solid->to : solid->from;
  double c = cos(pose.head), s = sin(pose.head), rise = high.z - low.z, least = HUGE_VAL;
  struct brute_probe probe = {.out = {c, s}, .shift = solid->shift};
  probe.base = (vec2){pose.x + low.x * c - low.y * s, pose.y + low.x * s + low.y * c};
  double ox = high.x - low.x, oy = high.y - low.y;
  probe.along = (vec2){ox * c - oy * s, ox * s + oy * c};
  probe.along2 = ox * ox + oy * oy;
  probe.across = ox;
  probe.disc = solid->is_body ? solid->radius : 0;
  double z0 = pose.z + low.z;
  for (int pass = 0; pass < 2; pass++) /* first guesses everywhere, then the clouds */
    for (size_t i = 0; i < metal->count; i++) {
      const struct brute_slab *slab = &metal->slabs[i];
      if (fmax(z0 - slab->z_hi, slab->z_lo - (z0 + rise)) >= least)
        continue;
      brute_cut(&probe, slab, z0, rise);
      if (pass == 0)
        least = fmin(least, brute_guess(&probe, slab, solid->warm[i]));
      else if (slab->count > 0)
        brute_nearest(&probe, slab, 0, brute_to_ball(&probe, &slab->balls[0]), &least,
                      &solid->warm[i]);
    }
  return solid->is_body ? least : fmax(0, least - solid->radius);
}

#endif
