/* steady.c - what the quick numbers are made of, and how far they are off.
 *
 * u = 2^-53.  piece_at() works with t = n tick_s, t - t0, q = c0 + c1 (t - t0) and an angle or way
 * p = p0 + p1 q, each rounded; so from what p were with none of it rounded, it is off by
 *     E = |p1| (|c1| u (|t| + |t - t0|) + u |c1 (t - t0)| + u |q|) + u |p1 q| + u |p|
 * at most, but for u^2.  Here p is worked out like that in the middle, off by E, too, and k step
 * are added, |k| <= STEADY_REACH: step has two roundings, k step one, so that is off by 3 u D, with
 * D = STEADY_REACH |step|.  Between both ways lie A = 2 E + 3 u D.
 *
 * x and y: A times the radius (of a line: A), and what is lost from the angle on, with
 *     cos(m + k step) = cos m + (cos m c - sin m s), s = sin(k step), c = cos(k step) - 1.
 * A sine or cosine is off by 1.1 u, c by 2.1 u; a product, a sum, the factor 1e6 by u: below 24 u S
 * here, S the sizes of centre, radius (or way) and rho together, 6 u S in piece_at() and the
 * rounding of rows; 32 u S is held.  z and head: A, and of the largest 6 u for factors of either
 * way; 8 u is held.  What fixed point loses is counted where it is done.  tests/path/test_steady.c
 * holds all of it to MPFR and to piece_at(). */
#include "borelay/steady.h"

#include <math.h>
#include <string.h>

#include "borelay/swings.h"

#define U            0x1p-53
#define MILLION      1e6
#define DEGREES      (180.0 / NUM_PI)
#define MARGIN_MOST  0x1p-10 /* with more, every other block would be in doubt */
#define PLACE_WIDEST 0x1p34  /* millionths from the middle: PLACE_HELD has room for twice that */
#define RISE_WIDEST  0x1p28  /* so that a step, in last bits, is a double's whole number */
#define PLACE_END    0x1p46  /* of the 2^47 that a row has room for */
#define ANGLE_END    0x1p50
#define PLACE_HELD   0x1.8p36 /* doubles near it have STEADY_PLACE_BITS behind the point */

enum { WORTH_A_TABLE = 2 * STEADY_REACH };

/* Of p over the piece: its size, A and D. */
struct extent {
  double size, margin, width;
};

static struct extent extent_of(const struct piece *piece, struct cubic p, double tick_s) {
  double t = fmax(fabs(piece->t0), fabs(piece->t1)), lasts = piece->t1 - piece->t0;
  double way = fabs(piece->q.c1) * lasts, q = fabs(piece->q.c0) + way;
  double rise = fabs(p.c1) * q, size = fabs(p.c0) + rise;
  double q_off = U * (fabs(piece->q.c1) * (t + lasts) + way + q);
  double off = fabs(p.c1) * q_off + U * (rise + size);
  double width = STEADY_REACH * fabs(p.c1 * piece->q.c1 * tick_s);
  return (struct extent){size, 2 * off + 3 * U * width, width};
}

static bool fits(const struct extent *extent, double unit, double end, double margin) {
  return margin <= MARGIN_MOST && extent->size * unit <= end && extent->width * unit <= RISE_WIDEST;
}

/* False: something is too large, or no number. */
static bool margins_make(struct steady *steady) {
  const struct piece *piece = steady->piece;
  const struct curve *curve = &piece->curve;
  struct extent turn = extent_of(piece, curve->turn, steady->tick_s);
  struct extent z = extent_of(piece, curve->z, steady->tick_s);
  struct extent head = extent_of(piece, curve->head, steady->tick_s);
  double radius = curve->is_line ? 1 : fabs(curve->radius), degree = DEGREES * MILLION;
  double place = fabs(curve->centre.x) + fabs(curve->centre.y) + fabs(curve->rho) +
                 (curve->is_line ? turn.size : radius);
  double bend = curve->is_line ? 0 : turn.width / 2; /* |c| <= D^2 / 2, |s| <= D */
  steady->place_margin = MILLION * (radius * turn.margin + 32 * U * place);
  steady->z_margin = MILLION * (z.margin + 8 * U * z.size);
  steady->head_margin = degree * (head.margin + 8 * U * head.size);
  return steady->place_margin <= MARGIN_MOST && place * MILLION <= PLACE_END &&
         radius * turn.width * (1 + bend) * MILLION <= PLACE_WIDEST &&
         fits(&z, MILLION, PLACE_END, steady->z_margin) &&
         fits(&head, degree, ANGLE_END, steady->head_margin);
}

