/* sweep.c - regions that hold all that a part sweeps over a stretch of a piece.
 *
 * With e(a) the unit vector at angle a and R(a) the turn by it, a part's point at `local` is
 *     c + radius e(turn) - rho e(head) + R(head) local
 *   = c + R(turn) [ (radius, 0) + R(head - turn) (local - (rho, 0)) ]       on an arc,
 *     c + turn direction        + R(head) (local - (rho, 0))               on a line.
 * Where the bracket stands still, as it does while the head keeps its angle to the guide, the part
 * turns about c or is carried along the line, as one.  Otherwise the angle of the inner turn stays
 * within `half` of its middle and no point strays by more than half |local - (rho, 0)| from
 * where it is with the middle angle: the region is taken there and so much wider.
 * Heights are taken apart: all of the part's at all the heights that z passes. */
#include "clear/sweep.h"

#include <math.h>

#include "borelay/num.h"

static const double ROUNDING = 1e-9; /* mm */

struct outline { /* the part in the plane of the bracket: a convex quadrangle, which may be flat */
  vec2 corner[4];
  double stray; /* mm */
};

/* -- what is passed through ----------------------------------------------------------- */

static struct range range_of(struct cubic p, double qa, double qb) {
  struct range range;
  cubic_range(p, qa, qb, &range.lo, &range.hi);
  return range;
}

static struct cubic difference(struct cubic p, struct cubic q) {
  return (struct cubic){p.c0 - q.c0, p.c1 - q.c1, p.c2 - q.c2, p.c3 - q.c3};
}

struct swath swath_of(const struct curve *curve, double qa, double qb) {
  struct cubic inner = curve->is_line ? curve->head : difference(curve->head, curve->turn);
  return (struct swath){curve, range_of(curve->turn, qa, qb), range_of(inner, qa, qb),
                        range_of(curve->z, qa, qb)};
}

bool swath_joins(const struct swath *a, const struct swath *b) {
  const struct curve *p = a->guide, *q = b->guide;
  return p->is_line == q->is_line && p->centre.x == q->centre.x && p->centre.y == q->centre.y &&
         p->direction.x == q->direction.x && p->direction.y == q->direction.y &&
         p->radius == q->radius && p->rho == q->rho;
}

static void range_add(struct range *range, struct range other) {
  range->lo = other.lo < range->lo ? other.lo : range->lo;
  range->hi = other.hi > range->hi ? other.hi : range->hi;
}

void swath_add(struct swath *swath, const struct swath *other) {
  double turns = floor((swath->inner.lo - other->inner.lo) / NUM_TURN + 0.5) * NUM_TURN;
  range_add(&swath->turn, other->turn);
  range_add(&swath->inner, (struct range){other->inner.lo + turns, other->inner.hi + turns});
  range_add(&swath->z, other->z);
}

/* On an arc the head's axis lies within this of the centre: | radius e(turn) - rho e(head) | is
 * least where both point the same way, and grows by no more than |rho| times the angle between. */
static double axis_from_centre(const struct swath *swath) {
  double radius = swath->guide->radius, rho = swath->guide->rho;
  double turns = floor(swath->inner.lo / NUM_TURN + 0.5) * NUM_TURN;
  double apart = fmax(fabs(swath->inner.lo - turns), fabs(swath->inner.hi - turns));
  return fmin(fabs(radius) + fabs(rho), fabs(radius - rho) + fabs(rho) * apart);
}

/* The part's points lie within its lever of the head's axis. */
bool swath_stays_off(const struct swath *swath, const struct part *part, const struct metal *metal,
                     double distance) {
  const struct curve *guide = swath->guide;
  vec2 from = guide->centre, to = guide->centre;
  double reach = part->lever + (part->kind == CLEAR_BODY ? part->radius : 0);
  if (guide->is_line) {
    from = vec2_add(from, vec2_scale(guide->direction, swath->turn.lo));
    to = vec2_add(to, vec2_scale(guide->direction, swath->turn.hi));
    reach += fabs(guide->rho);
  } else {
    reach += axis_from_centre(swath);
  }
  return metal_upright_stays_off(metal, from, to, reach,
                                 swath->z.lo + fmin(part->from.z, part->to.z),
                                 swath->z.hi + fmax(part->from.z, part->to.z), distance);
}

