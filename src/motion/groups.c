/* Groups are sought from s = 0 on, each as long as it may be: where they lie depends on the contour
 * alone, and not on where a run begins. */
#include "motion/groups.h"

#include <math.h>

#include "borelay/arena.h"

/* No longer than the stretch over which the pool's mean speed is judged, mm. */
static const double LONGEST = 0.5;
/* Of what torch and pool may be off. */
static const double SHARE = 0.02;

double seg_ratio(const struct contour_seg *seg, double offset) {
  return seg->turn == 0 ? 1 : (seg->radius - seg->turn * offset) / seg->radius;
}

/* What groups are made of. */
struct ground {
  const struct contour *contour;
  double pool_offset, tip_offset, tilt, slip;
};

static struct seg_rates rates_of(const struct ground *ground, const struct contour_seg *seg) {
  double pool = seg_ratio(seg, ground->pool_offset);
  struct seg_rates rates = {0};
  rates.turn = seg->turn == 0 ? 0 : seg->turn / (seg->radius * pool);
  rates.tip = seg_ratio(seg, ground->tip_offset) / pool;
  rates.curvature = rates.turn * rates.tip;
  return rates;
}

static struct seg_group group_begin(const struct ground *ground, size_t first) {
  const struct contour_seg *seg = &ground->contour->segs[first];
  struct seg_rates rates = rates_of(ground, seg);
  return (struct seg_group){.first = first,
                            .count = 1,
                            .level = seg->length * seg_ratio(seg, ground->pool_offset),
                            .even = rates,
                            .turning = fabs(rates.turn),
                            .bends = {rates.curvature, rates.curvature},
                            .least_tip = rates.tip};
}

/* The sums up to where segment i begins, of which the group holds the one before. */
static struct seg_place place_after(const struct ground *ground, const struct seg_place *places,
                                    size_t i) {
  const struct contour_seg *seg = &ground->contour->segs[i - 1];
  struct seg_place place = places[i - 1];
  place.pool += seg->length * seg_ratio(seg, ground->pool_offset);
  place.tip += seg->length * seg_ratio(seg, ground->tip_offset);
  place.angle += seg->turn == 0 ? 0 : seg->turn * seg->length / seg->radius;
  return place;
}

/* The group with its rates, over all that it holds.  Torch and pool are farthest off at joints,
 * since both are linear between them; the torch is held against the normal where the tip is. */
static struct seg_group group_over(const struct ground *ground, const struct seg_place *places,
                                   size_t first, size_t count) {
  struct seg_group group = group_begin(ground, first);
  struct seg_place end = place_after(ground, places, first + count);
  double before = 0;
  group.count = count;
  group.level = end.pool;
  group.even.turn = end.angle / end.pool;
  group.even.tip = end.tip / end.pool;
  group.even.curvature = 0;
  group.turning = fabs(group.even.turn);
  for (size_t i = first; i < first + count; i++) {
    struct seg_rates own = rates_of(ground, &ground->contour->segs[i]);
    /* the tip passes the segment at the group's speed */
    double bend = own.turn / own.tip * group.even.tip * group.even.tip;
    group.turning = fmax(group.turning, fabs(own.turn / own.tip * group.even.tip));
    group.even.curvature = fmax(group.even.curvature, fabs(bend));
    group.least_tip = fmin(group.least_tip, own.tip);
    group.bends[i > first] = bend;
    if (i > first) {
      const struct seg_place *joint = &places[i];
      group.bend_jump = fmax(group.bend_jump, fabs(bend - before));
      group.slip = fmax(group.slip, fabs(joint->tip - group.even.tip * joint->pool));
      group.tilt = fmax(group.tilt, fabs(joint->angle - end.angle / end.tip * joint->tip));
    }
    before = bend;
  }
  group.slip /= group.least_tip;
  return group;
}

/* From `first`, whose place is set; sets those of its others, and of what is behind it. */
static struct seg_group group_longest(const struct ground *ground, struct seg_place *places,
                                      size_t first) {
  struct seg_group group = group_begin(ground, first);
  for (size_t i = first + 1; i < ground->contour->count && group.level < LONGEST; i++) {
    places[i] = place_after(ground, places, i);
    struct seg_group longer = group_over(ground, places, first, i + 1 - first);
    if (longer.level > LONGEST || longer.tilt > ground->tilt || longer.slip > ground->slip)
      break;
    group = longer;
  }
  return group;
}

struct groups groups_make(struct arena *arena, const struct contour *contour, double pool_offset,
                          double tip_offset, double angle, double slip) {
  struct ground ground = {contour, pool_offset, tip_offset, SHARE * angle, SHARE * slip};
  struct groups groups = {.places = arena_alloc(arena, contour->count, sizeof *groups.places)};
  size_t room = 0;
  for (size_t i = 0; i < contour->count; i += groups.items[groups.count++].count) {
    if (groups.count == room) {
      room = room ? 2 * room : 4;
      groups.items = arena_grow(arena, groups.items, groups.count, room, sizeof *groups.items);
    }
    groups.places[i] = (struct seg_place){.group = groups.count};
    groups.items[groups.count] = group_longest(&ground, groups.places, i);
  }
  return groups;
}
