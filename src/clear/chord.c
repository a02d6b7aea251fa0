/* chord.c - two bounds, the smaller of which counts (docs/clearance.md, "Chords").
 *
 * x, y, z and the head angle run straight over a tick, each leaving its own course by its second
 * derivative times tick^2 / 8.  By place, while one curve lasts, the same with derivatives in q and
 * the q that a tick covers; this is 0 on a straight move, however hard it is braked. */
#include "clear/chord.h"

#include <math.h>

/* -- the pieces within a tick of a stretch -------------------------------------------------- */

struct reach {
  const struct passage *passage;
  double from, to; /* s: the stretch and a tick on either side */
  size_t first, last;
  bool one_curve; /* all of them lie on the passage's */
};

static struct reach reach_find(const struct passage *passage, double ta, double tb, double tick) {
  const struct piece *pieces = passage->pieces;
  struct reach reach = {passage, ta - tick, tb + tick, passage->first, passage->last - 1, true};
  while (reach.first + 1 < passage->last && pieces[reach.first].t1 <= reach.from)
    reach.first++;
  while (reach.last > reach.first && pieces[reach.last].t0 >= reach.to)
    reach.last--;
  for (; reach.first > 0 && pieces[reach.first - 1].t1 > reach.from; reach.first--)
    reach.one_curve =
        reach.one_curve && passage_goes_on(&pieces[reach.first - 1], &pieces[reach.first]);
  for (; reach.last + 1 < passage->count && pieces[reach.last + 1].t0 < reach.to; reach.last++)
    reach.one_curve =
        reach.one_curve && passage_goes_on(&pieces[reach.last], &pieces[reach.last + 1]);
  return reach;
}

/* The part of a piece that lies within. */
struct window {
  double ta, tb;
};

static struct window window_of(const struct reach *reach, size_t at) {
  const struct piece *piece = &reach->passage->pieces[at];
  return (struct window){fmax(piece->t0, reach->from), fmin(piece->t1, reach->to)};
}

/* -- closely ---------------------------------------------------------------------------------- */

/* Largest rate of q, which never falls, over a window of the piece. */
static double largest_rate(const struct piece *piece, struct window window) {
  struct cubic rate = {piece->q.c1, 2 * piece->q.c2, 3 * piece->q.c3, 0};
  double least, largest;
  cubic_range(rate, window.ta - piece->t0, window.tb - piece->t0, &least, &largest);
  return largest;
}

/* The curve seen as a motion with q for its time, over the q of the windows. */
static void find_by_place(struct chord *chord, const struct reach *reach, double rate,
                          double tick) {
  const struct piece *first = &reach->passage->pieces[reach->first];
  const struct piece *last = &reach->passage->pieces[reach->last];
  double qa = cubic_at(first->q, window_of(reach, reach->first).ta - first->t0);
  double qb = cubic_at(last->q, window_of(reach, reach->last).tb - last->t0), step = rate * tick;
  if (!(qb > qa))
    return;
  struct motion_bound bound = passage_bound(reach->passage, qa, qb);
  chord->place_level = motion_chord_bound(&bound, 0) * step * step / 8;
  chord->place_turning = bound.turning * step * step / 8;
}

static void add_rates(struct chord *chord, struct chord_rates rates, double tick) {
  chord->level = num_larger(chord->level, rates.level * tick * tick / 8);
  chord->turning = num_larger(chord->turning, rates.turning * tick * tick / 8);
}

struct chord chord_find(const struct passage *passage, double ta, double tb, double tick) {
  struct reach reach = reach_find(passage, ta, tb, tick);
  struct chord chord = {.one_curve = reach.one_curve};
  double rate = 0;
  for (size_t i = reach.first; i <= reach.last; i++) {
    const struct piece *piece = &passage->pieces[i];
    struct window window = window_of(&reach, i);
    struct motion_bound bound = piece_motion_bound(piece, window.ta, window.tb);
    add_rates(&chord, (struct chord_rates){motion_chord_bound(&bound, 0), bound.turning}, tick);
    rate = fmax(rate, largest_rate(piece, window));
  }
  if (chord.one_curve)
    find_by_place(&chord, &reach, rate, tick);
  return chord;
}

