/* locus.h - the tip's way over a stretch of a piece, against the contour's offset, in closed form.
 */
#ifndef CHECK_LOCUS_H
#define CHECK_LOCUS_H

#include "borelay/contour.h"
#include "borelay/path.h"

/* The tip over qa <= q <= qb: centre + radius (cos, sin)(turn(q) + lag), or a straight from a to b,
 * or one place; it leaves that by no more than `slack`. */
enum tip_kind { TIP_PLACE, TIP_LINE, TIP_ARC };
struct tip_way {
  enum tip_kind kind;
  double qa, qb;
  vec2 a, b; /* where it is straight or stands: its ends */
  vec2 centre;
  double radius, lag; /* radius > 0 */
  struct range angle; /* of turn + lag */
  double slack;
};
struct tip_way tip_way_make(const struct curve *curve, double reach, double qa, double qb);

/* Upper bound on the distance of every place of the way from one segment of the contour offset by
 * `offset`; INFINITY where one is straight and the other an arc. */
double tip_way_distance(const struct tip_way *way, const struct contour_seg *seg, double offset);

/* q inside the way at which the tip passes a joint of the offset contour, the one nearest to the
 * middle; false: none passed within `near` mm. */
bool tip_way_cut(const struct tip_way *way, const struct curve *curve,
                 const struct contour *contour, double offset, double near, double *q);

/* Head angle less the normal's on a segment that the way follows: a cubic in q, taken into
 * (-pi, pi] in the middle of the way. */
struct cubic tip_way_tilt(const struct tip_way *way, const struct curve *curve,
                          const struct contour_seg *seg);

/* s on the shape below the tip, while the way follows a segment of the contour offset by `offset`:
 * a cubic in q. */
struct cubic tip_way_place(const struct tip_way *way, const struct curve *curve,
                           const struct contour_seg *seg, double offset);

#endif
