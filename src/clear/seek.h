/* seek.h - one part over one stretch of motion. */
#ifndef CLEAR_SEEK_H
#define CLEAR_SEEK_H

#include "clear/chord.h"
#include "clear/part.h"

struct judge {
  const struct part *part;
  const struct metal *metal;
  const struct piece *piece;
  double cost; /* of the controller's chords over the stretch, mm */
  struct clear_result *worst;
};

/* What is known of a part's distance where the last stretch ended: it, or a bound below it. */
struct known {
  bool any, exact;
  double distance;
};

struct stretch { /* of a piece, and what serves all parts */
  double ta, tb;
  struct motion_bound bound;
  struct chord chord;
};

/* Whether the part stays farther off than the worst so far, told without a look. */
bool seek_settles(const struct judge *judge, const struct stretch *stretch, struct known *known);
/* Lowers the worst where the part comes nearer. */
void seek_stretch(const struct judge *judge, const struct stretch *stretch, struct known *known);

#endif
