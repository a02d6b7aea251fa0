/* laid.h - where on the unrolled wall a layer's beads lie, as strips. */
#ifndef COMPARE_LAID_H
#define COMPARE_LAID_H

#include "borelay/motion.h"

/* A bead along the wall between two places: its centre line's depth changes evenly with s. */
struct laid_strip {
  double s_from, s_to;         /* 0 <= s_from < s_to <= perimeter */
  double depth_from, depth_to; /* at s_from, s_to */
  double half_width;           /* mm, to both sides in depth */
};
struct laid {
  struct laid_strip *strips;
  size_t count;
};

/* Metal lies where the pool was with the wire on, half a bead's width to either side of the lap's
 * centre line.  overlay, layer: of the plan, from 0. */
struct laid laid_make(struct arena *arena, const struct motion *motion, size_t overlay,
                      size_t layer);

#endif
