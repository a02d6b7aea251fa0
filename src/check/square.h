/* square.h - the square of a distance over a stretch of time. */
#ifndef CHECK_SQUARE_H
#define CHECK_SQUARE_H

#include "borelay/job.h"

/* Holds every value of S = sum of away_i^2 over a stretch of `duration` s, in whose beginning,
 * middle and end S is known; S' = 2 sum of away_i speed_i, the factors as ranges over the stretch.
 */
struct range square_range(const struct range away[3], const struct range speed[3],
                          const double known[3], double duration);

#endif
