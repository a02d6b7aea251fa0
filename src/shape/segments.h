/* segments.h - a contour from a plain list of lines and arcs. */
#ifndef SHAPE_SEGMENTS_H
#define SHAPE_SEGMENTS_H

#include "borelay/contour.h"

/* Segments shorter than this (mm) are left out: a corner that takes half of a side leaves a
 * line of rounding only. */
#define SHORTEST_SEGMENT 1e-9

/* Makes a contour of segments that follow one another anticlockwise and close.  Of each it
 * reads length, start, normal0 (counted on from the first's without wrapping), turn, radius,
 * centre, tangent.  s = 0 is `zero` mm after the start of the first (0 <= zero <= its length).
 * The shape's centre, turned and taught are left for the caller. */
struct contour *contour_from_segments(struct arena *arena, const struct contour_seg *segs,
                                      size_t count, double zero);

/* Point of a segment u mm after its start, moved by offset against the normal. */
struct contour_point seg_point(const struct contour_seg *seg, double u, double offset);
/* Length that a mm of the segment has under an offset: 1 on a line, (R - turn offset) / R. */
double seg_stretch(const struct contour_seg *seg, double offset);

/* The segment as it lies under an offset, s0 as it was; its radius, where it has one, must stay
 * above 0. */
struct contour_seg seg_offset(const struct contour_seg *seg, double offset);

/* The joint after segment `joint` that joins worst: gap between end and next start (mm), angle
 * between the normals there (rad), not wrapped, so that a lost turn shows. */
struct joint_fault {
  size_t joint;
  double gap, angle;
};
/* true where every joint closes within the slacks, the one from the last to the first being a
 * whole turn on; otherwise *fault holds the first that does not. */
bool contour_joints_close(const struct contour *contour, double gap_slack, double angle_slack,
                          struct joint_fault *fault);

#endif
