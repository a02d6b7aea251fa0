/* brute_slab.h - the cross-section of the metal between two depths: a function that says whether a
 * point is metal, and a cloud of points on its boundary.
 *
 * Points lie at most `spacing` apart on each contour on which metal lies on either side, every
 * place where metal begins or ends included.  What is nearest to a contour in its inner part is met
 * at a right angle, so that a cloud point at most spacing/2 along the contour is farther by at most
 *     spacing^2 / 8 (1/D + 1/R)        D the distance, R the contour's least radius
 * (cosine rule about the arc's centre: d^2 + 2 R (R + d) (1 - cos) <= d^2 + (1 + d/R) x^2), and
 * never by more than spacing/2. */
#ifndef TESTS_CHECK_BRUTE_SLAB_H
#define TESTS_CHECK_BRUTE_SLAB_H

#include "check/brute_shape.h"

/* -- clad ----------------------------------------------------------------------------- */

/* How much more metal a sector lays at most than the procedure alone does. */
static inline double brute_sector_most(const struct overlay *overlay,
                                       const struct procedure *procedure) {
  double most = 1;
  for (size_t i = 0; i < overlay->sector_count; i++) {
    const struct sector *sector = &overlay->sectors[i];
    double speed = sector->has_travel_speed ? sector->travel_speed : procedure->travel_speed;
    double wire =
        sector->has_wire_feed_speed ? sector->wire_feed_speed : procedure->wire_feed_speed;
    most = fmax(most, wire / procedure->wire_feed_speed * procedure->travel_speed / speed);
  }
  return most;
}

/* Thickness on one segment of all layers up to `layers`: t = A min(1/p, n/w), w with what the tip
 * sways, on a bend of radius R, moved in by the t below, R - sqrt(R^2 - 2 R t) or
 * sqrt(R^2 + 2 R t) - R.  With sectors the offset and the nominal clad go by the mean bead over a
 * lap, which is taken from the plan, all else by the largest. */
static inline double brute_clad(const struct plan_overlay *overlay, size_t layers, bool nominal,
                                const struct brute_seg *seg) {
  double below = 0, stands = 0;
  for (size_t k = 0; k < layers; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    const struct procedure *procedure = layer->procedure;
    double area = BRUTE_PI / 4 * procedure->wire_diameter * procedure->wire_diameter *
                  procedure->wire_feed_speed / procedure->travel_speed;
    double width = procedure->bead_width + procedure->oscillation.width;
    double times = (double)layer->laps / width; /* the area, the flat thickness */
    if (layer->laps > 1)
      times = fmin(times, 1 / layer->pitch);
    double mean = times * (overlay->overlay->sector_count ? layer->bead_area : area);
    double most = times * area * brute_sector_most(overlay->overlay, procedure);
    double radius = seg->radius - seg->turn * below, true_one = most;
    if (seg->turn > 0) /* at most all that is left of the round */
      true_one = radius - sqrt(fmax(0, radius * radius - 2 * radius * most));
    if (seg->turn < 0)
      true_one = sqrt(radius * radius + 2 * radius * most) - radius;
    stands += nominal ? mean : true_one;
    below += mean;
  }
  return seg->turn > 0 ? fmin(stands, seg->radius) : stands;
}

static inline bool brute_in_sweep(const struct brute_seg *seg, vec2 p) {
  double angle = atan2(p.y - seg->centre.y, p.x - seg->centre.x);
  return fmod(seg->turn * (angle - seg->from) + 8 * BRUTE_PI, 2 * BRUTE_PI) <= seg->sweep;
}

struct brute_strip { /* one overlay's clad at one depth */
  const struct brute_shape *wall;
  double thickness[BRUTE_SEGS];
  double largest;
};

