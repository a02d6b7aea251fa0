/* From the contour to rounded curves, a leg at a time.
 *
 * First the nominal path around the leg is laid out (layout.h): stretches on which everything is
 * linear in q, knots with jumps in slope between them, and the lines and arcs that the tip is on.
 * Then the leg is cut wherever a knot's window begins, peaks or ends and wherever the tip passes
 * from one line or arc to the next, and on each part the linear functions and the bumps that are
 * alive there are added up to cubics.  Where the tip sways, its cubics come on top of z, and the
 * leg is cut where they change. */
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

#include "motion/cuts.h"
#include "motion/passes.h"

/* -- making ----------------------------------------------------------------------------------- */

/* The stretch that is nominal at a place, and the place that the tip is on: sought onward. */
struct whereabouts {
  size_t linear, on;
};

/* One curve over q_a .. q_b; swaying: where the curve before was; NULL: the centre line of a sway.
 */
static void curve_make(struct curve *curve, const struct layout *layout, const struct track *track,
                       double q_a, double q_b, const struct whereabouts *where,
                       struct sway_place *swaying) {
  const struct stretch *s = &layout->stretches[where->linear];
  const struct place *place = &layout->places[where->on];
  double mid = q_a + (q_b - q_a) / 2, x = q_a - s->q0;
  struct cubic tip = {s->tip + s->d_tip * x, s->d_tip, 0, 0};
  *curve = (struct curve){.length = q_b - q_a,
                          .is_line = place->is_line,
                          .centre = place->at,
                          .direction = place->direction,
                          .radius = place->radius,
                          .rho = track->reach,
                          .head = {s->angle + s->d_angle * x, s->d_angle, 0, 0},
                          .z = {s->z + s->d_z * x, s->d_z, 0, 0}};
  bool rounded = !s->is_single || s->place != where->on;
  size_t k = where->linear;
  while (k > 0 && layout->knots[k - 1].q > q_a - track->widest)
    k--;
  for (; k + 1 < layout->count && layout->knots[k].q < q_b + track->widest; k++) {
    const struct knot *knot = &layout->knots[k];
    if (knot->d_tip != 0 && bump_alive(mid, knot->q, knot->tip_half)) {
      bump_add(&tip, q_a, mid, knot->q, knot->tip_half, knot->d_tip);
      rounded = true;
    }
    if (knot->d_angle != 0 && bump_alive(mid, knot->q, knot->head_half)) {
      bump_add(&curve->head, q_a, mid, knot->q, knot->head_half, knot->d_angle);
      rounded = true;
    }
    if (knot->d_z != 0 && bump_alive(mid, knot->q, knot->z_half))
      bump_add(&curve->z, q_a, mid, knot->q, knot->z_half, knot->d_z);
  }
  if (swaying && sway_exists(&track->sway)) {
    sway_place_follow(&track->sway, swaying, mid);
    curve->z = cubic_less(curve->z, sway_cubic(&track->sway, swaying, q_a, mid));
  }
  if (place->is_line) {
    curve->turn = tip;
    curve->turn.c0 -= place->tip;
  } else if (rounded) {
    double per_tip = place->d_angle / place->d_tip;
    curve->turn = (struct cubic){place->angle + (tip.c0 - place->tip) * per_tip, tip.c1 * per_tip,
                                 tip.c2 * per_tip, tip.c3 * per_tip};
  } else {
    curve->turn = curve->head; /* torch along the normal: tip and head turn as one */
    curve->radius -= track->reach;
    curve->rho = 0;
  }
}

/* -- cutting ---------------------------------------------------------------------------------- */

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
    struct curve curve;
    curve_make(&curve, layout, track, from, to, &where, NULL);
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

/* -- lists ------------------------------------------------------------------------------------ */

/* How far the making of a leg's curves has come. */
struct making {
  const struct track *track;
  struct range within;
  size_t cut;  /* the next one */
  double from; /* where its curve begins */
  bool any;
  size_t joined;
  struct whereabouts where;
  struct sway_place swaying;
};

struct track_scratch {
  struct layout layout;
  struct cuts cuts;
  struct making making;
};

