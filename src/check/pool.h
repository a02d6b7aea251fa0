/* pool.h - travel-speed: the pool's mean speed over any 0.5 mm of its path, in cruise. */
#ifndef CHECK_POOL_H
#define CHECK_POOL_H

#include "check/finding.h"
#include "check/locus.h"

/* Of the parts of the pool's path that lie no more than a window behind, those from whose end a
 * window may gain least, or most: first the one that does, then those that do once it lies too far
 * behind. */
struct pool_mark {
  double
      gain;   /* to the part's end at most, or at least, less all that was gained up to there; mm */
  double end; /* of the part, mm of the nominal path */
};
struct pool_front {
  struct pool_mark *marks;
  size_t first, count, room; /* marks[first] .. */
};

struct pool_judge {
  const struct scene *scene;
  struct pool_front least, most;
  struct range gained;       /* by all parts without a gap up to here, mm */
  double way;                /* their nominal length */
  const struct phase *phase; /* the one at hand, and of its run: */
  struct run_info info;
  bool changes;      /* the values asked for */
  double wanted;     /* travel_speed; where it changes, at the last piece's start */
  double end;        /* where the last part ended, s */
  struct peak worst; /* deviation from travel_speed as a share of it */
  double mean;       /* mm/s, at that peak */
};

struct pool_judge pool_begin(const struct scene *scene);
/* A way of a piece that follows a segment of the contour; offset: of the pool's path. */
void pool_way(struct pool_judge *judge, const struct phase *phase, const struct piece *piece,
              const struct tip_way *way, const struct contour_seg *seg);
struct check_result pool_end(const struct pool_judge *judge);

#endif
