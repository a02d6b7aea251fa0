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
  double u = (depth - bead->centre) / bead->width;
  u = u < -0.5 ? -0.5 : u > 0.5 ? 0.5 : u;
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

/* What ends well before `from`, or begins well behind `to`, would add exactly nothing. */
static double sum_between(struct beads beads, double from, double to) {
  double sum = 0;
  for (size_t i = 0; i < beads.count; i++) {
    const struct bead *bead = &beads.items[i];
    double half = 0.5001 * bead->width;
    if (bead->centre + half > from && bead->centre - half < to)
      sum += bead_until(bead, to) - bead_until(bead, from);
  }
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

/* What a gap comes to; it takes longer to find than a height in it. */
struct gap {
  const struct bead *a, *b;
  double half;        /* of it, mm */
  double share;       /* of the metal that flows together */
  double mean, floor; /* of what flows: floor < mean where a valley stays */
  bool is_nothing;    /* both lie on each other */
};

static struct gap gap_make(struct beads beads, const struct bead *a, const struct bead *b) {
  double wide = b->centre - a->centre;
  struct gap gap = {.a = a, .b = b, .half = wide / 2, .share = flow_share(a, b)};
  gap.is_nothing = wide <= SAME * mean_width(a, b);
  if (gap.is_nothing) {
    gap.mean = sum_height(beads, a->centre);
    return gap;
  }
  gap.mean = gap.floor = sum_between(beads, a->centre, b->centre) / wide;
  if (wide > TANGENT_PITCH_RATIO * mean_width(a, b) * (1 + SAME))
    gap.floor = fmin(sum_height(beads, a->centre + wide / 2), gap.mean);
  return gap;
}

/* At the share x of half the gap from its middle (0) to a centre line (1).  The valley is a
 * parabola on either side with its crown over the centre line; its mean is the gap's. */
static double flowed_height(const struct gap *gap, double x) {
  if (gap->is_nothing || gap->floor == gap->mean)
    return gap->mean;
  return gap->floor + 1.5 * (gap->mean - gap->floor) * x * (2 - x);
}

static double gap_height(const struct gap *gap, struct beads beads, double depth) {
  double x = gap->half > 0 ? fmin(fabs(depth - gap->a->centre - gap->half) / gap->half, 1) : 1;
  double flowed = flowed_height(gap, x);
  if (gap->share == 1)
    return flowed;
  return gap->share * flowed + (1 - gap->share) * sum_height(beads, depth);
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
  if (group.count < 2)
    return sum_height(group, depth);
  const struct bead *last = &group.items[side > 0 ? group.count - 1 : 0];
  const struct bead *before = last - side;
  if (!is_gap(side > 0 ? before : last, side > 0 ? last : before))
    return sum_height(group, depth);
  double reach = 0;
  for (size_t i = 0; i < group.count; i++)
    reach = fmax(reach, side * (group.items[i].centre - last->centre) + group.items[i].width / 2);
  double foot = last->centre + side * reach;
  double metal = sum_between(group, fmin(last->centre, foot), fmax(last->centre, foot));
  struct gap gap = gap_make(group, side > 0 ? before : last, side > 0 ? last : before);
  double high = gap_height(&gap, group, last->centre);
  if (!(high * reach > 0))
    return sum_height(group, depth);
  return high * flank_share(metal / (high * reach), side * (depth - last->centre) / reach);
}

/* -- all --------------------------------------------------------------------------------------- */

static size_t behind_at(struct beads all, double depth) {
  size_t behind = 0;
  while (behind < all.count && all.items[behind].centre <= depth)
    behind++;
  return behind;
}

/* behind: how many are not deeper.  `gap`: the one that was found last, in the same beads; it is
 * found anew where another holds the depth. */
static double height_at(struct beads all, size_t behind, double depth, struct gap *gap) {
  const struct bead *a = behind > 0 ? &all.items[behind - 1] : NULL;
  const struct bead *b = behind < all.count ? &all.items[behind] : NULL;
  if (a && b && is_gap(a, b)) {
    if (gap->a != a || gap->b != b)
      *gap = gap_make(all, a, b);
    return gap_height(gap, all, depth);
  }
  double height = 0;
  if (a)
    height += flank_height((struct beads){all.items, behind}, 1, depth);
  if (b)
    height += flank_height((struct beads){b, all.count - behind}, -1, depth);
  return height;
}

double across_height(const struct bead *beads, size_t count, double depth) {
  struct gap gap = {.a = NULL};
  struct beads all = {beads, count};
  return height_at(all, behind_at(all, depth), depth, &gap);
}

/* -- from depth to depth ----------------------------------------------------------------------- */

void across_heights(const struct bead *beads, size_t count, const double *depths, size_t places,
                    struct across_place *found) {
  struct gap gap = {.a = NULL};
  size_t first = 0, end = 0;
  for (size_t i = 0; i < places; i++) {
    double depth = depths[i];
    while (first < count && beads[first].centre < depth - across_reach(beads[first].width))
      first++;
    end = end < first ? first : end;
    while (end < count && beads[end].centre <= depth + across_reach(beads[end].width))
      end++;
    struct beads near = {beads + first, end - first};
    size_t behind = behind_at(near, depth);
    double height = height_at(near, behind, depth, &gap);
    found[i] = (struct across_place){near.items, near.count, behind, height};
  }
}