/* The list's own, from leg to leg. */
static struct track_scratch *scratch_of(struct curve_list *list) {
  if (!list->scratch) {
    list->scratch = scratch_grow(NULL, 1, sizeof *list->scratch);
    *list->scratch = (struct track_scratch){.cuts = {.count = 0}};
  }
  return list->scratch;
}

static struct curve_item *curve_list_add(struct curve_list *list, double q0) {
  if (list->count == list->capacity) {
    list->capacity = list->capacity ? 2 * list->capacity : 4;
    list->items = scratch_grow(list->items, list->capacity, sizeof(struct curve_item));
  }
  struct curve_item *item = &list->items[list->count++];
  item->q0 = q0;
  item->swing_first = item->swing_count = 0;
  return item;
}

static void straight_curve(const struct track *track, struct curve_list *list) {
  struct pose a = track->from, b = track->to;
  double dx = b.x - a.x, dy = b.y - a.y, way = num_hypot(dx, dy);
  struct curve curve = {.length = 1, .is_line = true, .centre = {a.x, a.y}};
  curve.direction = way > 0 ? (vec2){dx / way, dy / way} : (vec2){1, 0};
  curve.turn.c1 = way;
  curve.z = (struct cubic){a.z, b.z - a.z, 0, 0};
  curve.head = (struct cubic){a.head, b.head - a.head, 0, 0};
  curve_list_add(list, 0)->curve = curve;
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

/* Adds the next curves to the list, `most` of them at most. */
static void curves_make(struct curve_list *list, size_t most) {
  struct making *making = &list->scratch->making;
  const struct cuts *cuts = &list->scratch->cuts;
  const struct layout *layout = &list->scratch->layout;
  struct range within = making->within;
  for (; making->cut < cuts->count && list->count < most; making->cut++) {
    double from = making->from, to = cuts->at[making->cut];
    bool is_last = making->cut + 1 == cuts->count;
    if (to - from < 1e-10 && !is_last)
      continue; /* too short to matter: the next one begins here */
    double mid = from + (to - from) / 2;
    whereabouts_follow(layout, mid, &making->where);
    const struct join *join = join_follow(cuts, mid, &making->joined);
    bool is_within = to >= within.lo - AT_BORDER && from <= within.hi + AT_BORDER;
    making->from = to;
    if (!is_within && (!is_last || making->any))
      continue;
    struct curve_item *item = curve_list_add(list, from);
    curve_make(&item->curve, layout, making->track, from, to, &making->where,
               join ? NULL : &making->swaying);
    if (is_within && join) {
      item->swing_first = join->first;
      item->swing_count = join->count;
    }
    making->any = true;
  }
}

/* Nothing is made yet. */
static void making_begin(const struct track *track, size_t leg, struct range within,
                         struct range even, struct curve_list *list) {
  struct track_scratch *scratch = scratch_of(list);
  struct cuts *cuts = &scratch->cuts;
  cuts->q_a = track->legs[leg].q0;
  cuts->q_b = cuts->q_a + track->legs[leg].length;
  layout_build(&scratch->layout, track, leg);
  cuts_make(cuts, &scratch->layout, track, within, even);
  scratch->making = (struct making){
      .track = track, .within = within, .from = cuts->q_a, .swaying = sway_place_none()};
}

/* So many curves are held at a time; of a lap that sways there may be thousands. */
enum { CURVES_HELD = 32 };

bool curve_list_more(struct curve_list *list) {
  size_t had = list->count;
  if (!list->scratch)
    return false;
  list->count = 0;
  curves_make(list, CURVES_HELD);
  if (list->count > 0)
    return true;
  list->count = had;
  return false;
}

static void curves_begin(const struct track *track, size_t leg, struct range within,
                         struct range even, size_t most, struct curve_list *list) {
  list->count = 0;
  if (track->kind == TRACK_STRAIGHT) {
    straight_curve(track, list);
    return;
  }
  making_begin(track, leg, within, even, list);
  curves_make(list, most);
}

void track_leg_curves_begin(const struct track *track, size_t leg, struct range within,
                            struct range even, struct curve_list *list) {
  curves_begin(track, leg, within, even, CURVES_HELD, list);
}

void track_leg_curves_within(const struct track *track, size_t leg, struct range within,
                             struct curve_list *list) {
  curves_begin(track, leg, within, (struct range){0, 0}, SIZE_MAX, list);
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
