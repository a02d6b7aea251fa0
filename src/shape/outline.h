/* outline.h - from the lines and bends of an outline to its contour, and the steps between.
 *
 * Everything up to the contour is in the part frame.  Edges follow one another as drawn, or
 * reversed; each step tells what is wrong with the shape and leaves the rest to be told, too. */
#ifndef SHAPE_OUTLINE_H
#define SHAPE_OUTLINE_H

#include "borelay/contour.h"

/* Ends this near (mm) to where the outline closes are on it; no part is shorter, either. */
#define OUTLINE_SAME_POINT 0.01
/* Largest angle between tangents at a joint, rad: 0.1 deg, and a hair for rounding. */
#define OUTLINE_JOINT_ANGLE (0.1 * (NUM_PI / 180) * (1 + 1e-9))

/* A line, or an arc of less than half a turn. */
struct outline_edge {
  vec2 from, to;
  double heading0, heading1; /* of the tangent at both ends, rad; whole turns do not matter */
  double length, radius;     /* radius 0 on a line */
  int turn;                  /* +1 bends left as the edge runs, -1 right, 0 line */
  vec2 centre;
  const struct outline_part *part; /* NULL: the straight that closes the outline by itself */
  span place;
  bool is_broken; /* its fault was told: its ends have no tangents */
};

struct outline {
  const struct shape *shape;
  struct outline_edge *edges; /* room for one more than there are parts */
  size_t count;
};

/* Has it bends enough to come round? */
bool outline_bends_suffice(const struct shape *shape, struct diag_list *diags);
/* Edges of the shape's parts, the last of which ends on `from` where it lies within
 * OUTLINE_SAME_POINT.  false: some part is impossible. */
bool outline_edges(struct arena *arena, const struct shape *shape, struct diag_list *diags,
                   struct outline *outline);
/* Adds the straight that closes the outline where that runs on tangent at both ends.  false: the
 * outline stays open. */
bool outline_close(struct outline *outline, struct diag_list *diags);
/* Do all parts run on tangent within OUTLINE_JOINT_ANGLE? */
bool outline_joints(const struct outline *outline, bool is_closed, struct diag_list *diags);
/* Does the outline neither cross nor touch itself?  Edges must be sound and joined. */
bool outline_is_simple(const struct outline *outline, struct diag_list *diags);

/* Signed area, positive where it was drawn anticlockwise, and its centroid; closed forms. */
double outline_area(const struct outline *outline, vec2 *centroid);
/* The same outline, run through the other way from the same `from`. */
void outline_reverse(struct outline *outline);

/* Segments with tangents that agree to 1e-9 rad, of edges that run anticlockwise; at most
 * OUTLINE_SEGS_PER_EDGE of them an edge.  The wall moves by 0.005 mm at most (docs/language.md).
 * *zero: s = 0 lies there, mm after the start of the first segment. */
enum { OUTLINE_SEGS_PER_EDGE = 6 };
size_t outline_smooth(struct arena *arena, const struct outline *outline, struct contour_seg *segs,
                      double *zero);

/* The whole way; NULL: told. */
struct contour *contour_outline(struct arena *arena, const struct shape *shape,
                                const struct placement *placement, struct diag_list *diags);

/* An edge as a segment of a contour. */
struct contour_seg outline_edge_seg(const struct outline_edge *edge);
/* "line" or "bend", for messages. */
const char *outline_edge_word(const struct outline_edge *edge);
/* An angle reduced to (-pi, pi]. */
double outline_angle(double angle);

#endif
