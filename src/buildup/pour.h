/* pour.h - the metal of one welding run along its way.
 *
 * Places are lambda: mm along the layer's own wall (the contour under the layer's offset) from the
 * run's start, in the direction of travel.  Lambda is negative before the start; beyond the last
 * leg it goes on level. */
#ifndef BUILDUP_POUR_H
#define BUILDUP_POUR_H

#include "borelay/motion.h"

struct arena;

struct pour {
  const struct contour *contour;
  const struct plan_layer *layer;
  double s_start, round; /* contour s; lambda of one whole turn */
  double half, width;    /* half of the pool's length along the lap; the bead's width across it */
  const struct run_stretch *stretches;
  size_t stretch_count;
  const double *leg_lambda, *leg_length; /* at which each leg begins, and an entry for the end;
                                            length: of the pool's path up to there */
  const struct plan_leg *legs;
  size_t leg_count;
  double rate; /* mm3 of wire per s */
  /* Where sectors change the wire's speed: mm fed at the beginning of each stretch, and for what is
   * fed from there on; NULL where it is even. */
  const double *fed;
  const struct motion *motion;
  const struct phase *weld;
  double across, retract; /* of the wire, mm2; mm that only bring it back */
  double on, off;         /* metal comes between these times, s; none where on >= off */
  double begin, end;      /* lambda between which it comes */
  double shallow, deep;   /* depths of the way between them */
  double volume, wire;    /* mm3: of metal, and of wire used */
};

struct pour pour_make(struct arena *arena, const struct motion *motion, const struct phase *weld);

/* Area of the bead at lambda: what comes while the pool's middle is within half its length of
 * lambda, over that length.  near: the leg that was found last, at first 0. */
double pour_area(const struct pour *pour, double lambda, size_t *near);
double pour_depth(const struct pour *pour, double lambda, size_t *near);
/* Lambda at contour place s, 0 <= lambda < round; the run is there again every `round`. */
double pour_lambda(const struct pour *pour, double s);

#endif
