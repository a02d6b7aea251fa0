/* poses.c - a piece at many times.
 *
 * What piece_at() does for one time is done step by step for all of them, the same operations in
 * the same order, so that each step is a loop without branches; what is 0 is left out where that
 * does not change a bit.
 *
 * Rows show x and y to a millionth of a mm, so they need not be right to the last bit, but where a
 * half is near: then, and where angles lie far apart, they are worked out in full. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/path.h"

/* to[i] = p(from[i] - less) as cubic_at() gives it, for finite numbers.  With c3 = c2 = 0 the first
 * sums are 0 and add nothing to a c1 that is none; with c1 = 0, too, nothing to c0. */
static inline void cubic_all(struct cubic p, const double *restrict from, double less,
                             double *restrict to, size_t count) {
  if (p.c3 != 0 || p.c2 != 0 || (p.c1 == 0 && p.c0 == 0))
    for (size_t i = 0; i < count; i++) {
      double x = from[i] - less;
      to[i] = ((p.c3 * x + p.c2) * x + p.c1) * x + p.c0;
    }
  else if (p.c1 != 0)
    for (size_t i = 0; i < count; i++)
      to[i] = p.c1 * (from[i] - less) + p.c0;
  else
    for (size_t i = 0; i < count; i++)
      to[i] = p.c0;
}

static bool turns_alike(const struct curve *curve) {
  struct cubic turn = curve->turn, head = curve->head;
  return turn.c0 == head.c0 && turn.c1 == head.c1 && turn.c2 == head.c2 && turn.c3 == head.c3;
}

LANES_VOID(cubics_all,
           (const struct piece *piece, const double *restrict t, size_t count,
            double *restrict turn, double *restrict head, double *restrict z),
           (piece, t, count, turn, head, z)) {
  const struct curve *curve = &piece->curve;
  double q[POSES_MOST];
  cubic_all(piece->q, t, piece->t0, q, count);
  cubic_all(curve->head, q, 0, head, count);
  cubic_all(curve->z, q, 0, z, count);
  if (turns_alike(curve))
    for (size_t i = 0; i < count; i++)
      turn[i] = head[i];
  else
    cubic_all(curve->turn, q, 0, turn, count);
}

/* to[i] = start + scale * by[i] */
LANES_VOID(add_all,
           (double *restrict to, double start, double scale, const double *restrict by,
            size_t count),
           (to, start, scale, by, count)) {
  for (size_t i = 0; i < count; i++)
    to[i] = start + scale * by[i];
}

LANES_VOID(take_off_all,
           (double *restrict from, double scale, const double *restrict by, size_t count),
           (from, scale, by, count)) {
  for (size_t i = 0; i < count; i++)
    from[i] -= scale * by[i];
}

/* Angles nearer to the middle one of theirs than num_sincos_near() asks, where they turn evenly;
 * more parts than these are not worth it. */
static const double PARTS_A_RADIAN = 9;
enum { PARTS_MOST = 8 };

/* Into so many parts the angles go; 0: they lie too far apart. */
static size_t parts_of(const double *a, size_t count) {
  double parts = 1 + fabs(a[count - 1] - a[0]) * PARTS_A_RADIAN;
  return parts < PARTS_MOST + 1 ? (size_t)parts : 0;
}

/* Returns whether all are as num_sincos() has them. */
static bool sincos_all(const double *a, bool nearly, double *sine, double *cosine, size_t count) {
  size_t parts = nearly ? parts_of(a, count) : 0,
         most = parts > 0 ? (count - 1) / parts + 1 : count;
  bool is_exact = true;
  for (size_t from = 0; from < count; from += most) {
    size_t part = count - from < most ? count - from : most;
    if (parts > 0 && num_sincos_near(a + from, sine + from, cosine + from, part))
      is_exact = false;
    else
      num_sincos_all(a + from, sine + from, cosine + from, part);
  }
  return is_exact;
}

/* Returns whether x and y are as piece_at() has them. */
static bool places_all(const struct curve *curve, const double *turn, const double *head,
                       bool nearly, double *x, double *y, size_t count) {
  double sine[POSES_MOST], cosine[POSES_MOST];
  bool is_exact = true;
  if (curve->is_line) {
    add_all(x, curve->centre.x, curve->direction.x, turn, count);
    add_all(y, curve->centre.y, curve->direction.y, turn, count);
  } else {
    is_exact = sincos_all(turn, nearly, sine, cosine, count);
    add_all(x, curve->centre.x, curve->radius, cosine, count);
    add_all(y, curve->centre.y, curve->radius, sine, count);
  }
  if (curve->rho != 0) {
    is_exact &= sincos_all(head, nearly, sine, cosine, count);
    take_off_all(x, curve->rho, cosine, count);
    take_off_all(y, curve->rho, sine, count);
  }
  return is_exact;
}

void piece_turns(const struct piece *piece, const double *t, size_t count, struct poses *poses,
                 size_t at) {
  cubics_all(piece, t, count, poses->turn + at, poses->head + at, poses->z + at);
}

/* No value is so near to a half of a millionth that one off by `margin` millionths may be beyond
 * it. */
LANES(bool, clear_of_halves, (const double *values, double margin, size_t count),
      (values, margin, count)) {
  const double whole = 0x1p52; /* sums with it are whole numbers */
  int64_t doubt = 0;
  for (size_t i = 0; i < count; i++) {
    double size = fabs(values[i]) * 1e6, off = size - ((size + whole) - whole);
    double room = (0.5 - margin) - fabs(off);
    int64_t bits;
    memcpy(&bits, &room, sizeof bits);
    doubt |= bits;
  }
  return doubt >= 0;
}

/* With S the sum of the sizes of centre, radius and rho: both ways' sines and cosines together are
 * off by 5.2e-16, each product and sum of either by half a last place, so x and y by 1.2e-15 S; in
 * millionths, each rounded again, 1.4e-15 S 1e6 < 2^-49 S 1e6. */
static double margin_of(const struct curve *curve) {
  double centre = fmax(fabs(curve->centre.x), fabs(curve->centre.y));
  return (centre + fabs(curve->radius) + fabs(curve->rho)) * 1e6 * 0x1p-49;
}

bool curve_is_on(const struct curve *a, const struct curve *b) {
  return a->is_line == b->is_line && a->centre.x == b->centre.x && a->centre.y == b->centre.y &&
         a->rho == b->rho &&
         (a->is_line ? a->direction.x == b->direction.x && a->direction.y == b->direction.y
                     : a->radius == b->radius);
}

double poses_place_nearly(const struct curve *curve, struct poses *poses, size_t at, size_t count) {
  bool is_exact = places_all(curve, poses->turn + at, poses->head + at, true, poses->x + at,
                             poses->y + at, count);
  return is_exact ? 0 : margin_of(curve);
}

void poses_place(const struct curve *curve, struct poses *poses, size_t at, size_t count) {
  double *x = poses->x + at, *y = poses->y + at;
  double margin = poses_place_nearly(curve, poses, at, count);
  if (margin > 0 && !(clear_of_halves(x, margin, count) && clear_of_halves(y, margin, count)))
    places_all(curve, poses->turn + at, poses->head + at, false, x, y, count);
}
