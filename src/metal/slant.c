/* slant.c - distance from a segment that is neither level nor upright.
 *
 * Beside a slab its part within the slab's heights is a plane question with an exact answer.  Above
 * and below, the distance along the segment is searched by halves, the bound of distance_dip()
 * telling when nothing is missed. */
#include <math.h>

#include "borelay/metal.h"
#include "borelay/num.h"
#include "metal/slabs.h"

double distance_dip(double from, double to, double length, double speed, double accel) {
  double lower = 0.5 * (from + to - speed * length);
  if (!(lower > 0))
    return 0;
  double bend = (speed * speed / lower + accel) * length * length;
  double less = from < to ? from : to, rise = fabs(to - from), chord = less;
  if (rise < 0.5 * bend) {
    double share = 0.5 - rise / bend; /* of the stretch, from its lower end */
    chord = less - 0.5 * bend * share * share;
  }
  return chord > lower ? chord : lower;
}

struct search {
  const struct metal *metal;
  vec3 a, b;
  double length, tolerance;
  double least, floor; /* least found; least bound of what was left unsearched */
  const struct slab *slab;
  struct section_hit found;
  vec3 at;
};

static vec3 point_at(const struct search *search, double t) {
  vec3 a = search->a, b = search->b;
  return (vec3){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.z + t * (b.z - a.z)};
}

/* Distance of one point to one slab; a lower bound on it where it is not below the least. */
static double visit(struct search *search, const struct slab *slab, double t) {
  vec3 p = point_at(search, t);
  double gap = 0;
  if (p.z > slab->z_hi)
    gap = p.z - slab->z_hi;
  else if (p.z < slab->z_lo)
    gap = slab->z_lo - p.z;
  struct section_hit found =
      section_distance(slab->section, (vec2){p.x, p.y}, (vec2){p.x, p.y}, HUGE_VAL);
  double distance = num_hypot(found.distance, gap);
  if (distance < search->least) {
    search->least = distance;
    search->slab = slab;
    search->found = found;
    search->at = p;
  }
  return distance;
}

static void halve(struct search *search, const struct slab *slab, double t0, double d0, double t1,
                  double d1) {
  double lower = distance_dip(d0, d1, (t1 - t0) * search->length, 1, 0);
  if (lower >= search->least - search->tolerance) {
    if (lower < search->floor)
      search->floor = lower;
    return;
  }
  double t = 0.5 * (t0 + t1), d = visit(search, slab, t);
  halve(search, slab, t0, d0, t, d);
  halve(search, slab, t, d, t1, d1);
}

/* The part of the segment beyond the slab's heights. */
static void search_beyond(struct search *search, const struct slab *slab, double t0, double t1) {
  if (!(t1 > t0))
    return;
  double d0 = visit(search, slab, t0), d1 = visit(search, slab, t1);
  if (!isinf(d0))
    halve(search, slab, t0, d0, t1, d1);
}

static void search_beside(struct search *search, const struct slab *slab, double t0, double t1) {
  vec3 p = point_at(search, t0), q = point_at(search, t1);
  struct section_hit found =
      section_distance(slab->section, (vec2){p.x, p.y}, (vec2){q.x, q.y}, search->least);
  if (found.distance < search->least) {
    search->least = found.distance;
    search->slab = slab;
    search->found = found;
    search->at = p;
  }
}

static double clamped(double t) {
  return t < 0 ? 0 : t > 1 ? 1 : t;
}

/* a lies below b: shares of the segment below, beside and above the slab. */
static void search_slab(struct search *search, const struct slab *slab, bool beside) {
  double rise = search->b.z - search->a.z;
  double t_lo = clamped((slab->z_lo - search->a.z) / rise);
  double t_hi = clamped((slab->z_hi - search->a.z) / rise);
  if (beside && search->a.z <= slab->z_hi && search->b.z >= slab->z_lo)
    search_beside(search, slab, t_lo, t_hi);
  double gap = search->a.z > slab->z_hi ? search->a.z - slab->z_hi : slab->z_lo - search->b.z;
  if (!beside && gap < search->least && section_has_metal(slab->section)) {
    search_beyond(search, slab, 0, t_lo);
    search_beyond(search, slab, t_hi, 1);
  }
}

struct metal_hit metal_distance_segment(const struct metal *metal, vec3 a, vec3 b,
                                        double tolerance) {
  vec2 p = {a.x, a.y}, q = {b.x, b.y};
  if (a.z == b.z || (p.x == q.x && p.y == q.y))
    return metal_distance_upright(metal, p, q, 0, a.z < b.z ? a.z : b.z, a.z < b.z ? b.z : a.z);
  bool up = a.z < b.z;
  vec2 level = vec2_sub(q, p);
  struct search search = {.metal = metal,
                          .a = up ? a : b,
                          .b = up ? b : a,
                          .length = sqrt(vec2_dot(level, level) + (b.z - a.z) * (b.z - a.z)),
                          .tolerance = tolerance,
                          .least = HUGE_VAL,
                          .floor = HUGE_VAL};
  for (int pass = 0; pass < 2; pass++)
    for (size_t i = metal->count; i > 0; i--)
      search_slab(&search, &metal->slabs[i - 1], pass == 0);
  if (!search.slab)
    return metal_no_hit();
  double distance = search.floor < search.least ? search.floor : search.least;
  return slab_hit(metal, search.slab, search.found, (vec2){search.at.x, search.at.y}, search.at.z,
                  distance);
}
