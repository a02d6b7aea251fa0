/* The place of a contour that is nearest to a point. */
#include <math.h>

#include "borelay/num.h"
#include "shape/segments.h"

/* mm from the segment's start to its place nearest to the point. */
static double line_foot(const struct contour_seg *seg, vec2 point) {
  double u = vec2_dot(vec2_sub(point, seg->start), seg->tangent);
  return fmin(fmax(u, 0), seg->length);
}

static double arc_foot(const struct contour_seg *seg, vec2 point) {
  vec2 first = vec2_sub(seg->start, seg->centre), arm = vec2_sub(point, seg->centre);
  double turned = seg->turn * num_atan2(vec2_cross(first, arm), vec2_dot(first, arm));
  if (turned < 0)
    turned += NUM_TURN;
  double u = turned * seg->radius, round = NUM_TURN * seg->radius;
  if (u <= seg->length)
    return u;
  return u - seg->length < round - u ? seg->length : 0; /* the end that is nearer about the arc */
}

double contour_foot(const struct contour *contour, vec2 point, double *distance) {
  double s = 0, nearest = (double)INFINITY;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double u = seg->turn == 0 ? line_foot(seg, point) : arc_foot(seg, point);
    vec2 away = vec2_sub(point, seg_point(seg, u, 0).at);
    double length = num_hypot(away.x, away.y);
    if (length < nearest) {
      nearest = length;
      s = seg->s0 + u;
    }
  }
  *distance = contour_distance(contour, point);
  return s >= contour->perimeter ? 0 : s;
}
