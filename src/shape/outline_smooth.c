/* From edges whose tangents agree within a tenth of a degree to segments whose tangents agree.
 *
 * The head turns with the normal, so a contour must not break its tangent at all; yet points that
 * are written with some digits never give exact tangents.  What is drawn stays where it is but
 * beside such a joint: an arc there leaves with its neighbour's tangent and joins its own circle
 * again after a blend of BLEND mm, over two arcs of nearly its radius.  Between two lines a round
 * of a large radius takes the corner away.
 *
 * How far the wall moves, for an angle d at the joint: over the first half of a blend the heading
 * is d off and falls evenly to -d/2, over the second it rises to 0; its integral is largest where
 * it is 0, after a third of the blend: d BLEND / 6.  A round that begins t before the corner passes
 * it at t d / 4, with t = d ROUND / 2.  For 0.1 deg that is 0.0029 and 0.0038 mm; terms of second
 * order are 1e-3 of it (tests/shape/test_outline.c measures). */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/outline.h"

/* Tangents that agree to this (rad) are left alone. */
#define SAME_TANGENT 1e-9
#define BLEND        10.0 /* length of a blend, mm; a third of its arc at most */
#define ROUND        1e4  /* radius of a round between lines, mm; it begins within their thirds */
/* No larger radius than this (mm): a centre so far away would cost digits. */
#define STRAIGHTEST 1e7

static vec2 unit(double angle) {
  struct sincos d = num_sincos(angle);
  return (vec2){d.cos, d.sin};
}

static double angle_between(vec2 a, vec2 b) {
  return num_atan2(vec2_cross(a, b), vec2_dot(a, b));
}

/* -- arcs through given points --------------------------------------------------------- */

/* The arc that leaves `from` with a heading and reaches from + way. */
static struct contour_seg arc_through(vec2 from, vec2 way, double heading) {
  double half = angle_between(unit(heading), way), chord = num_hypot(way.x, way.y);
  int turn = half < 0 ? -1 : 1;
  double radius = chord / (2 * fabs(num_sincos(half).sin));
  vec2 tangent = unit(heading), left = {-tangent.y, tangent.x};
  return (struct contour_seg){.length = 2 * fabs(half) * radius,
                              .start = from,
                              .normal0 = heading - NUM_PI / 2,
                              .turn = turn,
                              .radius = radius,
                              .centre = vec2_add(from, vec2_scale(left, turn * radius)),
                              .tangent = tangent};
}

/* Two arcs from `from` to from + way that begin and end with the headings given and have one in
 * common where they meet, on the perpendicular through the middle of the way.  With the angles b
 * from the first heading to the way and e from the way to the last, and chords that lean l and -l
 * off the way, the heading in the middle is b + 2 l by the first arc and -e - 2 l by the second: l
 * = -(b + e)/4. */
static void two_arcs(vec2 from, vec2 way, double heading0, double heading1,
                     struct contour_seg arcs[2]) {
  vec2 first = unit(heading0), last = unit(heading1), left = {-way.y, way.x};
  double b = angle_between(first, way), e = angle_between(way, last);
  struct sincos lean = num_sincos(-(b + e) / 4);
  vec2 half = vec2_add(vec2_scale(way, 0.5), vec2_scale(left, 0.5 * lean.sin / lean.cos));
  double middle = heading0 + b + (b - e) / 2;
  arcs[0] = arc_through(from, half, heading0);
  arcs[1] = arc_through(vec2_add(from, half), vec2_sub(way, half), middle);
}

/* -- places on an arc ------------------------------------------------------------------ */

static double heading_at(const struct outline_edge *edge, double u) {
  return edge->heading0 + (edge->turn == 0 ? 0 : edge->turn * u / edge->radius);
}

/* From u to v along an edge. */
static vec2 edge_chord(const struct outline_edge *edge, double u, double v) {
  double heading = heading_at(edge, (u + v) / 2), length = v - u;
  if (edge->turn != 0)
    length = 2 * edge->radius * num_sincos((v - u) / (2 * edge->radius)).sin;
  return vec2_scale(unit(heading), length);
}

/* -- joints ---------------------------------------------------------------------------- */

/* What stands at the ends of an edge in place of its own. */
struct ends {
  double cut[2]; /* mm taken off at the start and at the end */
  bool blended[2];
  struct contour_seg blend[2][2]; /* of an arc */
};

/* Blends an arc's start (end 0) or end (1) into the heading that its neighbour has there.  Shorter
 * where an arc of it would come out all but straight. */
