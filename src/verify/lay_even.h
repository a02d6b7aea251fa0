/* lay_even.h - a stretch of a layer's path on which its depth and the pool's way have one form
 * each: no border of a lap, a step or an edge lies in it. */
#ifndef VERIFY_LAY_EVEN_H
#define VERIFY_LAY_EVEN_H

#include "verify/block.h"
#include "verify/lay.h"

struct lay_even {
  /* pool's way: of the whole turns before, of the edges before, and on the edge */
  double dir, start, perimeter, turns, way_turns, way_before, way_start;
  double edge_s0, edge_length, edge_ratio;
  struct range rest; /* of s in its turn, for which the edge is the one */
  /* depth: base, and where it sinks a share of it by the pool's way from a to b */
  double base, sink, a, b, slope;
  struct range sigma; /* from lo (included) to hi */
  double unit, nth;   /* laps begin at multiples of it; INFINITY: one lap */
  bool is_step;
  double knee[4], knee_slope; /* places at which the slope changes; INFINITY: none */
};
/* About sigma. */
struct lay_even lay_even_at(const struct lay *lay, size_t path, double sigma);
/* The pool's ways at rising or falling places, bit for bit lay_pool_way()'s; how many of them, from
 * the first on, lie within the stretch. */
size_t lay_even_ways(const struct lay_even *even, const double *sigma, size_t count, double *way,
                     double *scratch);
/* Depths at these places and how far the nearest knee is, bit for bit lay_depth()'s. */
void lay_even_depths(const struct lay_even *even, const double *sigma, const double *way,
                     size_t count, double *depth, double *knee);

#endif
