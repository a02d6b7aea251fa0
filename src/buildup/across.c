/* across.c - parabolas that run into one another.
 *
 * Each bead is a parabola of its own width; neighbours add up in area.  Between two centre lines no
 * farther apart than the critical pitch their metal is level; farther apart a valley stays, with
 * the sum of both flanks at its floor (D. Ding, Z. Pan, D. Cuiuri, H. Li, A multi-bead overlapping
 * model, RCIM 31 (2015) 101-110).  Where no neighbour is within reach of the outermost bead, its
 * flank falls from there to nothing.  Each of the three replaces the sum of parabolas on a stretch
 * by something of the same integral: the whole keeps its metal (docs/buildup.md, section 3). */
#include "buildup/across.h"

#include <math.h>
#include <stdbool.h>

#include "borelay/deposit.h"

/* Centre lines nearer than this share of a width lie on each other. */
static const double SAME = 1e-9;

double across_reach(double width) {
  return (2 + SAME) * width; /* a flank, a gap, half a bead that reaches into it */
}

/* -- the sum of parabolas ---------------------------------------------------------------------- */

static double bead_height(const struct bead *bead, double depth) {
  double u = (depth - bead->centre) / bead->width;
  return fabs(u) < 0.5 ? 1.5 * bead->area / bead->width * (1 - 4 * u * u) : 0;
}

/* Metal shallower than `depth`. */
static double bead_until(const struct bead *bead, double depth) {
  double u = fmin(fmax((depth - bead->centre) / bead->width, -0.5), 0.5);
  return bead->area * (0.5 + u * (1.5 - 2 * u * u));
}

struct beads {
  const struct bead *items;
  size_t count;
};

static double sum_height(struct beads beads, double depth) {
  double sum = 0;
  for (size_t i = 0; i < beads.count; i++)
    sum += bead_height(&beads.items[i], depth);
  return sum;
}

static double sum_between(struct beads beads, double from, double to) {
  double sum = 0;
  for (size_t i = 0; i < beads.count; i++)
    sum += bead_until(&beads.items[i], to) - bead_until(&beads.items[i], from);
  return sum;
}

/* -- gaps -------------------------------------------------------------------------------------- */

static double mean_width(const struct bead *a, const struct bead *b) {
  return (a->width + b->width) / 2;
}

static bool is_gap(const struct bead *a, const struct bead *b) {
  return b->centre - a->centre < mean_width(a, b);
}

/* How far two beads flow together: where one is less than half of the other, as it fades out, less
 * and less; then nothing jumps where it ends. */
static double flow_share(const struct bead *a, const struct bead *b) {
  double most = fmax(a->area, b->area);
  return most > 0 ? fmin(2 * fmin(a->area, b->area) / most, 1) : 0;
}

/* At the share x of half the gap from its middle (0) to a centre line (1).  The valley is a
 * parabola on either side with its crown over the centre line; its mean is the gap's. */
static double flowed_height(struct beads beads, const struct bead *a, const struct bead *b,
                            double x) {
  double gap = b->centre - a->centre;
  if (gap <= SAME * mean_width(a, b))
    return sum_height(beads, a->centre);
  double mean = sum_between(beads, a->centre, b->centre) / gap;
  if (gap <= TANGENT_PITCH_RATIO * mean_width(a, b) * (1 + SAME))
    return mean;
  double floor_height = fmin(sum_height(beads, a->centre + gap / 2), mean);
  return floor_height + 1.5 * (mean - floor_height) * x * (2 - x);
}

static double gap_height(struct beads beads, const struct bead *a, const struct bead *b,
                         double depth) {
  double half = (b->centre - a->centre) / 2, share = flow_share(a, b);
  double x = half > 0 ? fmin(fabs(depth - a->centre - half) / half, 1) : 1;
  return share * flowed_height(beads, a, b, x) + (1 - share) * sum_height(beads, depth);
}

/* -- flanks ------------------------------------------------------------------------------------ */

/* At the share x of the flank's way (0 at the level, 1 at its foot), as a share of the level; fill
 * is what the flank's metal would fill of its box.  Integral over x: fill. */
static double flank_share(double fill, double x) {
  if (x >= 1)
    return 0;
  if (3 * fill < 1) { /* the foot lies nearer */
    double u = x / (3 * fill);
    return u < 1 ? (1 - u) * (1 - u) : 0;
  }
  double slope = 4 - 6 * fill; /* 0 where pitch is 2/3 of the width: the parabola itself */
  return 1 - slope * x - (1 - slope) * x * x;
}

/* Beyond the last of `group`, deeper (side 1) or shallower (side -1). */
static double flank_height(struct beads group, int side, double depth) {
  const struct bead *last = &group.items[side > 0 ? group.count - 1 : 0];
  const struct bead *before = last - side;
  if (group.count < 2 || !is_gap(side > 0 ? before : last, side > 0 ? last : before))
    return sum_height(group, depth);
  double reach = 0;
  for (size_t i = 0; i < group.count; i++)
    reach = fmax(reach, side * (group.items[i].centre - last->centre) + group.items[i].width / 2);
  double foot = last->centre + side * reach;
  double metal = sum_between(group, fmin(last->centre, foot), fmax(last->centre, foot));
  double high = gap_height(group, side > 0 ? before : last, side > 0 ? last : before, last->centre);
  if (!(high * reach > 0))
    return sum_height(group, depth);
  return high * flank_share(metal / (high * reach), side * (depth - last->centre) / reach);
}

/* -- all --------------------------------------------------------------------------------------- */

double across_height(const struct bead *beads, size_t count, double depth) {
  struct beads all = {beads, count};
  size_t behind = 0; /* how many are not deeper */
  while (behind < count && beads[behind].centre <= depth)
    behind++;
  const struct bead *a = behind > 0 ? &beads[behind - 1] : NULL;
  const struct bead *b = behind < count ? &beads[behind] : NULL;
  if (a && b && is_gap(a, b))
    return gap_height(all, a, b, depth);
  double height = 0;
  if (a)
    height += flank_height((struct beads){beads, behind}, 1, depth);
  if (b)
    height += flank_height((struct beads){b, count - behind}, -1, depth);
  return height;
}