static void arc_blend(const struct outline_edge *edge, int end, double heading, struct ends *ends) {
  double cut = fmin(BLEND, edge->length / 3);
  struct contour_seg *blend = ends->blend[end];
  for (int i = 0; i < 8; i++, cut *= 0.8) {
    double u = end == 0 ? 0 : edge->length - cut, v = end == 0 ? cut : edge->length;
    vec2 from = vec2_add(edge->from, edge_chord(edge, 0, u)), way = edge_chord(edge, u, v);
    two_arcs(from, way, end == 0 ? heading : heading_at(edge, u),
             end == 0 ? heading_at(edge, v) : heading, blend);
    ends->cut[end] = cut;
    if (fmax(blend[0].radius, blend[1].radius) <= STRAIGHTEST)
      break;
  }
  ends->blended[end] = true;
  for (int i = 0; i < 2; i++)
    blend[i].part = edge->part;
}

/* Joint between two neighbours. */
static void joint_smooth(const struct outline_edge *before, struct ends *before_ends,
                         const struct outline_edge *after, struct ends *after_ends) {
  double angle = fabs(outline_angle(after->heading0 - before->heading1));
  if (angle <= SAME_TANGENT)
    return;
  if (before->turn == 0 && after->turn == 0) {
    double room = fmin(before->length, after->length) / 3;
    before_ends->cut[1] = after_ends->cut[0] = fmin(ROUND * angle / 2, room);
  } else if (after->turn == 0 || (before->turn != 0 && before->length > after->length)) {
    arc_blend(before, 1, after->heading0, before_ends);
  } else {
    arc_blend(after, 0, before->heading1, after_ends);
  }
}

/* -- the list -------------------------------------------------------------------------- */

struct seg_list {
  struct contour_seg *segs;
  size_t count;
};

/* The normal's angle goes on without wrapping from where the segment before ended. */
static void seg_add(struct seg_list *list, struct contour_seg seg) {
  if (list->count > 0) {
    const struct contour_seg *last = &list->segs[list->count - 1];
    double end = last->normal0 + (last->turn == 0 ? 0 : last->turn * last->length / last->radius);
    seg.normal0 += NUM_TURN * floor((end - seg.normal0) / NUM_TURN + 0.5);
  }
  list->segs[list->count++] = seg;
}

/* The round between two lines, where they were cut for one. */
static void round_add(struct seg_list *list, const struct outline_edge *before,
                      const struct outline_edge *after, double cut) {
  vec2 in = vec2_scale(unit(before->heading1), cut), out = vec2_scale(unit(after->heading0), cut);
  struct contour_seg seg =
      arc_through(vec2_sub(after->from, in), vec2_add(in, out), before->heading1);
  seg.part = after->part;
  seg_add(list, seg);
}

static void edge_add(struct seg_list *list, const struct outline_edge *edge,
                     const struct ends *ends) {
  for (int i = 0; i < 2 && ends->blended[0]; i++)
    seg_add(list, ends->blend[0][i]);
  struct contour_seg rest = outline_edge_seg(edge);
  rest.start = vec2_add(edge->from, edge_chord(edge, 0, ends->cut[0]));
  rest.length = edge->length - ends->cut[0] - ends->cut[1];
  rest.normal0 = heading_at(edge, ends->cut[0]) - NUM_PI / 2;
  rest.tangent = unit(heading_at(edge, ends->cut[0]));
  seg_add(list, rest);
  for (int i = 0; i < 2 && ends->blended[1]; i++)
    seg_add(list, ends->blend[1][i]);
}

size_t outline_smooth(struct arena *arena, const struct outline *outline, struct contour_seg *segs,
                      double *zero) {
  size_t n = outline->count;
  struct ends *ends = arena_alloc(arena, n, sizeof *ends);
  struct seg_list list = {segs, 0};
  for (size_t i = 0; i < n; i++) {
    size_t before = i == 0 ? n - 1 : i - 1;
    joint_smooth(&outline->edges[before], &ends[before], &outline->edges[i], &ends[i]);
  }
  *zero = 0;
  for (size_t i = 0; i < n; i++) {
    const struct outline_edge *edge = &outline->edges[i];
    if (edge->turn == 0 && ends[i].cut[0] > 0) {
      round_add(&list, &outline->edges[i == 0 ? n - 1 : i - 1], edge, ends[i].cut[0]);
      if (i == 0)
        *zero = segs[0].length / 2;
    }
    edge_add(&list, edge, &ends[i]);
  }
  return list.count;
}
