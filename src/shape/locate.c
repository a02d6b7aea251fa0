/* Where a ray from the centre meets the contour, and how far a point lies from it. */
#include <math.h>

#include "borelay/num.h"
#include "shape/segments.h"

/* A crossing this little (mm) outside a segment counts as on its end, and an s this near to the
 * whole perimeter as 0: rays that meet a joint must meet one of the two. */
#define JOINT_SLACK 1e-9

struct crossing {
  double range; /* along the ray, mm */
  double s;
};

static void crossing_take(struct crossing *nearest, double range, double s) {
  if (range >= 0 && range < nearest->range)
    *nearest = (struct crossing){range, s};
}

static void line_crossing(const struct contour_seg *seg, vec2 from, vec2 ray,
                          struct crossing *nearest) {
  double slant = vec2_cross(seg->tangent, ray);
  if (slant == 0)
    return;
  vec2 back = vec2_sub(from, seg->start);
  double u = vec2_cross(back, ray) / slant;
  if (u >= -JOINT_SLACK && u <= seg->length + JOINT_SLACK)
    crossing_take(nearest, vec2_cross(back, seg->tangent) / slant,
                  seg->s0 + fmin(fmax(u, 0), seg->length));
}

/* Distance along an arc to the foot of a direction from its centre; less than 0 or more than
 * its length where the direction misses it. */
static double arc_position(const struct contour_seg *seg, vec2 arm) {
  struct sincos n0 = num_sincos(seg->normal0);
  vec2 zero = {seg->turn * n0.cos, seg->turn * n0.sin};
  double angle = seg->turn * num_atan2(vec2_cross(zero, arm), vec2_dot(zero, arm));
  double u = angle * seg->radius;
  return u < -JOINT_SLACK ? u + NUM_TURN * seg->radius : u;
}

static void arc_crossing(const struct contour_seg *seg, vec2 from, vec2 ray,
                         struct crossing *nearest) {
  vec2 to_centre = vec2_sub(seg->centre, from);
  double middle = vec2_dot(to_centre, ray), aside = vec2_cross(to_centre, ray);
  double square = seg->radius * seg->radius - aside * aside;
  if (square < 0)
    return;
  for (int side = -1; side <= 1; side += 2) {
    double range = middle + side * sqrt(square);
    double u = arc_position(seg, vec2_sub(vec2_scale(ray, range), to_centre));
    if (u <= seg->length + JOINT_SLACK)
      crossing_take(nearest, range, seg->s0 + fmin(fmax(u, 0), seg->length));
  }
}

double contour_s_at_angle(const struct contour *contour, double angle) {
  struct sincos direction = num_sincos(angle);
  vec2 ray = {direction.cos, direction.sin};
  struct crossing nearest = {(double)INFINITY, 0};
  for (size_t i = 0; i < contour->count; i++) {
    if (contour->segs[i].turn == 0)
      line_crossing(&contour->segs[i], contour->centre, ray, &nearest);
    else
      arc_crossing(&contour->segs[i], contour->centre, ray, &nearest);
  }
  return nearest.s > contour->perimeter - JOINT_SLACK ? 0 : nearest.s;
}

/* Signed distance to a point of the contour with that normal (any length). */
static double point_distance(vec2 point, vec2 at, vec2 normal) {
  vec2 away = vec2_sub(point, at);
  double distance = num_hypot(away.x, away.y);
  return vec2_dot(away, normal) < 0 ? -distance : distance;
}

static double line_distance(const struct contour_seg *seg, vec2 end, vec2 point) {
  vec2 away = vec2_sub(point, seg->start), normal = {seg->tangent.y, -seg->tangent.x};
  double u = vec2_dot(away, seg->tangent);
  if (u < 0)
    return point_distance(point, seg->start, normal);
  if (u > seg->length)
    return point_distance(point, end, normal);
  return vec2_dot(away, normal);
}

/* Is the direction `arm` from an arc's centre between those of its ends? */
static bool arc_covers(const struct contour_seg *seg, vec2 first, vec2 last, vec2 arm) {
  if (seg->length <= NUM_PI * seg->radius)
    return seg->turn * vec2_cross(first, arm) >= 0 && seg->turn * vec2_cross(arm, last) >= 0;
  return !(seg->turn * vec2_cross(last, arm) > 0 && seg->turn * vec2_cross(arm, first) > 0);
}

static double arc_distance(const struct contour_seg *seg, vec2 end, vec2 point) {
  vec2 arm = vec2_sub(point, seg->centre);
  vec2 first = vec2_sub(seg->start, seg->centre), last = vec2_sub(end, seg->centre);
  if (arc_covers(seg, first, last, arm))
    return seg->turn * (num_hypot(arm.x, arm.y) - seg->radius);
  double to_first = point_distance(point, seg->start, vec2_scale(first, seg->turn));
  double to_last = point_distance(point, end, vec2_scale(last, seg->turn));
  return fabs(to_first) <= fabs(to_last) ? to_first : to_last;
}

/* The sign is that of the nearest segment: tangents run on at every joint, so the nearest point
 * sees the given one straight along its normal. */
double contour_distance(const struct contour *contour, vec2 point) {
  double nearest = (double)INFINITY;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    vec2 end = contour->segs[i + 1 == contour->count ? 0 : i + 1].start;
    double distance =
        seg->turn == 0 ? line_distance(seg, end, point) : arc_distance(seg, end, point);
    if (fabs(distance) < fabs(nearest))
      nearest = distance;
  }
  return nearest;
}
