/* A contour from a list of segments: shapes bring the list, everything after reads only the
 * contour, so that a new kind of shape is a new list and nothing else. */
#include "shape/segments.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

struct contour_point seg_point(const struct contour_seg *seg, double u, double offset) {
  if (seg->turn == 0) {
    vec2 normal = {seg->tangent.y, -seg->tangent.x};
    vec2 at = vec2_add(seg->start, vec2_scale(seg->tangent, u));
    return (struct contour_point){vec2_sub(at, vec2_scale(normal, offset)), normal, seg->normal0};
  }
  double angle = seg->normal0 + seg->turn * u / seg->radius;
  struct sincos direction = num_sincos(angle);
  vec2 normal = {direction.cos, direction.sin};
  /* Concave: the normal leads away from the centre; convex: toward it. */
  vec2 arm = vec2_scale(normal, seg->turn * seg->radius - offset);
  return (struct contour_point){vec2_add(seg->centre, arm), normal, angle};
}

double seg_stretch(const struct contour_seg *seg, double offset) {
  return seg->turn == 0 ? 1 : (seg->radius - seg->turn * offset) / seg->radius;
}

struct contour_seg seg_offset(const struct contour_seg *seg, double offset) {
  struct contour_seg moved = *seg;
  moved.start = seg_point(seg, 0, offset).at;
  moved.length = seg->length * seg_stretch(seg, offset);
  moved.radius = seg->radius - seg->turn * offset;
  return moved;
}

/* The part of a segment from u on, length mm of it. */
static struct contour_seg seg_part(const struct contour_seg *seg, double u, double length) {
  struct contour_seg part = *seg;
  if (u > 0) {
    struct contour_point point = seg_point(seg, u, 0);
    part.start = point.at;
    part.normal0 = point.angle;
    if (seg->turn != 0)
      part.tangent = (vec2){-point.normal.y, point.normal.x};
  }
  part.length = length;
  return part;
}

static void contour_add(struct contour *contour, struct contour_seg seg) {
  if (seg.length <= SHORTEST_SEGMENT)
    return;
  seg.s0 = contour->perimeter;
  contour->segs[contour->count++] = seg;
  contour->perimeter += seg.length;
}

struct contour *contour_from_segments(struct arena *arena, const struct contour_seg *segs,
                                      size_t count, double zero) {
  struct contour *contour = arena_alloc(arena, 1, sizeof *contour);
  contour->segs = arena_alloc(arena, count + 1, sizeof *contour->segs);
  contour_add(contour, seg_part(&segs[0], zero, segs[0].length - zero));
  for (size_t i = 1; i < count; i++)
    contour_add(contour, segs[i]);
  struct contour_seg last = seg_part(&segs[0], 0, zero);
  last.normal0 += NUM_TURN;
  contour_add(contour, last);
  return contour;
}

bool contour_joints_close(const struct contour *contour, double gap_slack, double angle_slack,
                          struct joint_fault *fault) {
  for (size_t i = 0; i < contour->count; i++) {
    bool is_last = i + 1 == contour->count;
    const struct contour_seg *next = &contour->segs[is_last ? 0 : i + 1];
    struct contour_point end = seg_point(&contour->segs[i], contour->segs[i].length, 0);
    double gap = num_hypot(end.at.x - next->start.x, end.at.y - next->start.y);
    double angle = next->normal0 + (is_last ? NUM_TURN : 0) - end.angle;
    *fault = (struct joint_fault){i, gap, angle};
    if (!(gap <= gap_slack && fabs(angle) <= angle_slack))
      return false;
  }
  return true;
}
