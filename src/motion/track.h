/* track.h - the way of the head in space, without time.
 *
 * A contour track is measured by q, the length of the pool's path in space (mm).  Along it four
 * things are piecewise linear in q: the tip's progress on its locus, the normal's angle, the
 * depth, and with them the head.  Their slopes jump where one group of segments meets the next
 * (joint; groups.h), as a rule a line and an arc, and where the path begins or ends to sink (leg
 * border).  Each jump is rounded by a symmetric bump
 *     b(x) = (h - |x|)^3 / (6 h^2),  |x| < h,
 * times the jump in slope: the slope then changes by a quadratic S over 2 h, the second
 * derivative is at most jump / h, the third jump / h^2, and the value leaves the piecewise linear
 * one by at most jump * h / 6, at the joint.  Bumps of neighbours add up, so windows may overlap.
 * The tip never leaves its locus: only its progress along it is rounded (docs/motion.md). */
#ifndef BORELAY_MOTION_TRACK_H
#define BORELAY_MOTION_TRACK_H

#include "borelay/motion.h"
#include "motion/groups.h"
#include "motion/sway.h"

enum track_kind { TRACK_STRAIGHT, TRACK_CONTOUR };

struct track_leg {
  double q0, length;   /* along the track, mm; length >= 0 */
  double s0, s_length; /* on the shape, s0 not wrapped; s falls where dir < 0 */
  double flat, sink;   /* cosine and sine of the slope: flat > 0; sink > 0 goes deeper */
  double z0;           /* of H at q0 */
  int64_t lap;
  bool is_step;
};

/* Half widths of the bumps at a joint, mm of q. */
struct joint_window {
  double head, tip;
};

struct track {
  enum track_kind kind;
  struct pose from, to; /* TRACK_STRAIGHT: H; q runs 0..1; contour tracks: H at both ends too */
  /* TRACK_CONTOUR */
  const struct contour *contour;
  double pool_offset, tip_offset; /* of the contour; q is measured on the first */
  double reach;
  double head_shift; /* whole turns added to the normal's angle, rad */
  int dir;
  struct track_leg *legs;
  size_t leg_count;
  struct groups groups;
  struct joint_window *windows; /* windows[g]: where group g begins */
  double slope_window;          /* half width at leg borders */
  double widest;                /* of all half widths */
  double length;                /* in q */
  struct sway sway;             /* welding runs of a procedure with an oscillation; else none */
};

struct track_scratch; /* private to track_curves.c */

/* Curves of one leg in order, each with its first q.  All zero to begin with. */
struct curve_item {
  double q0;
  struct curve curve;
  int64_t swing_first, swing_count; /* > 0: the curve of the centre line, over so many half sways */
};
struct curve_list {
  struct curve_item *items;
  size_t count, capacity;
  struct track_scratch *scratch; /* for the next leg */
};

/* A straight move of H and head together. */
struct track track_straight(struct pose from, struct pose to);

/* Starts a contour track; legs are added behind one another. */
struct track track_contour(const struct contour *contour, double pool_offset, double tip_offset,
                           double reach, int dir, double head_shift);
/* z0: H at the leg's first depth; sink: how much deeper it ends (mm, may be negative). */
struct track_leg track_leg_make(const struct track *track, double s0, double s_length, double z0,
                                double deeper);
/* A level leg of `length` in q that goes on where `before` ends. */
struct track_leg track_leg_extend(const struct track *track, const struct track_leg *before,
                                  double length);

/* Fills the list with the curves of a leg, windows applied.  The list's memory is reused. */
void track_leg_curves(const struct track *track, size_t leg, struct curve_list *list);
/* Only those of them that hold places within a range of q; never none. */
void track_leg_curves_within(const struct track *track, size_t leg, struct range within,
                             struct curve_list *list);
/* The same, but only the first of them; curve_list_more() puts the next ones in their place: false,
 * and the list as it is, where there are none.  And one curve of the centre line instead of those
 * of many whole sways in a row, where all but the sway is even and they lie in `even`, over which
 * the track is gone along at one speed.  On either side a half sway like them, or more, is left
 * apart.
 */
void track_leg_curves_begin(const struct track *track, size_t leg, struct range within,
                            struct range even, struct curve_list *list);
bool curve_list_more(struct curve_list *list);
void curve_list_release(struct curve_list *list);

/* H and head at q (0 .. length). */
struct pose track_pose(const struct track *track, double q);
/* The same, and the tip's place and normal on a contour track. */
size_t track_leg_index(const struct track *track, double q);

/* Upper bounds of |d^k axis / dq^k|, k = 1..3, over a stretch of q, and of the steps that the
 * second derivative makes where curves meet. */
struct track_bound {
  double d[AXIS_COUNT][4];
  double step[AXIS_COUNT];
};
struct track_bound track_bound_over(const struct track *track, double q_a, double q_b);

/* For who asks about one place of a track again and again, each time over a little more: curves are
 * kept.  The track must not change meanwhile. */
struct track_bounds {
  const struct track *track;
  struct curve_list list; /* of the leg, at least those of the range; none if that is empty */
  size_t leg;
  struct range held;
};
struct track_bounds track_bounds_begin(const struct track *track);
struct track_bound track_bounds_over(struct track_bounds *bounds, double q_a, double q_b);
void track_bounds_end(struct track_bounds *bounds);

#endif
