/* slant.c - distance from a segment that is neither level nor upright.
 *
 * It is cut where it enters and leaves the boxes of sites, and each part asks the stack that holds
 * there; what stands over the datum face at a site is asked by the whole of it.
 *
 * Beside a slab its part within the slab's heights is a plane question with an exact answer.  Above
 * and below, the distance along the segment is searched by halves, the bound of distance_dip()
 * telling when nothing is missed. */
#include <math.h>

#include "borelay/metal.h"
#include "borelay/num.h"
#include "metal/state.h"

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
  const struct stack *stack;
  const struct slab *slab;
  struct section_hit found;
  vec3 at;
};

/* A part of the segment, and the slabs that it asks. */
struct share {
  const struct stack *stack;
  size_t from; /* first of the stack's slabs */
  double t0, t1;
};

static vec3 point_at(const struct search *search, double t) {
  vec3 a = search->a, b = search->b;
  return (vec3){a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.z + t * (b.z - a.z)};
}

/* Distance of one point to one slab. */
static double visit(struct search *search, const struct share *share, const struct slab *slab,
                    double t) {
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
    search->stack = share->stack;
    search->slab = slab;
    search->found = found;
    search->at = p;
  }
  return distance;
}

static void halve(struct search *search, const struct share *share, const struct slab *slab,
                  double t0, double d0, double t1, double d1) {
  double lower = distance_dip(d0, d1, (t1 - t0) * search->length, 1, 0);
  if (lower >= search->least - search->tolerance) {
    if (lower < search->floor)
      search->floor = lower;
    return;
  }
  double t = 0.5 * (t0 + t1);
  if (!(t0 < t && t < t1)) { /* no distance that is a number gets here */
    search->least = search->floor = 0;
    return;
  }
  double d = visit(search, share, slab, t);
  halve(search, share, slab, t0, d0, t, d);
  halve(search, share, slab, t, d, t1, d1);
}

/* Whether a part of the segment, at least `gap` above or below the slab, is too far beside its
 * metal to come nearer than the least. */
static bool is_out_of_reach(const struct search *search, const struct slab *slab, double t0,
                            double t1, double gap) {
  if (isinf(search->least) || gap >= search->least)
    return !isinf(search->least);
  vec3 p = point_at(search, t0), q = point_at(search, t1);
  double cap = sqrt((search->least - gap) * (search->least + gap));
  return isinf(section_distance(slab->section, (vec2){p.x, p.y}, (vec2){q.x, q.y}, cap).distance);
}

/* The part of the segment beyond the slab's heights, at least `gap` away from them. */
static void search_beyond(struct search *search, const struct share *share, const struct slab *slab,
                          double t0, double t1, double gap) {
  if (!(t1 > t0) || is_out_of_reach(search, slab, t0, t1, gap))
    return;
  double d0 = visit(search, share, slab, t0), d1 = visit(search, share, slab, t1);
  if (!isinf(d0))
    halve(search, share, slab, t0, d0, t1, d1);
}

static void search_beside(struct search *search, const struct share *share, const struct slab *slab,
                          double t0, double t1) {
  vec3 p = point_at(search, t0), q = point_at(search, t1);
  struct section_hit found =
      section_distance(slab->section, (vec2){p.x, p.y}, (vec2){q.x, q.y}, search->least);
  if (found.distance < search->least) {
    search->least = found.distance;
    search->stack = share->stack;
    search->slab = slab;
    search->found = found;
    search->at = p;
  }
}

static double clamped(double t, const struct share *share) {
  return t < share->t0 ? share->t0 : t > share->t1 ? share->t1 : t;
}

