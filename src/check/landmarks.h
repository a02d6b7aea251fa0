/* landmarks.h - places on the way of the walk, so that a place can be found again without walking
 * there from the phase's start.
 *
 * Every `stride` pieces of a phase one is kept; when there is no more room every other one goes and
 * the stride doubles, so that memory does not grow with laps. */
#ifndef CHECK_LANDMARKS_H
#define CHECK_LANDMARKS_H

#include "borelay/motion.h"

enum { LANDMARKS_MOST = 256, LANDMARK_STRIDE = 8 };

struct landmarks {
  struct landmark {
    const struct phase *phase;
    struct piece_mark mark;
    size_t piece; /* of the phase, from 0 */
  } items[LANDMARKS_MOST];
  size_t count, stride;
};

void landmarks_begin(struct landmarks *landmarks);
/* The walk is about to make piece `index` of the phase. */
void landmark_pass(struct landmarks *landmarks, const struct phase *phase, size_t index,
                   const struct piece_mark *mark);
/* The last one of the phase that lies before t; NULL: none. */
const struct piece_mark *landmark_before(const struct landmarks *landmarks,
                                         const struct phase *phase, double t);

#endif
