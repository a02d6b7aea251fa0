/* From the contour to rounded curves, a leg at a time.
 *
 * First the nominal path around the leg is laid out as stretches on which everything is linear in
 * q (one segment of the contour, one slope).  Where two stretches meet there is a knot with jumps
 * in slope.  Then the leg is cut wherever a knot's window begins, peaks or ends and wherever the
 * tip passes from one line or arc to the next, and on each part the linear functions and the bumps
 * that are alive there are added up to cubics.  Where the tip sways, its cubics come on top of z,
 * and the leg is cut where they change. */
#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "motion/track.h"

struct stretch {
  double q0, q1;
  double tip, angle, z;       /* at q0: progress of the tip on its locus, head's angle, H's z */
  double d_tip, d_angle, d_z; /* per q */
  bool is_line;
  vec2 at;        /* line: nominal tip at q0; arc: centre */
  vec2 direction; /* line, in the direction of travel */
  double radius;  /* arc: of the tip's locus, signed so that centre + radius e(angle) is the tip */
};

/* Between stretch k and k + 1. */
struct knot {
  double q, head_half, tip_half, z_half;
  double d_tip, d_angle, d_z; /* jumps */
  double pass;                /* q at which the tip passes the joint */
};

struct layout {
  struct stretch *stretches;
  struct knot *knots;
  size_t count, capacity; /* of stretches; one knot fewer */
  size_t last_seg;        /* contour segment of the last stretch */
  double *cuts;
  size_t cut_count, cut_capacity;
};

/* Scratch of a few kilobytes a contour; running out of it ends the process as any
 * allocation does. */
static void *scratch_grow(void *old, size_t count, size_t size) {
  void *grown = realloc(old, count * size);
  if (!grown) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  return grown;
}

static struct stretch *layout_add(struct layout *layout) {
  if (layout->count == layout->capacity) {
    layout->capacity = layout->capacity ? 2 * layout->capacity : 32;
    layout->stretches = scratch_grow(layout->stretches, layout->capacity, sizeof(struct stretch));
    layout->knots = scratch_grow(layout->knots, layout->capacity, sizeof(struct knot));
  }
  struct stretch *stretch = &layout->stretches[layout->count++];
  memset(stretch, 0, sizeof *stretch);
  return stretch;
}

