/* Where a straight crosses a line (two equations in two unknowns) or an arc (the foot of the
 * perpendicular from its centre, half a chord to either side). */
#include "shape/crossing.h"

#include <math.h>

#include "borelay/num.h"

static double clamped(const struct contour_seg *seg, double u) {
  return fmin(fmax(u, 0), seg->length);
}

static size_t line_crossings(const struct contour_seg *seg, vec2 from, vec2 direction,
                             struct seg_crossing out[2]) {
  double slant = vec2_cross(seg->tangent, direction);
  if (slant == 0)
    return 0;
  vec2 back = vec2_sub(from, seg->start);
  double u = vec2_cross(back, direction) / slant;
  if (!(u >= -JOINT_SLACK && u <= seg->length + JOINT_SLACK))
    return 0;
  out[0] = (struct seg_crossing){clamped(seg, u), vec2_cross(back, seg->tangent) / slant};
  return 1;
}

double arc_position(const struct contour_seg *seg, vec2 arm) {
  struct sincos n0 = num_sincos(seg->normal0);
  vec2 zero = {seg->turn * n0.cos, seg->turn * n0.sin};
  double angle = seg->turn * num_atan2(vec2_cross(zero, arm), vec2_dot(zero, arm));
  double u = angle * seg->radius;
  return u < -JOINT_SLACK ? u + NUM_TURN * seg->radius : u;
}

static size_t arc_crossings(const struct contour_seg *seg, vec2 from, vec2 direction,
                            struct seg_crossing out[2]) {
  vec2 to_centre = vec2_sub(seg->centre, from);
  double middle = vec2_dot(to_centre, direction), aside = vec2_cross(to_centre, direction);
  double square = seg->radius * seg->radius - aside * aside;
  size_t count = 0;
  for (int side = -1; side <= 1 && square >= 0; side += 2) {
    double range = middle + side * sqrt(square);
    double u = arc_position(seg, vec2_sub(vec2_scale(direction, range), to_centre));
    if (u <= seg->length + JOINT_SLACK)
      out[count++] = (struct seg_crossing){clamped(seg, u), range};
  }
  return count;
}

size_t seg_crossings(const struct contour_seg *seg, vec2 from, vec2 direction,
                     struct seg_crossing out[2]) {
  return seg->turn == 0 ? line_crossings(seg, from, direction, out)
                        : arc_crossings(seg, from, direction, out);
}
