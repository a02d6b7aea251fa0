/* rim.h - closed curves of lines and arcs, cell frame: contours, clad faces, paths. */
#ifndef DRAW_RIM_H
#define DRAW_RIM_H

#include "borelay/plan.h"
#include "draw/pen.h"

struct rim_edge {
  vec2 a, b;
  vec2 centre;   /* arcs */
  double radius; /* 0: a line */
  int turn;      /* arcs: +1 anticlockwise from a to b, -1 clockwise; a quarter turn at most */
};
struct rim {
  struct rim_edge *edges;
  size_t count;
};

/* The contour moved inward by offset. */
struct rim rim_of_contour(struct arena *arena, const struct contour *contour, double offset);
/* The face of `layers` layers of clad, true or nominal; it steps where the wall's bend changes. */
struct rim rim_of_clad(struct arena *arena, const struct plan_overlay *overlay, size_t layers,
                       bool nominal);
/* As path data, y negated. */
void rim_put(struct drawing *drawing, const struct rim *rim);
struct draw_box rim_box(const struct rim *rim); /* y negated */

/* Where the level line from + out * along (unit) crosses the rim: rising figures of out, an even
 * count; between the first and the second lies the inside, and so on. */
size_t rim_cut(struct arena *arena, const struct rim *rim, vec2 from, vec2 along, double **outs);

#endif