bool chord_is_straight(const struct passage *passage, double tick) {
  const struct piece *pieces = passage->pieces;
  if (!curve_is_straight(&pieces[passage->first].curve))
    return false;
  return reach_find(passage, pieces[passage->first].t0, pieces[passage->last - 1].t1, tick)
      .one_curve;
}

/* -- roughly ---------------------------------------------------------------------------------- */

/* Largest |derivative| of a cubic over a .. b: at an end, or where the second one is 0. */
static double steepest(struct cubic p, double a, double b) {
  if (cubic_is_linear(p))
    return fabs(p.c1);
  double most = fmax(fabs(cubic_derivative(p, a, 1)), fabs(cubic_derivative(p, b, 1)));
  if (p.c3 == 0)
    return most;
  double x = -p.c2 / (3 * p.c3);
  return x > a && x < b ? fmax(most, fabs(cubic_derivative(p, x, 1))) : most;
}

static double most_bent(struct cubic p, double a, double b) {
  if (cubic_is_linear(p))
    return 0;
  return fmax(fabs(cubic_derivative(p, a, 2)), fabs(cubic_derivative(p, b, 2)));
}

/* Bounds on the time derivatives of a function of q: with q1, q2 those on q's,
 * |f1| <= |f'| q1,  |f2| <= |f''| q1^2 + |f'| q2. */
struct rates {
  double first, second;
};

static struct rates rates_of(struct cubic f, double qa, double qb, struct rates q) {
  double slope = steepest(f, qa, qb);
  return (struct rates){slope * q.first,
                        most_bent(f, qa, qb) * q.first * q.first + slope * q.second};
}

/* Of the unit vector at an angle. */
static double turned(struct rates angle) {
  return num_hypot(angle.first * angle.first, angle.second);
}

static struct chord_rates piece_rates(const struct piece *piece) {
  const struct curve *curve = &piece->curve;
  double length = piece->t1 - piece->t0, qa = piece->q.c0, qb = cubic_at(piece->q, length);
  struct rates q = {steepest(piece->q, 0, length), most_bent(piece->q, 0, length)};
  struct rates turn = rates_of(curve->turn, qa, qb, q), head = rates_of(curve->head, qa, qb, q);
  double guide = curve->is_line ? turn.second : fabs(curve->radius) * turned(turn);
  double across = guide + (curve->rho == 0 ? 0 : fabs(curve->rho) * turned(head));
  return (struct chord_rates){num_hypot(across, rates_of(curve->z, qa, qb, q).second), head.second};
}

void chord_rough_begin(struct chord_rough *rough) {
  for (size_t i = 0; i < ROUGH_MOST; i++)
    rough->piece[i] = NULL;
}

static struct chord_rates rates_kept(struct chord_rough *rough, const struct piece *piece,
                                     size_t at) {
  size_t place = at % ROUGH_MOST;
  if (rough->piece[place] != piece) {
    rough->piece[place] = piece;
    rough->rates[place] = piece_rates(piece);
  }
  return rough->rates[place];
}

struct chord chord_find_over(const struct passage *row, double tick, struct chord_rough *rough) {
  const struct piece *pieces = row->pieces;
  size_t first = row->first, last = row->last - 1;
  double from = pieces[first].t0 - tick, to = pieces[last].t1 + tick;
  struct chord chord = {.one_curve = false};
  while (first > 0 && pieces[first - 1].t1 > from)
    first--;
  while (last + 1 < row->count && pieces[last + 1].t0 < to)
    last++;
  for (size_t i = first; i <= last; i++)
    add_rates(&chord, rates_kept(rough, &pieces[i], i), tick);
  return chord;
}

struct chord chord_find_rough(const struct passage *passage, double tick,
                              struct chord_rough *rough) {
  if (chord_is_straight(passage, tick))
    return (struct chord){.one_curve = false};
  return chord_find_over(passage, tick, rough);
}

double chord_cost(const struct chord *chord, double lever) {
  double by_time = chord->level + lever * chord->turning;
  double by_place = chord->place_level + lever * chord->place_turning;
  return chord->one_curve && by_place < by_time ? by_place : by_time;
}
