/* Stretches and places from the contour: see layout.h. */
#include "motion/layout.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

void *scratch_grow(void *old, size_t count, size_t size) {
  void *grown = realloc(old, count * size);
  if (!grown) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  return grown;
}

static struct stretch *layout_add(struct layout *layout) {
  if (layout->count == layout->capacity) {
    layout->capacity = layout->capacity ? 2 * layout->capacity : 8;
    layout->stretches = scratch_grow(layout->stretches, layout->capacity, sizeof(struct stretch));
    layout->knots = scratch_grow(layout->knots, layout->capacity, sizeof(struct knot));
  }
  struct stretch *stretch = &layout->stretches[layout->count++];
  memset(stretch, 0, sizeof *stretch);
  return stretch;
}

static struct place *layout_add_place(struct layout *layout) {
  if (layout->place_count == layout->place_capacity) {
    layout->place_capacity = layout->place_capacity ? 2 * layout->place_capacity : 8;
    layout->places = scratch_grow(layout->places, layout->place_capacity, sizeof(struct place));
  }
  struct place *place = &layout->places[layout->place_count++];
  memset(place, 0, sizeof *place);
  return place;
}

/* Segment that lies ahead of s in the direction of travel, s being wrapped. */
static size_t seg_ahead(const struct contour *contour, double s, int dir) {
  size_t i = contour_seg_at(contour, s);
  if (dir < 0 && s - contour->segs[i].s0 < 1e-9)
    i = i == 0 ? contour->count - 1 : i - 1;
  if (dir > 0 && contour->segs[i].s0 + contour->segs[i].length - s < 1e-9)
    i = i + 1 == contour->count ? 0 : i + 1;
  return i;
}

static void place_locus(struct place *place, const struct track *track,
                        const struct contour_seg *seg, double into) {
  place->is_line = seg->turn == 0;
  if (place->is_line) {
    struct sincos normal = num_sincos(place->angle);
    vec2 n = {normal.cos, normal.sin};
    vec2 p = vec2_add(seg->start, vec2_scale(seg->tangent, into));
    place->at = vec2_sub(p, vec2_scale(n, track->tip_offset));
    place->direction = vec2_scale(seg->tangent, track->dir);
  } else {
    place->at = seg->centre;
    place->radius = seg->turn * (seg->radius - seg->turn * track->tip_offset);
  }
}

/* The stretch of a group as it lies on one leg, from where the tip would be on segment i, `into` mm
 * behind its beginning. */
static void stretch_even(struct stretch *stretch, const struct track *track,
                         const struct track_leg *leg, size_t i, double into) {
  const struct contour_seg *seg = &track->contour->segs[i];
  const struct seg_place *in = &track->groups.places[i];
  const struct seg_group *group = &track->groups.items[in->group];
  double pool = in->pool + into * seg_ratio(seg, track->pool_offset);
  double tip = in->tip + into * seg_ratio(seg, track->tip_offset);
  double angle = in->angle + (seg->turn == 0 ? 0 : seg->turn * into / seg->radius);
  stretch->tip += track->dir * (group->even.tip * pool - tip);
  stretch->angle += group->even.turn * pool - angle;
  stretch->d_tip = leg->flat * group->even.tip;
  stretch->d_angle = track->dir * leg->flat * group->even.turn;
}

/* Between the last two stretches, the later of which begins with the leg or with segment i. */
static void layout_add_knot(struct layout *layout, const struct track *track, size_t i,
                            bool begins_leg) {
  const struct stretch *before = &layout->stretches[layout->count - 2], *after = before + 1;
  size_t first = track->dir > 0 ? i : (i + 1) % track->contour->count;
  const struct seg_place *places = track->groups.places;
  /* A leg may begin at a joint; then one knot has both jumps. */
  double slope = begins_leg ? track->slope_window : 0;
  bool at_joint = places[i].group != places[layout->last_seg].group;
  const struct joint_window *window = &track->windows[places[first].group];
  layout->knots[layout->count - 2] =
      (struct knot){.q = after->q0,
                    .head_half = fmax(slope, at_joint ? window->head : 0),
                    .tip_half = fmax(slope, at_joint ? window->tip : 0),
                    .z_half = slope,
                    .d_tip = after->d_tip - before->d_tip,
                    .d_angle = after->d_angle - before->d_angle,
                    .d_z = after->d_z - before->d_z};
}

/* Where a leg's layout has come to. */
struct walk {
  const struct track *track;
  const struct track_leg *leg;
  double q_a, q; /* where it began, and is */
  size_t i;      /* segment of the contour ahead */
  double into, turns;
};