/* a lies below b: the parts of the share below, beside and above the slab. */
static void search_slab(struct search *search, const struct share *share, const struct slab *slab,
                        bool beside) {
  double rise = search->b.z - search->a.z;
  double t_lo = clamped((slab->z_lo - search->a.z) / rise, share);
  double t_hi = clamped((slab->z_hi - search->a.z) / rise, share);
  double z_lo = search->a.z + share->t0 * rise, z_hi = search->a.z + share->t1 * rise;
  if (beside && z_lo <= slab->z_hi && z_hi >= slab->z_lo)
    search_beside(search, share, slab, t_lo, t_hi);
  double gap = slab_gap(slab, z_lo, z_hi);
  if (!beside && gap < search->least && section_has_metal(slab->section)) {
    search_beyond(search, share, slab, share->t0, t_lo, gap);
    search_beyond(search, share, slab, t_hi, share->t1, gap);
  }
}

static void search_share(struct search *search, const struct share *share) {
  for (int pass = 0; pass < 2; pass++)
    for (size_t i = share->stack->count; i > share->from; i--)
      search_slab(search, share, &share->stack->slabs[i - 1], pass == 0);
}

/* -- site by site ---------------------------------------------------------------- */

/* Where a line from p by `along` per unit of t lies within lo .. hi. */
static void clip(double p, double along, double lo, double hi, double *t0, double *t1) {
  if (along == 0) {
    if (p < lo || p > hi)
      *t1 = -1;
    return;
  }
  double enters = (lo - p) / along, leaves = (hi - p) / along;
  *t0 = fmax(*t0, along > 0 ? enters : leaves);
  *t1 = fmin(*t1, along > 0 ? leaves : enters);
}

static struct share share_of(const struct search *search, size_t site) {
  vec3 a = search->a, b = search->b;
  struct box box = search->metal->sites.items[site].box;
  struct share share = {&search->metal->stacks[site], 0, 0, 1};
  clip(a.x, b.x - a.x, box.lo.x, box.hi.x, &share.t0, &share.t1);
  clip(a.y, b.y - a.y, box.lo.y, box.hi.y, &share.t0, &share.t1);
  return share;
}

/* Where the next site's box after t begins; the bare metal holds until there. */
static struct share next_share(const struct search *search, double t) {
  struct box box = box_of((vec2){search->a.x, search->a.y}, (vec2){search->b.x, search->b.y});
  struct site_walk walk;
  site_walk_begin(&walk, &search->metal->sites, box);
  struct share next = {&search->metal->bare, 0, t, 1};
  size_t site;
  while (site_walk_next(&walk, 0, &site)) {
    struct share share = share_of(search, site);
    if (!(share.t1 > t && share.t1 >= share.t0))
      continue;
    if (share.t0 <= t) {
      share.t0 = t;
      return share;
    }
    next.t1 = fmin(next.t1, share.t0);
  }
  return next;
}

static void search_shares(struct search *search) {
  for (double t = 0; t < 1;) {
    struct share share = next_share(search, t);
    search_share(search, &share);
    t = share.t1;
  }
}

static void search_standing(struct search *search) {
  const struct metal *metal = search->metal;
  struct box box = box_of((vec2){search->a.x, search->a.y}, (vec2){search->b.x, search->b.y});
  struct site_walk walk;
  size_t site;
  if (!metal->sites.any_stands)
    return;
  site_walk_begin(&walk, &metal->sites, box);
  while (site_walk_next(&walk, search->least, &site)) {
    struct share share = {&metal->stacks[site], metal->stacks[site].upper, 0, 1};
    if (metal->sites.items[site].stands)
      search_share(search, &share);
  }
}

struct metal_hit metal_distance_segment(const struct metal *metal, vec3 a, vec3 b,
                                        double tolerance) {
  vec2 p = {a.x, a.y}, q = {b.x, b.y};
  if (!isfinite(a.x + a.y + a.z + b.x + b.y + b.z))
    return metal_no_place();
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
  search_shares(&search);
  search_standing(&search);
  if (!search.slab)
    return metal_no_hit();
  double distance = search.floor < search.least ? search.floor : search.least;
  return slab_hit(metal->plan, search.stack, search.slab, search.found,
                  (vec2){search.at.x, search.at.y}, search.at.z, distance);
}
