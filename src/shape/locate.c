/* Where a ray from the centre meets the contour, and how far a point lies from it. */
#include <math.h>

#include "borelay/num.h"
#include "shape/crossing.h"
#include "shape/segments.h"

/* A ray that only touches a bump goes on in the bore, and which side of it the touch falls is a
 * matter of rounding: only a wall that it runs into counts. */
#define GRAZING 1e-9

double contour_s_at_angle(const struct contour *contour, double angle) {
  struct sincos direction = num_sincos(angle);
  vec2 ray = {direction.cos, direction.sin};
  double nearest = (double)INFINITY, s = -1;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    struct seg_crossing crossings[2];
    size_t count = seg_crossings(seg, contour->centre, ray, crossings);
    for (size_t k = 0; k < count; k++) {
      vec2 normal = seg_point(seg, crossings[k].u, 0).normal;
      if (crossings[k].range < 0 || crossings[k].range >= nearest ||
          vec2_dot(normal, ray) < GRAZING)
        continue;
      nearest = crossings[k].range;
      s = seg->s0 + crossings[k].u;
    }
  }
  return s > contour->perimeter - JOINT_SLACK ? 0 : s;
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
