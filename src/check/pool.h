/* pool.h - travel-speed: the pool's mean speed over any 0.5 mm of its path, in cruise. */
#ifndef CHECK_POOL_H
#define CHECK_POOL_H

#include "check/finding.h"
#include "check/locus.h"

struct pool_part { /* a stretch of the pool's path, by what it gains on a pool of constant speed, mm
                    */
  double length;   /* nominal */
  struct range whole, head, tail; /* all of it; its beginning to any place; any place to its end */
  struct range inside;            /* any place to any later place */
};

struct pool_judge {
  const struct scene *scene;
  struct pool_part *parts; /* those within 0.5 mm behind the last one, at least */
  size_t count, room;
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
