/* From the contour to rounded curves, a leg at a time.
 *
 * First the nominal path around the leg is laid out (layout.h): stretches on which everything is
 * linear in q, knots with jumps in slope between them, and the lines and arcs that the tip is on.
 * Then the leg is cut wherever a knot's window begins, peaks or ends and wherever the tip passes
 * from one line or arc to the next, and on each part the linear functions and the bumps that are
 * alive there are added up to cubics.  Where the tip sways, its cubics come on top of z, and the
 * leg is cut where they change. */
#include <math.h>
#include <stdlib.h>

#include "motion/cuts.h"
#include "motion/layout.h"

static const double SAME_TIP = 1e-12; /* mm */

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

/* Tip's progress at q, rounded; `near`: a stretch that is not far away. */
static double tip_at(const struct layout *layout, double widest, size_t near, double q) {
  size_t i = near;
  while (i > 0 && q < layout->stretches[i].q0)
    i--;
  while (i + 1 < layout->count && q >= layout->stretches[i].q1)
    i++;
  const struct stretch *stretch = &layout->stretches[i];
  double tip = stretch->tip + stretch->d_tip * (q - stretch->q0);
  size_t k = i;
  while (k > 0 && layout->knots[k - 1].q > q - widest)
    k--;
  for (; k + 1 < layout->count && layout->knots[k].q < q + widest; k++) {
    const struct knot *knot = &layout->knots[k];
    if (knot->d_tip != 0 && bump_alive(q, knot->q, knot->tip_half)) {
      struct cubic p = {0};
      bump_add(&p, q, q, knot->q, knot->tip_half, knot->d_tip);
      tip += p.c0;
    }
  }
  return tip;
}

/* q between lo and hi at which the rounded tip has come so far.  Progress rises with q, so
 * bisection holds; it ends at the last bit. */
