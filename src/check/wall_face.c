/* wall_face.c - along the wall from one line or arc of the metal's boundary to the next.
 *
 * A boundary belongs to the metal.  A stretch of the wall's arc of radius R about C that lies
 * between the rays from C to both ends of an arc of radius r about c is nowhere farther from it
 * than |R - r| + 2 |C - c|: moved by c - C it lies about the same centre, off by no more than |C -
 * c|, and the rays turn by as much.  A straight stretch between the feet of a line's ends is
 * nowhere farther from it than these ends are from the wall.  The contour inside the wall is a
 * ring, or a straight (borelay/metal.h). */
#include "check/wall_face.h"

#include <math.h>

#include "borelay/num.h"

static vec3 at_height(vec2 p, double z) {
  return (vec3){p.x, p.y, z};
}

/* How far ahead of the place s, along the wall, the boundary's end lies; off: how far beside. */
static double ahead_of(const struct contour_seg *seg, struct contour_point here, vec2 end,
                       double *off) {
  if (seg->turn == 0) {
    vec2 from = vec2_sub(end, here.at);
    *off = fabs(vec2_cross(seg->tangent, from));
    return vec2_dot(seg->tangent, from);
  }
  vec2 spoke = vec2_sub(here.at, seg->centre), to = vec2_sub(end, seg->centre);
  *off = fabs(num_hypot(to.x, to.y) - seg->radius);
  return seg->turn * seg->radius * num_atan2(vec2_cross(spoke, to), vec2_dot(spoke, to));
}

static bool is_same_kind(const struct contour_seg *seg, const struct metal_line *line) {
  if (seg->turn == 0 || line->radius == 0)
    return seg->turn == 0 && line->radius == 0;
  vec2 apart = vec2_sub(seg->centre, line->centre);
  return fabs(seg->radius - line->radius) + 2 * num_hypot(apart.x, apart.y) <= WALL_ON_FACE / 2;
}

/* The place up to which the wall from s on lies on one line or arc of the boundary; s: it does not.
 */
static double on_face_until(const struct metal *metal, const struct contour *contour,
                            const struct contour_seg *seg, double s, double z) {
  static const double STEP = 1e-3; /* mm: beyond a joint of the boundary */
  double end = seg->s0 + seg->length, probe = fmin(s + STEP, s + (end - s) / 2);
  struct metal_line line;
  struct contour_point here = contour_at(contour, probe, 0);
  if (!metal_line_beside(metal, at_height(here.at, z), WALL_ON_FACE, &line) ||
      !is_same_kind(seg, &line))
    return s;
  double off_a, off_b;
  double a = ahead_of(seg, here, line.a, &off_a), b = ahead_of(seg, here, line.b, &off_b);
  double behind = fmin(a, b), ahead = fmax(a, b);
  if (fmax(off_a, off_b) > WALL_ON_FACE / 2 || probe + behind > s + WALL_ON_FACE / 4)
    return s;
  return probe + ahead;
}

static void box_take(struct metal_region *region, vec2 p) {
  region->lo = (vec2){fmin(region->lo.x, p.x), fmin(region->lo.y, p.y)};
  region->hi = (vec2){fmax(region->hi.x, p.x), fmax(region->hi.y, p.y)};
}

/* From s to `until`, no more than a quarter of a circle. */
static struct metal_region inside_of(const struct contour *contour, const struct contour_seg *seg,
                                     double inward, double s, double until) {
  vec2 from = contour_at(contour, s, inward).at, to = contour_at(contour, until, inward).at;
  vec2 middle = contour_at(contour, s + (until - s) / 2, inward).at;
  struct metal_region region = {
      .is_ring = seg->turn != 0, .within = middle, .lo = from, .hi = from};
  box_take(&region, to);
  box_take(&region, middle);
  if (!region.is_ring) {
    region.corner[0] = region.corner[3] = from;
    region.corner[1] = region.corner[2] = to;
    region.centre = middle;
    region.outer = (until - s) / 2 + WALL_ON_FACE;
    return region;
  }
  region.centre = seg->centre;
  region.inner = region.outer = fabs(seg->radius - seg->turn * inward);
  /* An arc of length L lies within L / 2 of the middle of its ends. */
  double reach = (until - s) * (region.inner / seg->radius) / 2;
  vec2 chord = vec2_scale(vec2_add(from, to), 0.5);
  box_take(&region, (vec2){chord.x - reach, chord.y - reach});
  box_take(&region, (vec2){chord.x + reach, chord.y + reach});
  return region;
}

bool wall_on_face(const struct metal *metal, const struct contour *contour,
                  const struct contour_seg *seg, double inward, double z) {
  double end = seg->s0 + seg->length;
  for (double s = seg->s0; s < end;) {
    double until = on_face_until(metal, contour, seg, s, z);
    if (until <= s)
      return false;
    until = until > end - WALL_ON_FACE / 4 ? end : until;
    struct metal_region inside = inside_of(contour, seg, inward, s, until);
    if (!metal_stays_off(metal, &inside, 0, z, z, inward - WALL_ON_FACE))
      return false;
    s = until;
  }
  return true;
}
