/* wall_face.h - a segment of a wall that lies on the envelope's face, told in closed form. */
#ifndef CHECK_WALL_FACE_H
#define CHECK_WALL_FACE_H

#include "borelay/metal.h"

/* Nearer than this (mm) is on the face: what is left is rounding. */
#define WALL_ON_FACE 1e-8

/* Whether all of a segment is proved to lie within WALL_ON_FACE of metal at the height z, and what
 * lies `inward` of it to be free of metal nearer than `inward` less WALL_ON_FACE.  false: it is not
 * plain. */
bool wall_on_face(const struct metal *metal, const struct contour *contour,
                  const struct contour_seg *seg, double inward, double z);

#endif
