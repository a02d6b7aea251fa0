/* tip_course.h - the way of the tip, seen from the part, as straight lines that it stays near to.
 *
 * Points in the part frame (mm): how the part lies in the cell makes no difference. */
#ifndef COMPARE_TIP_COURSE_H
#define COMPARE_TIP_COURSE_H

#include "borelay/motion.h"

/* The tip is on the way between `from` and `to` from ta to tb, and never farther than TIP_CHORD
 * from the place that is as far along the line as the time is along ta .. tb. */
struct tip_line {
  vec3 from, to;
  double ta, tb; /* s, of the stream */
  const struct phase *phase;
};
struct tip_course {
  struct tip_line *lines; /* in order of time */
  size_t count;
};
#define TIP_CHORD 0.001 /* mm */

/* The stretches with the arc on, or those with the arc off. */
struct tip_course tip_course_make(struct arena *arena, const struct motion *motion, bool arc);
/* The place on the line, 0 <= share <= 1. */
vec3 tip_line_at(const struct tip_line *line, double share);

#endif