static double seg_ratio(const struct contour_seg *seg, double offset) {
  return seg->turn == 0 ? 1 : (seg->radius - seg->turn * offset) / seg->radius;
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

static void stretch_place(struct stretch *stretch, const struct track *track,
                          const struct contour_seg *seg, double into, double angle) {
  struct sincos normal = num_sincos(angle);
  vec2 n = {normal.cos, normal.sin};
  stretch->is_line = seg->turn == 0;
  if (stretch->is_line) {
    vec2 p = vec2_add(seg->start, vec2_scale(seg->tangent, into));
    stretch->at = vec2_sub(p, vec2_scale(n, track->tip_offset));
    stretch->direction = vec2_scale(seg->tangent, track->dir);
  } else {
    stretch->at = seg->centre;
    stretch->radius = seg->turn * (seg->radius - seg->turn * track->tip_offset);
  }
}

/* Lays out one leg between q_a and q_b (which may lie outside it at the track's ends). */
static void layout_leg(struct layout *layout, const struct track *track,
                       const struct track_leg *leg, double q_a, double q_b) {
  const struct contour *contour = track->contour;
  int dir = track->dir;
  double u = (q_a - leg->q0) * leg->flat;
  double s = contour_advance(contour, track->pool_offset, leg->s0, u < 0 ? -dir : dir, fabs(u));
  double turns, wrapped = contour_wrap(contour, s, &turns);
  size_t i = seg_ahead(contour, wrapped, dir);
  const struct contour_seg *seg = &contour->segs[i];
  double into = wrapped - seg->s0;
  if (into < -1e-6) { /* the segment ahead begins behind the seam */
    into += contour->perimeter;
    turns -= 1;
  } else if (into > seg->length + 1e-6) {
    into -= contour->perimeter;
    turns += 1;
  }
  into = fmin(fmax(into, 0), seg->length);
  for (double q = q_a; q < q_b;) {
    double left = dir > 0 ? seg->length - into : into;
    double per_q = leg->flat / seg_ratio(seg, track->pool_offset); /* contour length per q */
    double reach_q = q + left / per_q;
    struct stretch *stretch = layout_add(layout);
    stretch->q0 = q;
    stretch->q1 = reach_q < q_b ? reach_q : q_b;
    double bend = seg->turn == 0 ? 0 : seg->turn / seg->radius;
    stretch->angle = seg->normal0 + bend * into + turns * NUM_TURN + track->head_shift;
    stretch->d_angle = dir * bend * per_q;
    stretch->d_tip = per_q * seg_ratio(seg, track->tip_offset);
    stretch->z = leg->z0 - leg->sink * (q - leg->q0);
    stretch->d_z = -leg->sink;
    stretch_place(stretch, track, seg, into, stretch->angle);
    if (layout->count > 1) {
      struct stretch *before = stretch - 1;
      stretch->tip = before->tip + before->d_tip * (before->q1 - before->q0);
      struct knot *knot = &layout->knots[layout->count - 2];
      size_t joint = dir > 0 ? i : (i + 1) % contour->count;
      /* A leg may begin at a joint; then one knot has both jumps. */
      double slope = q == q_a ? track->slope_window : 0;
      bool at_joint = i != layout->last_seg;
      *knot = (struct knot){.q = q,
                            .head_half = fmax(slope, at_joint ? track->windows[joint].head : 0),
                            .tip_half = fmax(slope, at_joint ? track->windows[joint].tip : 0),
                            .z_half = slope,
                            .d_tip = stretch->d_tip - before->d_tip,
                            .d_angle = stretch->d_angle - before->d_angle,
                            .d_z = stretch->d_z - before->d_z,
                            .pass = q};
    }
    layout->last_seg = i;
    q = stretch->q1;
    i = dir > 0 ? (i + 1 == contour->count ? 0 : i + 1) : (i == 0 ? contour->count - 1 : i - 1);
    if (dir > 0 && i == 0)
      turns += 1;
    if (dir < 0 && i + 1 == contour->count)
      turns -= 1;
    seg = &contour->segs[i];
    into = dir > 0 ? 0 : seg->length;
  }
}

static void layout_build(struct layout *layout, const struct track *track, size_t leg) {
  const struct track_leg *legs = track->legs;
  double q_a = legs[leg].q0 - track->widest;
  double q_b = legs[leg].q0 + legs[leg].length + track->widest;
  size_t first = leg, last = leg;
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

/* -- bumps ------------------------------------------------------------------------------------ */

static bool bump_alive(double q, double knot, double half) {
  return half > 0 && fabs(q - knot) < half;
}

/* jump * b(q - knot) as a cubic in x = q - origin; `inside` tells on which side of the knot. */
static void bump_add(struct cubic *p, double origin, double inside, double knot, double half,
                     double jump) {
  double k = jump / (6 * half * half);
  double side = inside < knot ? 1 : -1;
  double y = half + side * (origin - knot);
  p->c0 += k * y * y * y;
  p->c1 += k * 3 * y * y * side;
  p->c2 += k * 3 * y;
  p->c3 += k * side;
}

/* Tip's progress at q, rounded. */
static double tip_at(const struct layout *layout, size_t near, double q) {
  size_t i = near;
  while (i > 0 && q < layout->stretches[i].q0)
    i--;
  while (i + 1 < layout->count && q >= layout->stretches[i].q1)
    i++;
  const struct stretch *stretch = &layout->stretches[i];
  double tip = stretch->tip + stretch->d_tip * (q - stretch->q0);
  size_t lo = near > 4 ? near - 4 : 0, hi = near + 4;
  for (size_t k = lo; k + 1 < layout->count && k <= hi; k++) {
    const struct knot *knot = &layout->knots[k];
    if (knot->d_tip != 0 && bump_alive(q, knot->q, knot->tip_half)) {
      struct cubic p = {0};
      bump_add(&p, q, q, knot->q, knot->tip_half, knot->d_tip);
      tip += p.c0;
    }
  }
  return tip;
}

/* q at which the rounded tip passes the joint: the tip is late where it slows down, early where it
 * speeds up.  Progress rises with q, so bisection holds; it ends at the last bit. */
static double tip_pass(const struct layout *layout, size_t k) {
  const struct knot *knot = &layout->knots[k];
  double wanted = layout->stretches[k + 1].tip;
  double lo = knot->q - knot->tip_half, hi = knot->q + knot->tip_half;
  if (knot->d_tip == 0 || knot->tip_half <= 0)
    return knot->q;
  for (int i = 0; i < 60; i++) {
    double mid = lo + (hi - lo) / 2;
    if (mid <= lo || mid >= hi)
      break;
    if (tip_at(layout, k, mid) < wanted)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

/* -- cutting ---------------------------------------------------------------------------------- */

static void cut_add(struct layout *layout, double q, double q_a, double q_b) {
  if (!(q > q_a && q < q_b))
    return;
  if (layout->cut_count == layout->cut_capacity) {
    layout->cut_capacity = layout->cut_capacity ? 2 * layout->cut_capacity : 128;
    layout->cuts = scratch_grow(layout->cuts, layout->cut_capacity, sizeof(double));
  }
  layout->cuts[layout->cut_count++] = q;
}

static void cut_add_window(struct layout *layout, double q, double half, double q_a, double q_b) {
  if (half <= 0)
    return;
  cut_add(layout, q - half, q_a, q_b);
  cut_add(layout, q + half, q_a, q_b);
}

static void cuts_add_sway(struct layout *layout, const struct sway *sway, double q_a, double q_b) {
  if (!sway_exists(sway))
    return;
  int64_t j = sway_find(sway, q_a);
  for (j = j < sway->first ? sway->first : j; j <= sway->last; j++) {
    double cuts[4];
    sway_cuts(sway, j, cuts);
    if (cuts[0] >= q_b)
      return;
    for (int i = 0; i < 4; i++)
      cut_add(layout, cuts[i], q_a, q_b);
  }
}

static int double_compare(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

static void cuts_make(struct layout *layout, const struct track *track, double q_a, double q_b) {
  for (size_t k = 0; k + 1 < layout->count; k++) {
    struct knot *knot = &layout->knots[k];
    knot->pass = tip_pass(layout, k);
    cut_add(layout, knot->q, q_a, q_b);
    cut_add(layout, knot->pass, q_a, q_b);
    if (knot->d_angle != 0)
      cut_add_window(layout, knot->q, knot->head_half, q_a, q_b);
    if (knot->d_tip != 0)
      cut_add_window(layout, knot->q, knot->tip_half, q_a, q_b);
    if (knot->d_z != 0)
      cut_add_window(layout, knot->q, knot->z_half, q_a, q_b);
  }
  cuts_add_sway(layout, &track->sway, q_a, q_b);
  if (layout->cut_count > 1)
    qsort(layout->cuts, layout->cut_count, sizeof(double), double_compare);
}

/* One curve over q_a .. q_b.  `linear` is the stretch that is nominal there, `on` the one whose
 * line or arc the tip is on. */
static struct curve curve_make(const struct layout *layout, const struct track *track, double q_a,
                               double q_b, size_t linear, size_t on) {
  const struct stretch *s = &layout->stretches[linear], *place = &layout->stretches[on];
  double mid = q_a + (q_b - q_a) / 2, x = q_a - s->q0;
  struct cubic tip = {s->tip + s->d_tip * x, s->d_tip, 0, 0};
  struct curve curve = {.length = q_b - q_a,
                        .is_line = place->is_line,
                        .centre = place->at,
                        .direction = place->direction,
                        .radius = place->radius,
                        .rho = track->reach};
  curve.head = (struct cubic){s->angle + s->d_angle * x, s->d_angle, 0, 0};
  curve.z = (struct cubic){s->z + s->d_z * x, s->d_z, 0, 0};
  bool rounded = linear != on;
  size_t k = linear;
  while (k > 0 && layout->knots[k - 1].q > q_a - track->widest)
    k--;
  for (; k + 1 < layout->count && layout->knots[k].q < q_b + track->widest; k++) {
    const struct knot *knot = &layout->knots[k];
    if (knot->d_tip != 0 && bump_alive(mid, knot->q, knot->tip_half)) {
      bump_add(&tip, q_a, mid, knot->q, knot->tip_half, knot->d_tip);
      rounded = true;
    }
    if (knot->d_angle != 0 && bump_alive(mid, knot->q, knot->head_half)) {
      bump_add(&curve.head, q_a, mid, knot->q, knot->head_half, knot->d_angle);
      rounded = true;
    }
    if (knot->d_z != 0 && bump_alive(mid, knot->q, knot->z_half))
      bump_add(&curve.z, q_a, mid, knot->q, knot->z_half, knot->d_z);
  }
  if (sway_exists(&track->sway)) {
    struct cubic deeper = sway_cubic(&track->sway, q_a, mid);
    curve.z.c0 -= deeper.c0;
    curve.z.c1 -= deeper.c1;
    curve.z.c2 -= deeper.c2;
    curve.z.c3 -= deeper.c3;
  }
  if (place->is_line) {
    curve.turn = tip;
    curve.turn.c0 -= place->tip;
  } else if (rounded) {
    double per_tip = place->d_angle / place->d_tip;
    curve.turn = (struct cubic){place->angle + (tip.c0 - place->tip) * per_tip, tip.c1 * per_tip,
                                tip.c2 * per_tip, tip.c3 * per_tip};
  } else {
    curve.turn = curve.head; /* torch along the normal: tip and head turn as one */
    curve.radius -= track->reach;
    curve.rho = 0;
  }
  return curve;
}

static void curve_list_add(struct curve_list *list, double q0, struct curve curve) {
  if (list->count == list->capacity) {
    list->capacity = list->capacity ? 2 * list->capacity : 32;
    list->items = scratch_grow(list->items, list->capacity, sizeof(struct curve_item));
  }
  list->items[list->count++] = (struct curve_item){q0, curve};
}

static void straight_curve(const struct track *track, struct curve_list *list) {
  struct pose a = track->from, b = track->to;
  double dx = b.x - a.x, dy = b.y - a.y, way = num_hypot(dx, dy);
  struct curve curve = {.length = 1, .is_line = true, .centre = {a.x, a.y}};
  curve.direction = way > 0 ? (vec2){dx / way, dy / way} : (vec2){1, 0};
  curve.turn.c1 = way;
  curve.z = (struct cubic){a.z, b.z - a.z, 0, 0};
  curve.head = (struct cubic){a.head, b.head - a.head, 0, 0};
  curve_list_add(list, 0, curve);
}

void track_leg_curves(const struct track *track, size_t leg, struct curve_list *list) {
  list->count = 0;
  if (track->kind == TRACK_STRAIGHT) {
    straight_curve(track, list);
    return;
  }
  struct layout layout = {0};
  layout_build(&layout, track, leg);
  double q_a = track->legs[leg].q0, q_b = q_a + track->legs[leg].length;
  cuts_make(&layout, track, q_a, q_b);
  cut_add(&layout, q_b, q_a, INFINITY);
  size_t linear = 0, on = 0;
  double from = q_a;
  for (size_t i = 0; i < layout.cut_count; i++) {
    double to = layout.cuts[i];
    if (to - from < 1e-10 && i + 1 < layout.cut_count)
      continue; /* too short to matter: the next one begins here */
    double mid = from + (to - from) / 2;
    while (linear + 1 < layout.count && layout.stretches[linear].q1 <= mid)
      linear++;
    while (on + 1 < layout.count && layout.knots[on].pass <= mid)
      on++;
    curve_list_add(list, from, curve_make(&layout, track, from, to, linear, on));
    from = to;
  }
  free(layout.stretches);
  free(layout.knots);
  free(layout.cuts);
}

void curve_list_release(struct curve_list *list) {
  free(list->items);
  *list = (struct curve_list){0};
}
