/* head.h - where the head is, in the cell and on the part: at a row (block.h) or between two. */
#ifndef VERIFY_HEAD_H
#define VERIFY_HEAD_H

#include "borelay/num.h"
#include "verify/wall.h"

/* Half of the last decimal. */
#define ROUND_MM  5e-7
#define ROUND_RAD (5e-7 * 3.14159265358979323846 / 180)

struct head {
  vec3 h;              /* cell frame */
  double angle;        /* rad, cell frame */
  vec3 tip;            /* part frame */
  struct sincos torch; /* its direction, part frame */
};
/* A share of the way from a to b, straight in x, y, z and angle; the tip follows. */
struct head head_between(const struct head *a, const struct head *b, double share,
                         const struct cell *cell, const struct lie *lie);

#endif
