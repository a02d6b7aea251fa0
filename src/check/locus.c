/* locus.c - circles against circles, lines against lines.
 *
 * The tip is H + reach e(head); with H from path.h that is
 *     on an arc   centre + radius e(turn) + (reach - rho) e(head)
 *     on a line   centre + turn direction + (reach - rho) e(head).
 * With rho = reach the last term is nothing.  Where head and turn differ by a constant, the first
 * is a circle again, of radius |radius + (reach - rho) e(head - turn)|; what head - turn varies by
 * goes into slack.
 *
 * A straight way leaves a straight segment farthest at one of its ends (the distance to a convex
 * set is convex).  A way on a circle of radius r about C leaves the circle of radius R about c by
 * no more than |r - R| + |C - c|, and the segment's arc by what its ends lie outside it besides. */
#include "check/locus.h"

#include <math.h>

static const double STANDS = 1e-9; /* mm: a way no longer than this is one place */

static vec2 polar(double radius, double angle) {
  struct sincos e = num_sincos(angle);
  return (vec2){radius * e.cos, radius * e.sin};
}

static struct range range_over(struct cubic p, double qa, double qb) {
  struct range r;
  cubic_range(p, qa, qb, &r.lo, &r.hi);
  return r;
}

static struct cubic difference(struct cubic a, struct cubic b) {
  return (struct cubic){a.c0 - b.c0, a.c1 - b.c1, a.c2 - b.c2, a.c3 - b.c3};
}

static void line_make(struct tip_way *way, const struct curve *curve, double arm) {
  struct range turn = range_over(curve->turn, way->qa, way->qb);
  struct range head = range_over(curve->head, way->qa, way->qb);
  vec2 shift = arm == 0 ? (vec2){0, 0} : polar(arm, (head.lo + head.hi) / 2);
  vec2 from = vec2_add(curve->centre, shift);
  way->kind = turn.hi - turn.lo <= STANDS ? TIP_PLACE : TIP_LINE;
  way->a = vec2_add(from, vec2_scale(curve->direction, turn.lo));
  way->b = vec2_add(from, vec2_scale(curve->direction, turn.hi));
  way->slack = fabs(arm) * (head.hi - head.lo) / 2;
  if (way->kind == TIP_PLACE)
    way->slack += turn.hi - turn.lo;
}

static void arc_make(struct tip_way *way, const struct curve *curve, double arm) {
  struct range turn = range_over(curve->turn, way->qa, way->qb);
  struct range lead = range_over(difference(curve->head, curve->turn), way->qa, way->qb);
  bool one_turn = lead.lo == 0 && lead.hi == 0; /* head and tip turn as one */
  vec2 spoke = arm == 0 || one_turn ? (vec2){arm, 0} : polar(arm, (lead.lo + lead.hi) / 2);
  spoke.x += curve->radius;
  way->centre = curve->centre;
  way->radius = num_hypot(spoke.x, spoke.y);
  way->lag = spoke.y == 0 && spoke.x > 0 ? 0 : num_atan2(spoke.y, spoke.x);
  way->angle = (struct range){turn.lo + way->lag, turn.hi + way->lag};
  way->slack = fabs(arm) * (lead.hi - lead.lo) / 2;
  way->kind = TIP_ARC;
  if (way->radius * (turn.hi - turn.lo) > STANDS)
    return;
  way->kind = TIP_PLACE;
  way->a = vec2_add(way->centre, polar(way->radius, way->angle.lo));
  way->b = vec2_add(way->centre, polar(way->radius, way->angle.hi));
  way->slack += way->radius * (turn.hi - turn.lo);
}

struct tip_way tip_way_make(const struct curve *curve, double reach, double qa, double qb) {
  struct tip_way way = {.qa = qa, .qb = qb};
  if (curve->is_line)
    line_make(&way, curve, reach - curve->rho);
  else
    arc_make(&way, curve, reach - curve->rho);
  return way;
}

