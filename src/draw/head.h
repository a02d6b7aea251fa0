/* head.h - the head as it is drawn: origin on its axis, torch along +x. */
#ifndef DRAW_HEAD_H
#define DRAW_HEAD_H

#include "draw/pen.h"

/* Outline of a capsule between two points, path data. */
void capsule_put(struct drawing *drawing, vec2 a, vec2 b, double radius);
/* Seen from above; z: of H, face_z: of the datum face (what lies above it is drawn paler). */
void head_put_plan(struct drawing *drawing, const struct cell *cell, double z, double face_z);
/* Seen from the side, x = out, y = -up from H. */
void head_put_side(struct drawing *drawing, const struct cell *cell);

#endif
