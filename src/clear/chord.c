/* chord.c - two bounds, the smaller of which counts (docs/clearance.md, "Chords").
 *
 * x, y, z and the head angle run straight over a tick, each leaving its own course by its second
 * derivative times tick^2 / 8.  By place, while one curve lasts, the same with derivatives in q and
 * the q that a tick covers; this is 0 on a straight move, however hard it is braked. */
#include "clear/chord.h"

#include <math.h>

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
static void find_by_place(struct chord *chord, const struct piece *curve, double qa, double qb,
                          double step) {
  struct piece by_q = {
      .t0 = 0, .t1 = curve->curve.length, .q = {0, 1, 0, 0}, .curve = curve->curve};
  if (!(qb > qa))
    return;
  struct motion_bound bound = piece_motion_bound(&by_q, qa, qb);
  chord->place_level = motion_chord_bound(&bound, 0) * step * step / 8;
  chord->place_turning = bound.turning * step * step / 8;
}

static void add_bound(struct chord *chord, const struct motion_bound *bound, double tick) {
  chord->level = fmax(chord->level, motion_chord_bound(bound, 0) * tick * tick / 8);
  chord->turning = fmax(chord->turning, bound->turning * tick * tick / 8);
}

static void add_window(struct chord *chord, double *rate, const struct piece *piece,
                       struct window window, double tick) {
  struct motion_bound bound = piece_motion_bound(piece, window.ta, window.tb);
  add_bound(chord, &bound, tick);
  *rate = fmax(*rate, largest_rate(piece, window.ta, window.tb));
}

/* The pieces within a tick of the stretch: first .. last. */
static size_t first_in_reach(const struct chord_reach *reach, double tick) {
  size_t first = reach->at;
  while (first > 0 && reach->pieces[first - 1].t1 > reach->ta - tick)
    first--;
  return first;
}

static size_t last_in_reach(const struct chord_reach *reach, double tick) {
  size_t last = reach->at;
  while (last + 1 < reach->count && reach->pieces[last + 1].t0 < reach->tb + tick)
    last++;
  return last;
}

struct motion_bound rough_bound(struct rough *rough, const struct piece *pieces, size_t at) {
  const struct piece *piece = &pieces[at];
  size_t place = at % ROUGH_MOST;
  if (rough->piece[place] != piece) {
    rough->piece[place] = piece;
    rough->bound[place] = piece_motion_bound(piece, piece->t0, piece->t1);
  }
  return rough->bound[place];
}

struct chord chord_rough(const struct chord_reach *reach, double tick, struct rough *rough) {
  struct chord chord = {.one_curve = false};
  size_t last = last_in_reach(reach, tick);
  for (size_t i = first_in_reach(reach, tick); i <= last; i++) {
    struct motion_bound bound = rough_bound(rough, reach->pieces, i);
    add_bound(&chord, &bound, tick);
  }
  return chord;
}

struct chord chord_find(const struct chord_reach *reach, double tick) {
  const struct piece *pieces = reach->pieces, *judged = &pieces[reach->at];
  size_t first = first_in_reach(reach, tick), last = last_in_reach(reach, tick);
  struct chord chord = {.one_curve = true};
  double rate = 0;
  for (size_t i = first; i <= last; i++) {
    chord.one_curve = chord.one_curve && same_curve(&pieces[i].curve, &judged->curve);
    add_window(&chord, &rate, &pieces[i], window_of(&pieces[i], reach, tick), tick);
  }
  if (!chord.one_curve)
    return chord;
  struct window begin = window_of(&pieces[first], reach, tick);
  struct window end = window_of(&pieces[last], reach, tick);
  double qa = cubic_at(pieces[first].q, begin.ta - pieces[first].t0);
  double qb = cubic_at(pieces[last].q, end.tb - pieces[last].t0);
  find_by_place(&chord, judged, qa, qb, rate * tick);
  return chord;
}

double chord_cost(const struct chord *chord, double lever) {
  double by_time = chord->level + lever * chord->turning;
  double by_place = chord->place_level + lever * chord->place_turning;
  return chord->one_curve && by_place < by_time ? by_place : by_time;
}
