/* meet.c - where two edges meet.
 *
 * Points are found from the supporting lines and circles and kept when both edges reach them
 * within the tolerance.  A point too many does no harm: it only cuts an edge once more. */
#include <math.h>

#include "borelay/num.h"
#include "metal/edge.h"

static size_t line_line(const struct edge *e, const struct edge *f, vec2 *points) {
  vec2 u = vec2_sub(e->b, e->a), v = vec2_sub(f->b, f->a), to = vec2_sub(f->a, e->a);
  double across = vec2_cross(u, v);
  if (across == 0)
    return 0;
  points[0] = vec2_add(e->a, vec2_scale(u, vec2_cross(to, v) / across));
  return 1;
}

/* Circle and the line through a along u; a tangent that rounding keeps apart gives its foot. */
static size_t line_circle(vec2 a, vec2 u, vec2 centre, double radius, double tolerance,
                          vec2 *points) {
  double length = num_hypot(u.x, u.y);
  if (!(length > 0))
    return 0;
  u = vec2_scale(u, 1 / length);
  vec2 to = vec2_sub(centre, a);
  double apart = vec2_cross(u, to), along = vec2_dot(to, u);
  if (fabs(apart) > radius + tolerance)
    return 0;
  double half2 = (radius - apart) * (radius + apart), half = half2 > 0 ? sqrt(half2) : 0;
  points[0] = vec2_add(a, vec2_scale(u, along - half));
  points[1] = vec2_add(a, vec2_scale(u, along + half));
  return 2;
}

static size_t circle_circle(const struct edge *e, const struct edge *f, double tolerance,
                            vec2 *points) {
  vec2 to = vec2_sub(f->centre, e->centre);
  double d = num_hypot(to.x, to.y);
  if (d <= tolerance) /* one circle within the other, or the same one: the ends do the cutting */
    return 0;
  double along = 0.5 * (d + (e->radius - f->radius) * (e->radius + f->radius) / d);
  vec2 foot = vec2_add(e->centre, vec2_scale(to, along / d));
  return line_circle(foot, (vec2){-to.y, to.x}, e->centre, e->radius, tolerance, points);
}

size_t edge_meet(const struct edge *e, const struct edge *f, double tolerance,
                 vec2 points[EDGE_MEET_MOST]) {
  vec2 found[2], ends[4] = {e->a, e->b, f->a, f->b};
  size_t count = 0, found_count;
  if (e->radius == 0 && f->radius == 0)
    found_count = line_line(e, f, found);
  else if (e->radius == 0)
    found_count = line_circle(e->a, vec2_sub(e->b, e->a), f->centre, f->radius, tolerance, found);
  else if (f->radius == 0)
    found_count = line_circle(f->a, vec2_sub(f->b, f->a), e->centre, e->radius, tolerance, found);
  else
    found_count = circle_circle(e, f, tolerance, found);
  for (size_t i = 0; i < found_count; i++)
    if (edge_distance_point(e, found[i]) <= tolerance &&
        edge_distance_point(f, found[i]) <= tolerance)
      points[count++] = found[i];
  for (int i = 0; i < 4; i++)
    if (edge_distance_point(i < 2 ? f : e, ends[i]) <= tolerance)
      points[count++] = ends[i];
  return count;
}
