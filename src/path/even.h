/* even.h - pieces on which turn, head and z are cubics in time and arcs are gone round at an even
 * rate: what they do over a stretch is known exactly.
 *
 * That is most of a job: travel at speed, straight moves, standing.  Not so where a run starts or
 * stops on an arc, or where a joint is rounded. */
#ifndef PATH_EVEN_H
#define PATH_EVEN_H

#include "borelay/path.h"

struct even {
  struct cubic turn, head, z; /* in t - t0 */
};
/* false: the piece is none of them. */
bool even_make(const struct piece *piece, struct even *even);

void even_stretch(const struct piece *piece, const struct even *even, double ta, double tb,
                  struct jet_stretch *stretch);
void even_motion_bound(const struct piece *piece, const struct even *even, double ta, double tb,
                       struct motion_bound *bound);

#endif
