/* square.h - the square of H's distance from something over a stretch of time. */
#ifndef CHECK_SQUARE_H
#define CHECK_SQUARE_H

#include "borelay/path.h"

struct seen_stretch { /* ta <= t <= tb */
  double ta, tb;
  const struct jet_stretch *jets; /* over it */
};

/* A stretch of a centre line, about which z sways by `amplitude` mm at most.  What falls or rises
 * with z alone is bounded on the centre line carried up, carried down, or held at one height. */
struct swung {
  const struct jet_stretch *centre;
  double duration, amplitude;
};
/* The centre line carried up by so much. */
struct jet_stretch swung_carried(const struct swung *swung, double up);
/* Seen from above it is the centre line; its height, within all those passed, comes nearest to z:
 * above or below all of them as the nearest way is, or z itself. */
struct jet_stretch swung_nearest(const struct swung *swung, double z);

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
