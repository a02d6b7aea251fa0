/* seek.h - one part over one stretch of motion. */
#ifndef CLEAR_SEEK_H
#define CLEAR_SEEK_H

#include "clear/chord.h"
#include "clear/part.h"
#include "clear/sweep.h"

/* What is known of a part's distance where the last stretch ended: it, or a bound below it. */
struct known {
  bool any, exact;
  double distance;
};

struct judge {
  const struct part *part;
  const struct metal *metal;
  const struct passage *passage;
  struct piece by_place; /* the passage's curve; its time is q */
  double cost;           /* of the controller's chords over the stretch, mm */
  struct clear_result *worst;
  struct known *known;
};

struct stretch { /* of a passage, and what serves all parts */
  double qa, qb;
  bool unswept;              /* it is known that its sweep settles nothing */
  struct motion_bound bound; /* by place */
  struct chord chord;
};

/* Whether the part stays farther off than the worst so far all through the swath, whose chords cost
 * no more than `cost`; told without a look. */
bool seek_is_passed(const struct swath *swath, const struct part *part, const struct metal *metal,
                    double cost, const struct clear_result *worst);
/* The same, more closely. */
bool seek_is_swept(const struct sweep *sweep, const struct part *part, const struct metal *metal,
                   double cost, const struct clear_result *worst);
/* The part counts as in metal from the passage's beginning on: for want of numbers. */
void seek_give_up(const struct judge *judge);
/* Lowers the worst where the part comes nearer. */
void seek_stretch(struct judge *judge, const struct stretch *stretch);

#endif
