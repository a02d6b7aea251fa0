/* edge.h - the lines and arcs that cross-sections are made of, and distances to them.
 *
 * An arc never leaves one quadrant of its circle, so it rises or falls all the way, its box is that
 * of its ends, and two half planes tell whether a direction lies in it. */
#ifndef METAL_EDGE_H
#define METAL_EDGE_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/metal.h"
#include "metal/boxes.h"

struct edge {
  vec2 a, b;       /* its ends, as walked; neighbours in a loop share them bit by bit */
  vec2 centre;     /* arcs */
  double radius;   /* 0: a line */
  int turn;        /* arcs: +1 walked anticlockwise about the centre, -1 clockwise */
  bool right_half; /* arcs: lies where x >= centre.x */
  struct box box;
  enum metal_kind kind; /* and index: whose edge it is, for messages */
  size_t index;
};

struct edge edge_line(vec2 a, vec2 b);
/* a and b in one quadrant about the centre. */
struct edge edge_arc(vec2 a, vec2 b, vec2 centre, double radius, int turn);

vec2 edge_middle(const struct edge *edge);
vec2 edge_direction(const struct edge *edge, vec2 at); /* as walked; any length > 0 */
/* Whether the ray from an arc's centre through p meets the arc. */
bool edge_faces(const struct edge *edge, vec2 p);
double edge_distance_point(const struct edge *edge, vec2 p);
vec2 edge_nearest(const struct edge *edge, vec2 p);
/* Whether the edge is plainly farther than `reach` from all of a box. */
bool edge_is_off_box(const struct edge *edge, struct box box, double reach);
/* From the straight segment p q (which may be a point); 0 where they meet. */
double edge_distance_segment(const struct edge *edge, vec2 p, vec2 q);

/* Points that two edges have in common, at most 2, and ends of the one that lie on the other
 * within tolerance, at most 4; together they cut both wherever they begin or cease to run together.
 */
enum { EDGE_MEET_MOST = 6 };
size_t edge_meet(const struct edge *e, const struct edge *f, double tolerance,
                 vec2 points[EDGE_MEET_MOST]);

#endif