static inline bool brute_in_strip(const struct brute_strip *strip, vec2 p) {
  for (size_t i = 0; i < strip->wall->count; i++) {
    const struct brute_seg *seg = &strip->wall->segs[i];
    if (seg->turn == 0) {
      double ux = (seg->b.x - seg->a.x) / seg->length, uy = (seg->b.y - seg->a.y) / seg->length;
      double along = (p.x - seg->a.x) * ux + (p.y - seg->a.y) * uy;
      double inward = (p.y - seg->a.y) * ux - (p.x - seg->a.x) * uy;
      if (along >= 0 && along <= seg->length && inward >= 0 && inward <= strip->thickness[i])
        return true;
      continue;
    }
    double inward = seg->turn * (seg->radius - hypot(p.x - seg->centre.x, p.y - seg->centre.y));
    if (inward >= 0 && inward <= strip->thickness[i] && brute_in_sweep(seg, p))
      return true;
  }
  return false;
}

/* -- a slab and its cloud ------------------------------------------------------------- */

struct brute_ball { /* of a stretch of the cloud */
  double x, y, radius;
  size_t first, count, left, right; /* left 0: a leaf */
};

enum { BRUTE_LISTED = 16 };
struct brute_slab {
  double z_lo, z_hi;
  const struct brute_shape *frees[BRUTE_LISTED], *solids[BRUTE_LISTED];
  struct brute_strip strips[BRUTE_LISTED];
  size_t free_count, solid_count, strip_count;
  bool below_face;
  vec2 *points;
  size_t count, room;
  struct brute_ball *balls;
  size_t ball_count;
};

static inline bool brute_is_metal(const struct brute_slab *slab, vec2 p) {
  for (size_t i = 0; i < slab->strip_count; i++)
    if (brute_in_strip(&slab->strips[i], p))
      return true;
  bool metal = slab->below_face;
  for (size_t i = 0; i < slab->solid_count && !metal; i++)
    metal = brute_inside(slab->solids[i], p);
  for (size_t i = 0; i < slab->free_count && metal; i++)
    metal = !brute_inside(slab->frees[i], p);
  return metal;
}

/* A place on a curve and the direction across it. */
struct brute_place {
  vec2 at, across;
};

/* A segment moved inward: walls with 0, faces of clad with their thickness. */
static inline struct brute_place brute_on(const struct brute_seg *seg, double inward, double u) {
  if (seg->turn == 0) {
    double ux = (seg->b.x - seg->a.x) / seg->length, uy = (seg->b.y - seg->a.y) / seg->length;
    vec2 at = {seg->a.x + u * (seg->b.x - seg->a.x) - inward * uy,
               seg->a.y + u * (seg->b.y - seg->a.y) + inward * ux};
    return (struct brute_place){at, {-uy, ux}};
  }
  double angle = seg->from + seg->turn * u * seg->sweep, r = seg->radius - seg->turn * inward;
  vec2 out = {cos(angle), sin(angle)};
  return (struct brute_place){{seg->centre.x + r * out.x, seg->centre.y + r * out.y}, out};
}

/* The step of a clad's face at the end of a segment. */
static inline struct brute_place brute_on_step(const struct brute_seg *seg, double from, double to,
                                               double u) {
  struct brute_place place = brute_on(seg, from + u * (to - from), 1);
  place.across = (vec2){-place.across.y, place.across.x};
  return place;
}

struct brute_curve {
  const struct brute_seg *seg;
  double from, to; /* moved inward by; a step when they differ */
};

static inline struct brute_place brute_at(const struct brute_curve *curve, double u) {
  if (curve->from != curve->to)
    return brute_on_step(curve->seg, curve->from, curve->to, u);
  return brute_on(curve->seg, curve->from, u);
}

static inline bool brute_bounds(const struct brute_slab *slab, struct brute_place place) {
  const double aside = 1e-6;
  for (int side = -1; side <= 1; side += 2) {
    vec2 p = {place.at.x + side * aside * place.across.x,
              place.at.y + side * aside * place.across.y};
    if (brute_is_metal(slab, p))
      return true;
  }
  return false;
}

static inline void brute_point(struct brute_slab *slab, vec2 at) {
  if (slab->count == slab->room) {
    slab->room = 2 * slab->room + 1024;
    slab->points = realloc(slab->points, slab->room * sizeof *slab->points);
    assert_non_null(slab->points);
  }
  slab->points[slab->count++] = at;
}

