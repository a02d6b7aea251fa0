/* retry.h - the job with one thing changed: planned and moved anew, and judged in one overlay. */
#ifndef CHECK_RETRY_H
#define CHECK_RETRY_H

#include "check/collide.h"

/* Both live in the arena, and as long as the job.  NULL: refused, which nobody is told.
 *
 * Every layer of the overlay (of the sequence, from 0) whose depths were `was` gets `band`. */
const struct motion *retry_band(struct arena *arena, const struct job *job, size_t overlay,
                                struct range was, struct range band);
const struct motion *retry_retract(struct arena *arena, const struct job *job, size_t overlay,
                                   double retract);

/* What is worst of the bodies, or of torch, guards and electrode, in the overlay and on the ways to
 * it and from it. */
struct near_miss retry_miss(const struct scene *scene, size_t overlay, bool bodies);

#endif
