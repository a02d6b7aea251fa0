/* swings.c - see swings.h.
 *
 * Of E on 0 .. 1 the derivatives are, quarter by quarter,
 *     E'    16 y^2,   2 - 16 (y - 1/2)^2,  the first backward      0 .. 2
 *     E''   32 y,     -32 (y - 1/2),       ..                      -8 .. 8
 *     E'''  32, -32, -32, 32
 * so with D and L the sway u has |u'| <= 2 D/L, |u''| <= 8 D/L^2, |u'''| <= 32 D/L^3 in q, all of
 * them reached in every crossing, in both directions; u itself runs from -D/2 to D/2.  With q' = v
 * and the centre's z linear, z is that less u: each range is the sum of the two, exact for
 * derivatives and, where the centre is level, for z. */
#include "borelay/swings.h"

#include <math.h>

#include "path/even.h"
#include "path/interval.h"

static const double TOO_SHORT = 1e-10; /* of q: no stay, but rounding */

bool curve_is_even(const struct curve *curve) {
  return cubic_is_linear(curve->turn) && cubic_is_linear(curve->head) &&
         cubic_is_linear(curve->z) && (curve->rho == 0 || curve->head.c1 == 0);
}

static struct piece piece_over(const struct swings *swings, double q, double length) {
  struct piece piece = swings->centre;
  double rate = piece.q.c1;
  piece.t0 = swings->centre.t0 + q / rate;
  piece.t1 = piece.t0 + length / rate;
  piece.q.c0 += q;
  return piece;
}

struct swings swings_part(const struct swings *all, int64_t from, int64_t count) {
  struct swings part = *all;
  part.centre = piece_over(all, (double)from * all->half, (double)count * all->half);
  if (from + count == all->count)
    part.centre.t1 = all->centre.t1;
  part.first += from;
  part.count = count;
  return part;
}

struct swings swings_halved(const struct swings *swings, int half) {
  int64_t middle = swings->count / 4 * 2;
  return half == 0 ? swings_part(swings, 0, middle)
                   : swings_part(swings, middle, swings->count - middle);
}

static struct cubic carried(struct cubic linear, double q) {
  return (struct cubic){cubic_at(linear, q), linear.c1, 0, 0};
}

/* The curve seen from q on, `deeper` below the centre line. */
static void take_down(struct piece *piece, struct cubic deeper, double length) {
  struct curve *curve = &piece->curve;
  double q = piece->q.c0;
  curve->length = length;
  curve->turn = carried(curve->turn, q);
  curve->head = carried(curve->head, q);
  curve->z = cubic_less(carried(curve->z, q), deeper);
  piece->q.c0 = 0;
}

size_t swings_pieces(const struct swings *swings, int64_t i, struct piece pieces[HALF_PIECES]) {
  double length = swings->cross, quarter = length / 4, stay = swings->half - length;
  double end = i % 2 == 0 ? swings->amplitude : -swings->amplitude;
  double begin = (double)i * swings->half;
  const double from[HALF_PIECES] = {0, quarter, length - quarter, length};
  const double lengths[HALF_PIECES] = {quarter, length - 2 * quarter, quarter, stay};
  /* of where each begins, before what its cubic is reckoned from */
  const double before[HALF_PIECES - 1] = {0, length / 4, quarter};
  size_t count = 0;
  for (int part = 0; part < HALF_PIECES; part++) {
    struct cubic deeper = {end, 0, 0, 0};
    if (!(lengths[part] > TOO_SHORT))
      continue;
    if (part < HALF_PIECES - 1) {
      deeper =
          cubic_shift(crossing_cubic((enum crossing_part)part, 2 * end, length), -before[part]);
      deeper.c0 -= end;
    }
    pieces[count] = piece_over(swings, begin + from[part], lengths[part]);
    take_down(&pieces[count++], deeper, lengths[part]);
  }
  return count;
}

size_t swings_sway(const struct swings *swings, int64_t i, struct piece pieces[SWAY_PIECES]) {
  size_t count = swings_pieces(swings, i, pieces);
  return count + swings_pieces(swings, i + 1, pieces + count);
}

/* What the sway adds to the k-th derivative by time of z, in magnitude. */
static double swayed(const struct swings *swings, int k) {
  double rate = swings->centre.q.c1 / swings->cross, by = CROSSING_MOST[k] * 2 * swings->amplitude;
  for (int i = 0; i < k; i++)
    by *= rate;
  return by;
}

double swings_slope(const struct swings *swings) {
  return CROSSING_MOST[1] * 2 * swings->amplitude / swings->cross;
}

void swings_stretch(const struct swings *swings, struct jet_stretch *stretch) {
  const struct piece *centre = &swings->centre;
  piece_jet_stretch(centre, centre->t0, centre->t1, stretch);
  for (int k = 0; k < 4; k++) {
    double by = swayed(swings, k);
    struct range *z = &stretch->all.d[AXIS_Z][k];
    *z = (struct range){z->lo - by, z->hi + by};
  }
  /* They begin and end at the shallower end, at rest across the lap. */
  stretch->from.d[AXIS_Z][0] += swings->amplitude;
  stretch->to.d[AXIS_Z][0] += swings->amplitude;
  stretch->from.d[AXIS_Z][3] -= swayed(swings, 3);
}

struct motion_bound swings_bound(const struct swings *swings) {
  const struct piece *centre = &swings->centre;
  struct motion_bound bound = piece_motion_bound(centre, centre->t0, centre->t1);
  bound.rise[0] += swayed(swings, 1);
  bound.rise[1] += swayed(swings, 2);
  return bound;
}
