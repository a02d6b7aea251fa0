/* even.h - pieces on which turn, head and z are cubics in time and arcs are gone round at an even
 * rate: what they do over a stretch is known exactly.
 *
 * That is most of a job: travel at speed, straight moves, standing.  Not so where a run starts or
 * stops on an arc, or where a joint is rounded (uneven.h). */
#ifndef PATH_EVEN_H
#define PATH_EVEN_H

#include "borelay/path.h"

struct timed {
  struct cubic turn, head, z; /* in t - t0 */
};
/* false: one of them is no cubic. */
bool timed_make(const struct piece *piece, struct timed *timed);
/* Are arcs gone round at an even rate? */
bool timed_is_even(const struct piece *piece, const struct timed *timed);

/* Of a cubic over xa <= x <= xb: itself and its derivatives 1 .. 3 at either end, and exact ranges
 * of them. */
struct spread {
  double from[4], to[4];
  struct range all[4];
};
void spread_over(struct cubic p, double xa, double xb, struct spread *s);
void spread_put(struct jet_stretch *stretch, int axis, const struct spread *s);

void even_stretch(const struct piece *piece, const struct timed *timed, double ta, double tb,
                  struct jet_stretch *stretch);
void even_motion_bound(const struct piece *piece, const struct timed *timed, double ta, double tb,
                       struct motion_bound *bound);

#endif