static struct walk walk_begin(const struct track *track, const struct track_leg *leg, double q_a) {
  const struct contour *contour = track->contour;
  int dir = track->dir;
  double u = (q_a - leg->q0) * leg->flat;
  double s = contour_advance(contour, track->pool_offset, leg->s0, u < 0 ? -dir : dir, fabs(u));
  struct walk walk = {.track = track, .leg = leg, .q_a = q_a, .q = q_a};
  double wrapped = contour_wrap(contour, s, &walk.turns);
  walk.i = seg_ahead(contour, wrapped, dir);
  const struct contour_seg *seg = &contour->segs[walk.i];
  walk.into = wrapped - seg->s0;
  if (walk.into < -1e-6) { /* the segment ahead begins behind the seam */
    walk.into += contour->perimeter;
    walk.turns -= 1;
  } else if (walk.into > seg->length + 1e-6) {
    walk.into -= contour->perimeter;
    walk.turns += 1;
  }
  walk.into = fmin(fmax(walk.into, 0), seg->length);
  return walk;
}

static void walk_on(struct walk *walk, double q) {
  size_t count = walk->track->contour->count, i = walk->i;
  bool ahead = walk->track->dir > 0;
  walk->q = q;
  walk->i = ahead ? (i + 1 == count ? 0 : i + 1) : (i == 0 ? count - 1 : i - 1);
  if (ahead && walk->i == 0)
    walk->turns += 1;
  if (!ahead && walk->i + 1 == count)
    walk->turns -= 1;
  walk->into = ahead ? 0 : walk->track->contour->segs[walk->i].length;
}

/* The segment ahead, up to its end or to q_b; its stretch is not known yet. */
static double place_add(struct layout *layout, const struct walk *walk, double q_b) {
  const struct track *track = walk->track;
  const struct contour_seg *seg = &track->contour->segs[walk->i];
  double left = track->dir > 0 ? seg->length - walk->into : walk->into;
  double per_q = walk->leg->flat / seg_ratio(seg, track->pool_offset); /* contour length per q */
  double reach_q = walk->q + left / per_q, end = reach_q < q_b ? reach_q : q_b;
  double bend = seg->turn == 0 ? 0 : seg->turn / seg->radius;
  struct place *place = layout_add_place(layout);
  place->pass = walk->q;
  place->angle = seg->normal0 + bend * walk->into + walk->turns * NUM_TURN + track->head_shift;
  place->d_angle = track->dir * bend * per_q;
  place->d_tip = per_q * seg_ratio(seg, track->tip_offset);
  place->tip = layout->tip;
  layout->tip += place->d_tip * (end - walk->q);
  place_locus(place, track, seg, walk->into);
  return end;
}

/* A stretch begins with the leg, and with each group. */
static bool stretch_begins(const struct walk *walk) {
  const struct groups *groups = &walk->track->groups;
  const struct seg_group *group = &groups->items[groups->places[walk->i].group];
  size_t first = walk->track->dir > 0 ? group->first : group->first + group->count - 1;
  return walk->q == walk->q_a || walk->i == first;
}

/* On the place added last. */
static void stretch_add(struct layout *layout, const struct walk *walk) {
  const struct groups *groups = &walk->track->groups;
  const struct place *place = &layout->places[layout->place_count - 1];
  const struct track_leg *leg = walk->leg;
  struct stretch *stretch = layout_add(layout);
  *stretch = (struct stretch){.q0 = walk->q,
                              .tip = place->tip,
                              .angle = place->angle,
                              .z = leg->z0 - leg->sink * (walk->q - leg->q0),
                              .d_tip = place->d_tip,
                              .d_angle = place->d_angle,
                              .d_z = -leg->sink,
                              .place = layout->place_count - 1,
                              .is_single = groups->items[groups->places[walk->i].group].count == 1};
  if (!stretch->is_single)
    stretch_even(stretch, walk->track, leg, walk->i, walk->into);
  if (layout->count > 1)
    layout_add_knot(layout, walk->track, walk->i, walk->q == walk->q_a);
}

/* Lays out one leg between q_a and q_b (which may lie outside it at the track's ends). */
static void layout_leg(struct layout *layout, const struct track *track,
                       const struct track_leg *leg, double q_a, double q_b) {
  struct walk walk = walk_begin(track, leg, q_a);
  while (walk.q < q_b) {
    double end = place_add(layout, &walk, q_b);
    if (stretch_begins(&walk))
      stretch_add(layout, &walk);
    layout->stretches[layout->count - 1].q1 = end;
    layout->places[layout->place_count - 1].stretch = layout->count - 1;
    layout->last_seg = walk.i;
    walk_on(&walk, end);
  }
}

void layout_build(struct layout *layout, const struct track *track, size_t leg) {
  const struct track_leg *legs = track->legs;
  double q_a = legs[leg].q0 - track->widest;
  double q_b = legs[leg].q0 + legs[leg].length + track->widest;
  size_t first = leg, last = leg;
  layout->count = layout->place_count = 0;
  layout->tip = 0;
  while (first > 0 && legs[first].q0 > q_a)
    first--;
  while (last + 1 < track->leg_count && legs[last + 1].q0 < q_b)
    last++;
  for (size_t i = first; i <= last; i++) {
    double from = i == first ? q_a : legs[i].q0;
    double to = i == last ? q_b : legs[i + 1].q0;
    if (to > from)
      layout_leg(layout, track, &legs[i], from, to);
  }
}

void layout_release(struct layout *layout) {
  free(layout->stretches);
  free(layout->knots);
  free(layout->places);
  *layout = (struct layout){0};
}