/* First place of a segment of the offset contour: to the right of the tangent lies the metal. */
static vec2 seg_start(const struct contour_seg *seg, double offset) {
  return (vec2){seg->start.x - offset * seg->tangent.y, seg->start.y + offset * seg->tangent.x};
}

static double line_distance(vec2 p, const struct contour_seg *seg, double offset) {
  vec2 from = vec2_sub(p, seg_start(seg, offset));
  double along = vec2_dot(from, seg->tangent);
  double beyond = fmax(0, fmax(-along, along - seg->length));
  return num_hypot(vec2_cross(seg->tangent, from), beyond);
}

/* Where an arc of the contour lies about its centre; `angle` is that of the place, not the normal.
 */
static struct range seg_angles(const struct contour_seg *seg) {
  double sweep = seg->length / seg->radius;
  if (seg->turn > 0)
    return (struct range){seg->normal0, seg->normal0 + sweep};
  return (struct range){seg->normal0 + NUM_PI - sweep, seg->normal0 + NUM_PI};
}

/* By how much an angular range lies outside the segment's, whole turns aside; rad. */
static double angle_beyond(struct range angle, const struct contour_seg *seg) {
  struct range own = seg_angles(seg);
  if (own.hi - own.lo >= NUM_TURN - 1e-9)
    return 0;
  double apart = (angle.lo + angle.hi - own.lo - own.hi) / 2;
  double shift = NUM_TURN * floor(apart / NUM_TURN + 0.5);
  return fmax(0, fmax(own.lo - (angle.lo - shift), angle.hi - shift - own.hi));
}

static double seg_radius(const struct contour_seg *seg, double offset) {
  return seg->radius - seg->turn * offset;
}

static double place_from_arc(vec2 p, const struct contour_seg *seg, double offset) {
  vec2 from = vec2_sub(p, seg->centre);
  double angle = num_atan2(from.y, from.x), radius = seg_radius(seg, offset);
  double beyond = angle_beyond((struct range){angle, angle}, seg);
  return fabs(num_hypot(from.x, from.y) - radius) + radius * beyond;
}

double tip_way_distance(const struct tip_way *way, const struct contour_seg *seg, double offset) {
  bool arc = seg->turn != 0;
  if (way->kind == TIP_PLACE)
    return way->slack +
           (arc ? place_from_arc(way->a, seg, offset) : line_distance(way->a, seg, offset));
  if (arc != (way->kind == TIP_ARC))
    return HUGE_VAL;
  if (!arc)
    return way->slack +
           fmax(line_distance(way->a, seg, offset), line_distance(way->b, seg, offset));
  double radius = seg_radius(seg, offset);
  vec2 apart = vec2_sub(way->centre, seg->centre);
  return way->slack + fabs(way->radius - radius) + num_hypot(apart.x, apart.y) +
         radius * angle_beyond(way->angle, seg);
}

/* q at which turn(q) = value; turn rises or falls all along. */
static double q_at_turn(const struct curve *curve, double qa, double qb, double value) {
  struct cubic p = curve->turn;
  if (cubic_at(p, qb) >= cubic_at(p, qa))
    return cubic_solve_rising(p, qa, qb, value);
  struct cubic down = {-p.c0, -p.c1, -p.c2, -p.c3};
  return cubic_solve_rising(down, qa, qb, -value);
}

/* turn at which the way passes `joint`, the one nearest to the middle of its range. */
static bool turn_at_joint(const struct tip_way *way, vec2 joint, double near, struct range turn,
                          const struct curve *curve, double *value) {
  double mid = (turn.lo + turn.hi) / 2;
  if (way->kind == TIP_LINE) {
    vec2 from = vec2_sub(joint, way->a);
    *value = turn.lo + vec2_dot(from, curve->direction);
    return fabs(vec2_cross(curve->direction, from)) <= near;
  }
  vec2 from = vec2_sub(joint, way->centre);
  double angle = num_atan2(from.y, from.x) - way->lag;
  *value = angle + NUM_TURN * floor((mid - angle) / NUM_TURN + 0.5);
  return fabs(num_hypot(from.x, from.y) - way->radius) <= near;
}

