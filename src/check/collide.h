/* collide.h - clearance and torch-clearance. */
#ifndef CHECK_COLLIDE_H
#define CHECK_COLLIDE_H

#include "borelay/clear.h"
#include "check/finding.h"
#include "check/standing.h"

struct near_miss { /* the least room of one kind of part */
  struct clear_result least;
  const struct phase *phase;
  double limit; /* of that phase */
};

struct collide_judge {
  const struct scene *scene;
  struct standing standing;
  struct metal_kept solid_kept, electrode_kept;
  const struct metal *solid, *electrode;
  struct piece *pieces; /* of one phase, a batch at a time */
  size_t count, room, judged;
  double arc_length;             /* the least that matters to the electrode now */
  const struct plan_layer *left; /* layer of the last run */
  /* torch and tip: only the one with less room is right, unless each is wanted */
  struct near_miss body, torch, tip;
  bool wants_each;
};

struct collide_judge collide_begin(const struct scene *scene);
/* Looks ahead to where the first weld begins, so that before it nothing is looked for that is
 * farther off.  Only for a judge to whom that weld will be shown. */
void collide_look_ahead(struct collide_judge *judge);
/* All pieces of a phase: begin, piece, .., end. */
void collide_phase_begin(struct collide_judge *judge, const struct phase *phase);
void collide_piece(struct collide_judge *judge, const struct phase *phase,
                   const struct piece *piece);
/* Instead of the pieces of many half sways, with pieces like theirs before them and behind. */
void collide_swings(struct collide_judge *judge, const struct phase *phase,
                    const struct swings *swings);
void collide_phase_end(struct collide_judge *judge, const struct phase *phase);
/* Of torch body, guards and electrode the one that has the least room to its own limit. */
const struct near_miss *collide_torch_miss(const struct collide_judge *judge);
bool near_miss_holds(const struct near_miss *miss);
void collide_release(struct collide_judge *judge); /* the metals */
/* clearance, torch-clearance; releases the metals, while the misses stay. */
void collide_end(struct collide_judge *judge, struct check_result results[2]);

#endif