/* Where metal begins or ends between two places of a curve, on the metal's side. */
static inline void brute_turning(struct brute_slab *slab, const struct brute_curve *curve,
                                 double is, double is_not) {
  for (int i = 0; i < 40; i++) {
    double middle = (is + is_not) / 2;
    if (brute_bounds(slab, brute_at(curve, middle)))
      is = middle;
    else
      is_not = middle;
  }
  brute_point(slab, brute_at(curve, is).at);
}

static inline void brute_sample(struct brute_slab *slab, struct brute_curve curve, double spacing) {
  double length = curve.seg->length;
  if (curve.from != curve.to)
    length = fabs(curve.to - curve.from);
  else if (curve.seg->turn != 0)
    length = fabs(curve.seg->radius - curve.seg->turn * curve.from) * curve.seg->sweep;
  int steps = (int)ceil(length / spacing) + 1;
  bool before = false;
  for (int i = 0; i <= steps; i++) {
    struct brute_place place = brute_at(&curve, (double)i / steps);
    bool now = brute_bounds(slab, place);
    if (i > 0 && now != before)
      brute_turning(slab, &curve, (double)(now ? i : i - 1) / steps,
                    (double)(now ? i - 1 : i) / steps);
    if (now)
      brute_point(slab, place.at);
    before = now;
  }
}

static inline void brute_sample_shape(struct brute_slab *slab, const struct brute_shape *shape,
                                      double spacing) {
  for (size_t i = 0; i < shape->count; i++)
    brute_sample(slab, (struct brute_curve){&shape->segs[i], 0, 0}, spacing);
}

static inline void brute_sample_strip(struct brute_slab *slab, const struct brute_strip *strip,
                                      double spacing) {
  const struct brute_shape *wall = strip->wall;
  brute_sample_shape(slab, wall, spacing);
  for (size_t i = 0; i < wall->count; i++) {
    double here = strip->thickness[i], next = strip->thickness[(i + 1) % wall->count];
    brute_sample(slab, (struct brute_curve){&wall->segs[i], here, here}, spacing);
    if (here != next)
      brute_sample(slab, (struct brute_curve){&wall->segs[i], here, next}, spacing);
  }
}

static inline size_t brute_ball_make(struct brute_slab *slab, size_t first, size_t count) {
  size_t at = slab->ball_count++;
  vec2 lo = slab->points[first], hi = lo;
  for (size_t i = first; i < first + count; i++) {
    vec2 p = slab->points[i];
    lo = (vec2){fmin(lo.x, p.x), fmin(lo.y, p.y)};
    hi = (vec2){fmax(hi.x, p.x), fmax(hi.y, p.y)};
  }
  struct brute_ball ball = {(lo.x + hi.x) / 2, (lo.y + hi.y) / 2, 0, first, count, 0, 0};
  for (size_t i = first; i < first + count; i++)
    ball.radius = fmax(ball.radius, hypot(slab->points[i].x - ball.x, slab->points[i].y - ball.y));
  if (count > 6) {
    ball.left = brute_ball_make(slab, first, count / 2);
    ball.right = brute_ball_make(slab, first + count / 2, count - count / 2);
  }
  slab->balls[at] = ball;
  return at;
}

static inline void brute_slab_fill(struct brute_slab *slab, double spacing) {
  for (size_t i = 0; i < slab->free_count; i++)
    brute_sample_shape(slab, slab->frees[i], spacing);
  for (size_t i = 0; i < slab->solid_count; i++)
    brute_sample_shape(slab, slab->solids[i], spacing);
  for (size_t i = 0; i < slab->strip_count; i++)
    brute_sample_strip(slab, &slab->strips[i], spacing);
  if (slab->count == 0)
    return;
  slab->balls = calloc(2 * slab->count, sizeof *slab->balls);
  assert_non_null(slab->balls);
  brute_ball_make(slab, 0, slab->count);
}

#endif
