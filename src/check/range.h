/* range.h - working-range: H inside the cell's shell and outside its boxes.
 *
 * One judge for both, with one result: whichever leaves H the least room decides. */
#ifndef CHECK_RANGE_H
#define CHECK_RANGE_H

#include "check/finding.h"

/* How far (mm) H is beyond what is allowed; negative: room that is left. */
enum range_part { RANGE_OUTER, RANGE_HOLE, RANGE_BOXES, RANGE_PARTS };

/* A piece, or many half sways, that may hold more than was seen before and behind. */
struct range_held {
  struct swings swings; /* count 0: its centre is the piece */
  double bounds[RANGE_PARTS];
};
enum { RANGE_HELD_MOST = 16 };

struct range_judge {
  const struct scene *scene;
  struct search phase_search; /* of one phase, RANGE_PARTS quantities */
  struct range_held *held;    /* RANGE_HELD_MOST at most */
  size_t held_count;
  const struct phase *phase;
  double accel, velocity_step; /* of H in that phase, largest */
  bool has_last;
  struct jet last; /* at the end of the piece before */
  double worst;    /* of all parts and phases, with the chords' share */
  enum range_part worst_part;
  struct peak peak;
};

struct range_judge range_begin(const struct scene *scene);
/* Pieces in order of time, without gap; whole: over all of the piece. */
void range_piece(struct range_judge *judge, const struct phase *phase, const struct piece *piece,
                 const struct jet_stretch *whole);
/* Instead of the pieces of many half sways. */
void range_swings(struct range_judge *judge, const struct phase *phase,
                  const struct swings *swings);
struct check_result range_end(struct range_judge *judge);

#endif