static void table_make(struct steady *steady) {
  double by[STEADY_ROOM];
  for (int i = 0; i < STEADY_ROOM; i++)
    by[i] = (i - STEADY_REACH) * steady->step;
  if (steady->is_line) {
    memcpy(steady->sine, by, sizeof by);
    memset(steady->cosine_less_one, 0, sizeof by);
    return;
  }
  num_sincos_all(by, steady->sine, steady->cosine_less_one, STEADY_ROOM);
  for (int i = 0; i < STEADY_ROOM; i++)
    steady->cosine_less_one[i] -= 1;
}

bool steady_begin(struct steady *steady, const struct piece *piece, double tick_s, int64_t count) {
  const struct curve *curve = &piece->curve;
  if (!cubic_is_linear(piece->q) || !curve_is_even(curve))
    return false;
  double step = curve->turn.c1 * piece->q.c1 * tick_s;
  bool has_table = steady->has_table && steady->step == step && steady->is_line == curve->is_line;
  if (!has_table && count < WORTH_A_TABLE)
    return false;
  steady->piece = piece;
  steady->tick_s = tick_s;
  if (!margins_make(steady))
    return false;
  if (!has_table) {
    steady->has_table = true;
    steady->is_line = curve->is_line;
    steady->step = step;
    table_make(steady);
  }
  return true;
}

/* -- around a middle -------------------------------------------------------------------------- */

static double nearest(double x) {
  return floor(x + 0.5);
}

/* Two roundings to a last bit, by half of it each: the bound is more than a last bit larger. */
static double held_place(double middle, uint64_t off, uint64_t *base) {
  const double held = PLACE_HELD;
  uint64_t bits;
  memcpy(&bits, &held, sizeof bits);
  double whole = nearest(middle);
  *base = ((uint64_t)(int64_t)whole << STEADY_PLACE_BITS) - bits;
  return held + (middle - whole + 0.5 - (double)off / ((int64_t)1 << STEADY_PLACE_BITS));
}

static void places_at(const struct steady *steady, double turn, double head,
                      struct steady_rows *rows) {
  const struct curve *curve = &steady->piece->curve;
  double x = curve->centre.x, y = curve->centre.y;
  if (curve->is_line) {
    x += turn * curve->direction.x;
    y += turn * curve->direction.y;
    rows->along = curve->direction.y * MILLION;
    rows->across = -curve->direction.x * MILLION;
  } else {
    struct sincos of = num_sincos(turn);
    x += curve->radius * of.cos;
    y += curve->radius * of.sin;
    rows->along = curve->radius * of.cos * MILLION;
    rows->across = curve->radius * of.sin * MILLION;
  }
  if (curve->rho != 0) {
    struct sincos of = num_sincos(head);
    x -= curve->rho * of.cos;
    y -= curve->rho * of.sin;
  }
  uint64_t off = (uint64_t)(steady->place_margin * ((int64_t)1 << STEADY_PLACE_BITS)) + 2;
  rows->x = held_place(x * MILLION, off, &rows->x_base);
  rows->y = held_place(y * MILLION, off, &rows->y_base);
  rows->margins = 2 * off;
}

/* So many words' worth. */
static double words_of(double x, int bits) {
  return floor(x / 0x1p32 / (double)((int64_t)1 << (32 - bits)));
}

/* Half a last bit of the step, STEADY_REACH times, and one that the rest is rounded by are less
 * than STEADY_REACH last bits. */
static bool rise_at(double middle, double step, double margin, int bits, struct steady_rise *rise) {
  double one = (double)((int64_t)1 << bits), whole = nearest(middle);
  double off = nearest(margin * one) + STEADY_REACH;
  double held = nearest((middle - whole + 0.5) * one) - off;
  double widest = fabs(step) * STEADY_REACH + 2;
  rise->step = (uint64_t)(int64_t)nearest(step * one);
  rise->start =
      ((uint64_t)(int64_t)whole << bits) + (uint64_t)(int64_t)held - STEADY_REACH * rise->step;
  rise->margins = 2 * (uint64_t)off;
  rise->upper = (int64_t)words_of(middle, bits);
  return words_of(middle - widest, bits) == words_of(middle + widest, bits);
}

/* The cubics as piece_at() has them. */
bool steady_rows_at(const struct steady *steady, int64_t middle, struct steady_rows *rows) {
  const struct piece *piece = steady->piece;
  const struct curve *curve = &piece->curve;
  double q = cubic_at(piece->q, (double)middle * steady->tick_s - piece->t0);
  double z = cubic_at(curve->z, q), head = cubic_at(curve->head, q);
  double rate = piece->q.c1 * steady->tick_s;
  rows->steady = steady;
  places_at(steady, cubic_at(curve->turn, q), head, rows);
  return rise_at(z * MILLION, curve->z.c1 * rate * MILLION, steady->z_margin, STEADY_Z_BITS,
                 &rows->z) &&
         rise_at(head * DEGREES * MILLION, curve->head.c1 * rate * DEGREES * MILLION,
                 steady->head_margin, STEADY_HEAD_BITS, &rows->head);
}
