/* range.h - working-range: H inside the cell's shell and outside its boxes.
 *
 * One judge for both, with one result: whichever leaves H the least room decides. */
#ifndef CHECK_RANGE_H
#define CHECK_RANGE_H

#include "check/finding.h"

/* How far (mm) H is beyond what is allowed; negative: room that is left. */
enum range_part { RANGE_OUTER, RANGE_HOLE, RANGE_BOXES, RANGE_PARTS };

struct range_judge {
  const struct scene *scene;
  struct search phase_search; /* of one phase, RANGE_PARTS quantities */
  const struct phase *phase;
  double accel, velocity_step; /* of H in that phase, largest */
  bool has_last;
  struct piece last;
  double worst; /* of all parts and phases, with the chords' share */
  enum range_part worst_part;
  struct peak peak;
};

struct range_judge range_begin(const struct scene *scene);
void range_piece(struct range_judge *judge, const struct phase *phase, const struct piece *piece);
struct check_result range_end(struct range_judge *judge);

#endif
