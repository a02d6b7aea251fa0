/* square.h - the square of H's distance from something over a stretch of time. */
#ifndef CHECK_SQUARE_H
#define CHECK_SQUARE_H

#include "borelay/path.h"

struct seen_stretch { /* ta <= t <= tb */
  const struct piece *piece;
  double ta, tb;
  const struct jet_stretch *jets; /* over it */
};

static inline struct pose jet_place(const struct jet *jet) {
  return (struct pose){jet->d[AXIS_X][0], jet->d[AXIS_Y][0], jet->d[AXIS_Z][0],
                       jet->d[AXIS_HEAD][0]};
}

typedef double square_at(const void *context, struct pose h);

/* Holds every value of S = sum of away_i^2 over the stretch, away_i being ranges over it with
 * S' = 2 sum of away_i h_i'.  square: S at one place, handed the context. */
struct range square_range(const struct seen_stretch *stretch, const struct range away[3],
                          square_at *square, const void *context);

#endif
