/* link.h - how near the moves just built come to metal, as the checks of clearance will see it. */
#ifndef BORELAY_MOTION_LINK_H
#define BORELAY_MOTION_LINK_H

#include "borelay/clear.h"
#include "motion/build.h"

/* The worst of some moves: the part that lacks most of the clearance wanted of it. */
struct link_near {
  double shortfall; /* mm below the clearance wanted; 0: all is clear, and nothing else is set */
  double limit;     /* mm, wanted of that part */
  struct clear_result least;
};

/* Before the first judgement. */
void link_begin(struct builder *builder);
/* Judges the moves from builder->phases[first] on, against the clad that stands once the phases
 * before them are over; docs/motion.md, "Ways". */
struct link_near link_judge(struct builder *builder, size_t first);
/* After the last of them: what they kept goes on with the motion, or is given back. */
void link_give(struct builder *builder, struct motion *motion);
void link_release(struct builder *builder);
/* "body lower comes to 0.412 mm from the wall of free bore (1.500 mm wanted) at x .. head .." */
const char *link_text(const struct builder *builder, const struct link_near *near);

#endif