struct sweep sweep_of(const struct swath *swath) {
  struct sweep sweep = {.swath = *swath};
  sweep.inner = num_sincos(0.5 * (swath->inner.lo + swath->inner.hi));
  if (swath->guide->is_line)
    return sweep;
  sweep.from = num_sincos(swath->turn.lo);
  sweep.to = num_sincos(swath->turn.hi);
  return sweep;
}

static struct outline outline_make(const struct part *part, const struct sweep *sweep) {
  double half = 0.5 * (sweep->swath.inner.hi - sweep->swath.inner.lo);
  struct sincos at = sweep->inner;
  const vec3 ends[4] = {part->from, part->from, part->to, part->to};
  const double shifts[4] = {-part->shift, part->shift, part->shift, -part->shift};
  struct outline outline = {.stray = 0};
  for (int i = 0; i < 4; i++) {
    double x = ends[i].x + shifts[i] - sweep->swath.guide->rho, y = ends[i].y;
    outline.corner[i] = (vec2){x * at.cos - y * at.sin, x * at.sin + y * at.cos};
    if (half > 0)
      outline.stray = fmax(outline.stray, half * num_hypot(x, y));
  }
  return outline;
}

/* -- along a line: the box, in the line's own frame ------------------------------- */

static void add_point(struct metal_region *region, vec2 p) {
  region->lo = (vec2){fmin(region->lo.x, p.x), fmin(region->lo.y, p.y)};
  region->hi = (vec2){fmax(region->hi.x, p.x), fmax(region->hi.y, p.y)};
}

static struct metal_region carried(const struct outline *outline, const struct curve *curve,
                                   struct range along) {
  vec2 u = curve->direction, v = {-u.y, u.x};
  double u_lo = HUGE_VAL, u_hi = -HUGE_VAL, v_lo = HUGE_VAL, v_hi = -HUGE_VAL;
  for (int i = 0; i < 4; i++) {
    double pu = vec2_dot(outline->corner[i], u), pv = vec2_dot(outline->corner[i], v);
    u_lo = fmin(u_lo, pu);
    u_hi = fmax(u_hi, pu);
    v_lo = fmin(v_lo, pv);
    v_hi = fmax(v_hi, pv);
  }
  u_lo += along.lo;
  u_hi += along.hi;
  const double us[4] = {u_lo, u_hi, u_hi, u_lo}, vs[4] = {v_lo, v_lo, v_hi, v_hi};
  struct metal_region region = {.lo = {HUGE_VAL, HUGE_VAL}, .hi = {-HUGE_VAL, -HUGE_VAL}};
  for (int i = 0; i < 4; i++) {
    region.corner[i] =
        vec2_add(curve->centre, vec2_add(vec2_scale(u, us[i]), vec2_scale(v, vs[i])));
    add_point(&region, region.corner[i]);
  }
  vec2 diagonal = vec2_sub(region.corner[2], region.corner[0]);
  region.centre = vec2_add(region.corner[0], vec2_scale(diagonal, 0.5));
  region.outer = 0.5 * num_hypot(diagonal.x, diagonal.y) + ROUNDING;
  region.within = region.corner[0];
  return region;
}

/* -- about a centre: a ring, within the box that the middle of the part sweeps --------- */

static vec2 turned(vec2 p, struct sincos by) {
  return (vec2){p.x * by.cos - p.y * by.sin, p.x * by.sin + p.y * by.cos};
}

static double nearest_to_centre(const struct outline *outline) {
  double least = HUGE_VAL;
  int left = 0, right = 0;
  for (int i = 0; i < 4; i++) {
    vec2 a = outline->corner[i], along = vec2_sub(outline->corner[(i + 1) % 4], a);
    double side = vec2_cross(a, along), length2 = vec2_dot(along, along);
    double t = length2 > 0 ? -vec2_dot(a, along) / length2 : 0;
    vec2 foot = vec2_add(a, vec2_scale(along, fmax(0, fmin(1, t))));
    least = fmin(least, vec2_dot(foot, foot));
    left += side > 0;
    right += side < 0;
  }
  return left == 4 || right == 4 ? 0 : sqrt(least);
}

/* The box of an arc about the centre from `from` to `to`, turning anticlockwise by sweep >= 0; its
 * crossings of the axes count besides its ends. */