static double tip_reaches(const struct layout *layout, double widest, size_t near, double wanted,
                          double lo, double hi) {
  for (int i = 0; i < 60; i++) {
    double mid = lo + (hi - lo) / 2;
    if (mid <= lo || mid >= hi)
      break;
    if (tip_at(layout, widest, near, mid) < wanted)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

/* q at which the rounded tip passes the knot before stretch k: the tip is late where it slows down,
 * early where it speeds up. */
static double knot_pass(const struct layout *layout, double widest, size_t k) {
  const struct knot *knot = &layout->knots[k - 1];
  if (knot->d_tip == 0 || knot->tip_half <= 0)
    return knot->q;
  return tip_reaches(layout, widest, k - 1, layout->stretches[k].tip, knot->q - knot->tip_half,
                     knot->q + knot->tip_half);
}

/* q at which it passes from one segment of a group to the next: straight from the stretch but where
 * a rounding reaches in. */
static double inner_pass(const struct layout *layout, double widest, const struct place *place) {
  size_t k = place->stretch;
  const struct stretch *stretch = &layout->stretches[k];
  double q = stretch->q0 + (place->tip - stretch->tip) / stretch->d_tip;
  if (fabs(tip_at(layout, widest, k, q) - place->tip) <= SAME_TIP)
    return q;
  return tip_reaches(layout, widest, k, place->tip, q - widest, q + widest);
}

static double place_pass(const struct layout *layout, double widest, size_t p) {
  const struct place *place = &layout->places[p];
  return layout->stretches[place->stretch].place == p ? knot_pass(layout, widest, place->stretch)
                                                      : inner_pass(layout, widest, place);
}

/* -- making ----------------------------------------------------------------------------------- */

/* One curve over q_a .. q_b.  `linear` is the stretch that is nominal there, `on` the place that
 * the tip is on; swaying: where the curve before was; NULL: the centre line of a sway. */
static struct curve curve_make(const struct layout *layout, const struct track *track, double q_a,
                               double q_b, size_t linear, size_t on, struct sway_place *swaying) {
  const struct stretch *s = &layout->stretches[linear];
  const struct place *place = &layout->places[on];
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
  bool rounded = !s->is_single || s->place != on;
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
  if (swaying && sway_exists(&track->sway)) {
    sway_place_follow(&track->sway, swaying, mid);
    curve.z = cubic_less(curve.z, sway_cubic(&track->sway, swaying, q_a, mid));
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

/* -- cutting ---------------------------------------------------------------------------------- */

/* The stretch that is nominal at a place, and the place that the tip is on: sought onward. */
struct whereabouts {
  size_t linear, on;
};
static void whereabouts_follow(const struct layout *layout, double q, struct whereabouts *where) {
  while (where->linear + 1 < layout->count && layout->stretches[where->linear].q1 <= q)
    where->linear++;
  while (where->on + 1 < layout->place_count && layout->places[where->on + 1].pass <= q)
    where->on++;
}

/* Sways are joined between two cuts that come from all else, where that is even.  The cuts are in
 * order. */
static void joins_make(struct cuts *cuts, const struct layout *layout, const struct track *track,
                       struct range even) {
  struct whereabouts where = {0, 0};
  for (size_t i = 0; i <= cuts->count; i++) {
    double from = i > 0 ? cuts->at[i - 1] : cuts->q_a;
    double to = i < cuts->count ? cuts->at[i] : cuts->q_b;
    if (!(to > from) || from >= even.hi || to <= even.lo)
      continue;
    whereabouts_follow(layout, from + (to - from) / 2, &where);
    struct curve curve = curve_make(layout, track, from, to, where.linear, where.on, NULL);
    if (curve_is_even(&curve))
      cuts_join(cuts, &track->sway, fmax(from, even.lo), fmin(to, even.hi));
  }
}

/* In order, the leg's end last. */
static void cuts_make(struct cuts *cuts, struct layout *layout, const struct track *track,
                      struct range within, struct range even) {
  cuts->count = cuts->join_count = 0;
  for (size_t p = 1; p < layout->place_count; p++) {
    layout->places[p].pass = place_pass(layout, track->widest, p);
    cut_add(cuts, layout->places[p].pass);
  }
  for (size_t k = 0; k + 1 < layout->count; k++) {
    const struct knot *knot = &layout->knots[k];
    cut_add(cuts, knot->q);
    if (knot->d_angle != 0)
      cut_add_window(cuts, knot->q, knot->head_half);
    if (knot->d_tip != 0)
      cut_add_window(cuts, knot->q, knot->tip_half);
    if (knot->d_z != 0)
      cut_add_window(cuts, knot->q, knot->z_half);
  }
  cuts_sort(cuts);
  if (sway_exists(&track->sway) && even.lo < even.hi)
    joins_make(cuts, layout, track, even);
  cuts_add_sway(cuts, &track->sway, within);
  if (cuts->q_b > cuts->q_a)
    cut_push(cuts, cuts->q_b);
}

struct track_scratch {
  struct layout layout;
  struct cuts cuts;
};

/* The list's own, from leg to leg. */
static struct track_scratch *scratch_of(struct curve_list *list) {
  if (!list->scratch) {
    list->scratch = scratch_grow(NULL, 1, sizeof *list->scratch);
    *list->scratch = (struct track_scratch){.cuts = {.count = 0}};
  }
  return list->scratch;
}

static void curve_list_add(struct curve_list *list, double q0, struct curve curve) {
  if (list->count == list->capacity) {
    list->capacity = list->capacity ? 2 * list->capacity : 8;
    list->items = scratch_grow(list->items, list->capacity, sizeof(struct curve_item));
  }
  list->items[list->count++] = (struct curve_item){.q0 = q0, .curve = curve};
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

/* A curve that ends, or begins, no farther from `within` than this is one of those that it holds,
 * mm. */
static const double AT_BORDER = 1e-6;

/* The join that holds a place, if any; sought onward. */
static const struct join *join_follow(const struct cuts *cuts, double q, size_t *joined) {
  while (*joined < cuts->join_count && cuts->joins[*joined].to <= q)
    ++*joined;
  return *joined < cuts->join_count && cuts->joins[*joined].from <= q ? &cuts->joins[*joined]
                                                                      : NULL;
}

static void curves_list(const struct track *track, const struct cuts *cuts, struct range within,
                        struct curve_list *list) {
  const struct layout *layout = &list->scratch->layout;
  struct sway_place swaying = {0};
  struct whereabouts where = {0, 0};
  size_t joined = 0;
  double from = cuts->q_a;
  for (size_t i = 0; i < cuts->count; i++) {
    double to = cuts->at[i];
    bool is_last = i + 1 == cuts->count;
    if (to - from < 1e-10 && !is_last)
      continue; /* too short to matter: the next one begins here */
    double mid = from + (to - from) / 2;
    whereabouts_follow(layout, mid, &where);
    const struct join *join = join_follow(cuts, mid, &joined);
    bool is_within = to >= within.lo - AT_BORDER && from <= within.hi + AT_BORDER;
    if (is_within || (is_last && list->count == 0))
      curve_list_add(
          list, from,
          curve_make(layout, track, from, to, where.linear, where.on, join ? NULL : &swaying));
    if (is_within && join) {
      list->items[list->count - 1].swing_first = join->first;
      list->items[list->count - 1].swing_count = join->count;
    }
    from = to;
  }
}

void track_leg_curves_joined(const struct track *track, size_t leg, struct range within,
                             struct range even, struct curve_list *list) {
  list->count = 0;
  if (track->kind == TRACK_STRAIGHT) {
    straight_curve(track, list);
    return;
  }
  struct cuts *cuts = &scratch_of(list)->cuts;
  cuts->q_a = track->legs[leg].q0;
  cuts->q_b = cuts->q_a + track->legs[leg].length;
  layout_build(&list->scratch->layout, track, leg);
  cuts_make(cuts, &list->scratch->layout, track, within, even);
  curves_list(track, cuts, within, list);
}

void track_leg_curves_within(const struct track *track, size_t leg, struct range within,
                             struct curve_list *list) {
  track_leg_curves_joined(track, leg, within, (struct range){0, 0}, list);
}

void track_leg_curves(const struct track *track, size_t leg, struct curve_list *list) {
  track_leg_curves_within(track, leg, (struct range){-INFINITY, INFINITY}, list);
}

void curve_list_release(struct curve_list *list) {
  free(list->items);
  if (list->scratch) {
    layout_release(&list->scratch->layout);
    free(list->scratch->cuts.at);
    free(list->scratch->cuts.joins);
    free(list->scratch);
  }
  *list = (struct curve_list){0};
}