bool tip_way_cut(const struct tip_way *way, const struct curve *curve,
                 const struct contour *contour, double offset, double near, double *q) {
  if (way->kind == TIP_PLACE)
    return false;
  struct range turn = range_over(curve->turn, way->qa, way->qb);
  double mid = (turn.lo + turn.hi) / 2, best = HUGE_VAL, value, at = 0;
  double edge = STANDS / (way->kind == TIP_LINE ? 1 : way->radius);
  for (size_t i = 0; i < contour->count; i++) {
    vec2 joint = seg_start(&contour->segs[i], offset);
    if (!turn_at_joint(way, joint, near, turn, curve, &value))
      continue;
    if (value > turn.lo + edge && value < turn.hi - edge && fabs(value - mid) < best) {
      best = fabs(value - mid);
      at = value;
    }
  }
  if (isinf(best))
    return false;
  *q = q_at_turn(curve, way->qa, way->qb, at);
  return *q > way->qa && *q < way->qb;
}

static struct cubic wrapped(struct cubic p, double q) {
  p.c0 -= NUM_TURN * floor(cubic_at(p, q) / NUM_TURN + 0.5);
  return p;
}

struct cubic tip_way_tilt(const struct tip_way *way, const struct curve *curve,
                          const struct contour_seg *seg) {
  struct cubic tilt = curve->head;
  double inward = seg->turn < 0 ? NUM_PI : 0; /* on a convex arc the normal points to the centre */
  if (seg->turn == 0) {
    tilt.c0 -= seg->normal0;
  } else if (way->kind == TIP_PLACE) {
    vec2 from = vec2_sub(way->a, seg->centre);
    tilt.c0 -= num_atan2(from.y, from.x) + inward;
  } else {
    tilt = difference(tilt, curve->turn);
    tilt.c0 -= way->lag + inward;
  }
  return wrapped(tilt, (way->qa + way->qb) / 2);
}

static struct cubic scaled(struct cubic p, double by) {
  return (struct cubic){p.c0 * by, p.c1 * by, p.c2 * by, p.c3 * by};
}

static struct cubic place_on_line(const struct tip_way *way, const struct curve *curve,
                                  const struct contour_seg *seg, double offset) {
  vec2 from = vec2_sub(way->a, seg_start(seg, offset));
  double first = seg->s0 + vec2_dot(from, seg->tangent);
  if (way->kind == TIP_PLACE)
    return (struct cubic){first, 0, 0, 0};
  double along = vec2_dot(curve->direction, seg->tangent);
  struct cubic place = scaled(curve->turn, along);
  place.c0 += first - along * range_over(curve->turn, way->qa, way->qb).lo;
  return place;
}

/* Whole turns are taken off so that the way's middle comes to lie nearest to the segment's. */
static struct cubic place_on_arc(const struct tip_way *way, const struct curve *curve,
                                 const struct contour_seg *seg) {
  struct cubic angle = curve->turn;
  angle.c0 += way->lag;
  double mid = (way->angle.lo + way->angle.hi) / 2;
  if (way->kind == TIP_PLACE) {
    vec2 from = vec2_sub(way->a, seg->centre);
    mid = num_atan2(from.y, from.x);
    angle = (struct cubic){mid, 0, 0, 0};
  }
  struct range own = seg_angles(seg);
  double apart = mid - (own.lo + own.hi) / 2;
  angle.c0 -= NUM_TURN * floor(apart / NUM_TURN + 0.5);
  angle.c0 -= seg->turn > 0 ? own.lo : own.hi;
  struct cubic place = scaled(angle, seg->turn * seg->radius);
  place.c0 += seg->s0;
  return place;
}

struct cubic tip_way_place(const struct tip_way *way, const struct curve *curve,
                           const struct contour_seg *seg, double offset) {
  return seg->turn == 0 ? place_on_line(way, curve, seg, offset) : place_on_arc(way, curve, seg);
}