static void arc_box(struct metal_region *region, vec2 from, vec2 to, double sweep) {
  const double right = NUM_TURN / 4;
  double radius = num_hypot(from.x, from.y);
  add_point(region, vec2_add(region->centre, from));
  add_point(region, vec2_add(region->centre, to));
  double angle = num_atan2(from.y, from.x) + NUM_TURN;
  int quadrant = (int)floor(angle / right);
  const double margin = 1e-9; /* rad: rather a crossing too many */
  for (int i = 0; i < 5; i++) {
    static const vec2 axis[4] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
    int next = quadrant + i;
    if (next * right > angle + sweep + margin)
      return;
    if (next * right >= angle - margin)
      add_point(region, vec2_add(region->centre, vec2_scale(axis[next % 4], radius)));
  }
}

static struct metal_region about_centre(const struct outline *outline, const struct sweep *sweep) {
  const struct curve *curve = sweep->swath.guide;
  struct range turn = sweep->swath.turn;
  struct outline placed = *outline;
  vec2 middle = {0, 0};
  double outer2 = 0, spread2 = 0;
  for (int i = 0; i < 4; i++) {
    placed.corner[i].x += curve->radius;
    middle = vec2_add(middle, vec2_scale(placed.corner[i], 0.25));
    outer2 = fmax(outer2, vec2_dot(placed.corner[i], placed.corner[i]));
  }
  for (int i = 0; i < 4; i++) {
    vec2 off = vec2_sub(placed.corner[i], middle);
    spread2 = fmax(spread2, vec2_dot(off, off));
  }
  struct metal_region region = {.is_ring = true,
                                .centre = curve->centre,
                                .inner = nearest_to_centre(&placed),
                                .outer = sqrt(outer2),
                                .lo = {HUGE_VAL, HUGE_VAL},
                                .hi = {-HUGE_VAL, -HUGE_VAL}};
  vec2 from = turned(middle, sweep->from), to = turned(middle, sweep->to);
  arc_box(&region, from, to, turn.hi - turn.lo);
  double spread = sqrt(spread2);
  region.lo = vec2_sub(region.lo, (vec2){spread, spread});
  region.hi = vec2_add(region.hi, (vec2){spread, spread});
  region.within = vec2_add(curve->centre, from);
  return region;
}

/* Angles that are no numbers, or too large for a direction, sweep no region. */
static bool has_directions(const struct sweep *sweep) {
  const struct swath *swath = &sweep->swath;
  double cosines = sweep->inner.cos + sweep->from.cos + sweep->to.cos;
  return isfinite(cosines + swath->turn.lo + swath->turn.hi + swath->guide->radius +
                  swath->guide->rho);
}

static bool stays_off(const struct sweep *sweep, const struct part *part, const struct metal *metal,
                      double distance) {
  const struct swath *swath = &sweep->swath;
  if (!has_directions(sweep))
    return false;
  struct outline outline = outline_make(part, sweep);
  struct metal_region region = swath->guide->is_line ? carried(&outline, swath->guide, swath->turn)
                                                     : about_centre(&outline, sweep);
  double radius = part->kind == CLEAR_BODY ? part->radius : 0;
  double z_lo = fmin(part->from.z, part->to.z), z_hi = fmax(part->from.z, part->to.z);
  return metal_stays_off(metal, &region, radius + outline.stray, swath->z.lo + z_lo,
                         swath->z.hi + z_hi, distance);
}

/* Neither level nor upright. */
static bool is_slanted(const struct part *part) {
  vec3 a = part->from, b = part->to;
  return part->kind != CLEAR_BODY && a.z != b.z && (a.x != b.x || a.y != b.y);
}

/* A slanted axis fills little of its own outline times its own heights: it is taken in parts, by
 * halves, as long as these settle. */
static bool slices_stay_off(const struct sweep *sweep, const struct part *part,
                            const struct metal *metal, double distance, int halvings) {
  if (stays_off(sweep, part, metal, distance))
    return true;
  if (halvings == 0 || !is_slanted(part))
    return false;
  struct part near = *part, far = *part;
  near.to = far.from = (vec3){(part->from.x + part->to.x) / 2, (part->from.y + part->to.y) / 2,
                              (part->from.z + part->to.z) / 2};
  return slices_stay_off(sweep, &near, metal, distance, halvings - 1) &&
         slices_stay_off(sweep, &far, metal, distance, halvings - 1);
}

enum { HALVINGS = 3 };

bool sweep_stays_off(const struct sweep *sweep, const struct part *part, const struct metal *metal,
                     double distance) {
  return slices_stay_off(sweep, part, metal, distance, HALVINGS);
}
