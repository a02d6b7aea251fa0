/* chord.c - two bounds, the smaller of which counts (docs/clearance.md, "Chords").
 *
 * x, y, z and the head angle run straight over a tick, each leaving its own course by its second
 * derivative times tick^2 / 8.  By place, while one curve lasts, the same with derivatives in q and
 * the q that a tick covers; this is 0 on a straight move, however hard it is braked. */
#include "clear/chord.h"

#include <math.h>

static const double negligible = 1e-4; /* mm: no need to look for less */

static bool same_cubic(struct cubic p, struct cubic q) {
  return p.c0 == q.c0 && p.c1 == q.c1 && p.c2 == q.c2 && p.c3 == q.c3;
}

static bool same_curve(const struct curve *a, const struct curve *b) {
  return a->is_line == b->is_line && a->centre.x == b->centre.x && a->centre.y == b->centre.y &&
         a->direction.x == b->direction.x && a->direction.y == b->direction.y &&
         a->radius == b->radius && a->rho == b->rho && same_cubic(a->turn, b->turn) &&
         same_cubic(a->head, b->head) && same_cubic(a->z, b->z);
}

/* Largest rate of q, which never falls, over a stretch of the piece. */
static double largest_rate(const struct piece *piece, double ta, double tb) {
  struct cubic rate = {piece->q.c1, 2 * piece->q.c2, 3 * piece->q.c3, 0};
  double least, largest;
  cubic_range(rate, ta - piece->t0, tb - piece->t0, &least, &largest);
  return largest;
}

/* The part of a piece within a tick of the stretch that is judged. */
struct window {
  double ta, tb;
};

static struct window window_of(const struct piece *piece, const struct chord_reach *reach,
                               double tick) {
  return (struct window){fmax(piece->t0, reach->ta - tick), fmin(piece->t1, reach->tb + tick)};
}

/* The curve seen as a motion with q for its time, over the q of the windows. */
static double cost_by_place(const struct piece *curve, double qa, double qb, double step,
                            double lever) {
  struct piece by_q = {
      .t0 = 0, .t1 = curve->curve.length, .q = {0, 1, 0, 0}, .curve = curve->curve};
  if (!(qb > qa))
    return 0;
  return piece_chord_bound(&by_q, qa, qb, lever) * step * step / 8;
}

double chord_cost(const struct chord_reach *reach, double tick, double lever) {
  const struct piece *pieces = reach->pieces, *judged = &pieces[reach->at];
  size_t first = reach->at, last = reach->at;
  while (first > 0 && pieces[first - 1].t1 > reach->ta - tick)
    first--;
  while (last + 1 < reach->count && pieces[last + 1].t0 < reach->tb + tick)
    last++;
  bool one_curve = true;
  double bend = 0, rate = 0;
  for (size_t i = first; i <= last; i++) {
    struct window window = window_of(&pieces[i], reach, tick);
    one_curve = one_curve && same_curve(&pieces[i].curve, &judged->curve);
    bend = fmax(bend, piece_chord_bound(&pieces[i], window.ta, window.tb, lever));
    rate = fmax(rate, largest_rate(&pieces[i], window.ta, window.tb));
  }
  double by_time = bend * tick * tick / 8;
  if (!one_curve || by_time < negligible)
    return by_time;
  struct window begin = window_of(&pieces[first], reach, tick);
  struct window end = window_of(&pieces[last], reach, tick);
  double qa = cubic_at(pieces[first].q, begin.ta - pieces[first].t0);
  double qb = cubic_at(pieces[last].q, end.tb - pieces[last].t0);
  return fmin(by_time, cost_by_place(judged, qa, qb, rate * tick, lever));
}
