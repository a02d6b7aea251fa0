/* jet_range.c - ranges of a piece and its time derivatives over a stretch of time.
 *
 * First the chain of jet.c in ranges: every number by a range that holds it all along, the cubics'
 * and the sine's ranges being exact.  That overestimates in proportion to the stretch, since a
 * sum forgets that its terms move together.  Then every derivative k is tightened by k + 1, which
 * is known to lie in R: where R does not hold 0 the derivative k is monotone and its ends are its
 * range; otherwise the mean value theorem gives d_k(mid) + R [-h/2, h/2].  Both are enclosures,
 * and so is what they have in common.  The overestimate is then of second order in the stretch.
 *
 * Most pieces need none of that: even.c knows theirs exactly, and uneven.c closely. */
#include "borelay/path.h"

#include <math.h>

#include "path/even.h"
#include "path/interval.h"
#include "path/uneven.h"

/* A quantity's ranges and those of its derivatives by time; the fourth serves to tighten the third
 * (with q4 = 0, and the notation of jet.c):
 *     f4 = 6 f''' q1^2 q2 + f'' (3 q2^2 + 4 q1 q3)
 *     a4 = p1^4 - 3 p2^2 - 4 p1 p3      b4 = p4 - 6 p1^2 p2 */
enum { SERIES_COUNT = 5 };
struct range_series {
  struct range d[SERIES_COUNT];
};

/* `most` of these: the highest derivative that is asked for, 2 or 4. */
static struct range_series cubic_ranges(struct cubic p, struct range x, int most) {
  struct range_series r = {0};
  for (int k = 0; k <= most && k < 4; k++)
    r.d[k] = interval_cubic(p, x, k);
  return r;
}

static struct range_series compose(struct cubic f, const struct range_series *q, int most) {
  struct range_series g = cubic_ranges(f, q->d[0], most);
  struct range q1 = q->d[1], q2 = q->d[2], q3 = q->d[3], square = interval_square(q1);
  struct range_series r = {0};
  r.d[0] = g.d[0];
  r.d[1] = interval_mul(g.d[1], q1);
  r.d[2] = interval_add(interval_mul(g.d[2], square), interval_mul(g.d[1], q2));
  if (most == 2)
    return r;
  struct range both = interval_mul(q1, q2);
  r.d[3] = interval_add(
      interval_mul(g.d[3], interval_cube(q1)),
      interval_add(interval_scale(interval_mul(g.d[2], both), 3), interval_mul(g.d[1], q3)));
  struct range inner =
      interval_add(interval_scale(interval_square(q2), 3), interval_scale(interval_mul(q1, q3), 4));
  r.d[4] = interval_add(interval_scale(interval_mul(g.d[3], interval_mul(square, q2)), 6),
                        interval_mul(g.d[2], inner));
  return r;
}

struct factors { /* E_k = (a_k + i b_k) E */
  struct range a[SERIES_COUNT], b[SERIES_COUNT];
};

static struct factors wave_factors(const struct range_series *p, int most) {
  struct range p1 = p->d[1], p2 = p->d[2], p3 = p->d[3];
  struct range square = interval_square(p1);
  struct factors f;
  f.a[0] = (struct range){1, 1};
  f.b[0] = f.a[1] = (struct range){0, 0};
  f.b[1] = p1;
  f.a[2] = interval_scale(square, -1);
  f.b[2] = p2;
  if (most == 2)
    return f;
  f.a[3] = interval_scale(interval_mul(p1, p2), -3);
  f.b[3] = interval_sub(p3, interval_cube(p1));
  f.a[4] =
      interval_sub(interval_square(square), interval_add(interval_scale(interval_square(p2), 3),
                                                         interval_scale(interval_mul(p1, p3), 4)));
  f.b[4] = interval_sub(p->d[4], interval_scale(interval_mul(square, p2), 6));
  return f;
}

static void add_wave(double scale, const struct range_series *p, int most, struct range_series *x,
                     struct range_series *y) {
  struct wave_ranges waves = interval_waves(p->d[0]);
  struct range c = interval_scale(waves.cos, scale), s = interval_scale(waves.sin, scale);
  struct factors f = wave_factors(p, most);
  for (int k = 0; k <= most; k++) {
    struct range along_x = interval_sub(interval_mul(f.a[k], c), interval_mul(f.b[k], s));
    struct range along_y = interval_add(interval_mul(f.a[k], s), interval_mul(f.b[k], c));
    x->d[k] = interval_add(x->d[k], along_x);
    y->d[k] = interval_add(y->d[k], along_y);
  }
}

static void add_line(vec2 direction, const struct range_series *p, struct range_series *x,
                     struct range_series *y) {
  for (int k = 0; k < SERIES_COUNT; k++) {
    x->d[k] = interval_add(x->d[k], interval_scale(p->d[k], direction.x));
    y->d[k] = interval_add(y->d[k], interval_scale(p->d[k], direction.y));
  }
}

struct chain { /* everything on the way from q to the axes */
  struct range_series turn, axis[AXIS_COUNT];
};

static struct chain chain_ranges(const struct piece *piece, double ta, double tb, int most) {
  const struct curve *curve = &piece->curve;
  struct range_series q =
      cubic_ranges(piece->q, (struct range){ta - piece->t0, tb - piece->t0}, most);
  struct chain c = {.turn = compose(curve->turn, &q, most)};
  struct range_series *x = &c.axis[AXIS_X], *y = &c.axis[AXIS_Y];
  x->d[0] = (struct range){curve->centre.x, curve->centre.x};
  y->d[0] = (struct range){curve->centre.y, curve->centre.y};
  c.axis[AXIS_Z] = compose(curve->z, &q, most);
  c.axis[AXIS_HEAD] = compose(curve->head, &q, most);
  if (curve->is_line)
    add_line(curve->direction, &c.turn, x, y);
  else
    add_wave(curve->radius, &c.turn, most, x, y);
  if (curve->rho != 0)
    add_wave(-curve->rho, &c.axis[AXIS_HEAD], most, x, y);
  return c;
}

static struct range ends(double a, double b) {
  return a < b ? (struct range){a, b} : (struct range){b, a};
}

/* from, mid, to: the axis's derivatives at both ends and in the middle of the stretch of length h.
 */
static void tighten(struct range_series *r, const double *from, const double *mid, const double *to,
                    double h) {
  for (int k = SERIES_COUNT - 2; k >= 0; k--) {
    struct range slope = r->d[k + 1];
    if (slope.lo >= 0 || slope.hi <= 0) {
      r->d[k] = ends(from[k], to[k]);
      continue;
    }
    double reach = interval_magnitude(slope) * h / 2;
    r->d[k] = interval_common(r->d[k], (struct range){mid[k] - reach, mid[k] + reach});
  }
}

static void chain_stretch(const struct piece *piece, double ta, double tb,
                          struct jet_stretch *stretch) {
  struct chain c = chain_ranges(piece, ta, tb, 4);
  struct jet mid = piece_jet(piece, ta + (tb - ta) / 2);
  stretch->from = piece_jet(piece, ta);
  stretch->to = piece_jet(piece, tb);
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    tighten(&c.axis[axis], stretch->from.d[axis], mid.d[axis], stretch->to.d[axis], tb - ta);
    for (int k = 0; k < SERIES_COUNT - 1; k++)
      stretch->all.d[axis][k] = c.axis[axis].d[k];
  }
}

void piece_jet_stretch(const struct piece *piece, double ta, double tb,
                       struct jet_stretch *stretch) {
  struct timed timed;
  if (!timed_make(piece, &timed))
    chain_stretch(piece, ta, tb, stretch);
  else if (timed_is_even(piece, &timed))
    even_stretch(piece, &timed, ta, tb, stretch);
  else
    uneven_stretch(piece, &timed, ta, tb, stretch);
}

struct jet_range piece_jet_range(const struct piece *piece, double ta, double tb) {
  struct jet_stretch stretch;
  piece_jet_stretch(piece, ta, tb, &stretch);
  return stretch.all;
}

/* |scale| times the largest length of the k-th derivative of (cos p, sin p), k = 1, 2: the factors
 * a_k, b_k stand at right angles, so the length is sqrt(a_k^2 + b_k^2). */
static double wave_bound(double scale, const struct range_series *p, int k) {
  double p1 = interval_magnitude(p->d[1]), p2 = interval_magnitude(p->d[2]);
  return fabs(scale) * (k == 1 ? p1 : num_hypot(p1 * p1, p2));
}

/* Length of H's k-th derivative across the axis: the smaller of the bound by the two ranges of x
 * and y, which is poor on long arcs, and the one by the guide and the torch taken apart. */
static double across_bound(const struct curve *curve, const struct chain *c, int k) {
  double box =
      num_hypot(interval_magnitude(c->axis[AXIS_X].d[k]), interval_magnitude(c->axis[AXIS_Y].d[k]));
  double guide =
      curve->is_line ? interval_magnitude(c->turn.d[k]) : wave_bound(curve->radius, &c->turn, k);
  double parts = guide + wave_bound(curve->rho, &c->axis[AXIS_HEAD], k);
  return box < parts ? box : parts;
}

struct motion_bound piece_motion_bound(const struct piece *piece, double ta, double tb) {
  struct timed timed;
  struct motion_bound bound;
  if (timed_make(piece, &timed) && timed_is_even(piece, &timed)) {
    even_motion_bound(piece, &timed, ta, tb, &bound);
    return bound;
  }
  struct chain c = chain_ranges(piece, ta, tb, 2);
  for (int k = 1; k <= 2; k++) {
    bound.level[k - 1] = across_bound(&piece->curve, &c, k);
    bound.rise[k - 1] = interval_magnitude(c.axis[AXIS_Z].d[k]);
    bound.carried[k - 1] = wave_bound(1, &c.axis[AXIS_HEAD], k);
  }
  bound.turning = interval_magnitude(c.axis[AXIS_HEAD].d[2]);
  return bound;
}

struct point_bound motion_point_bound(const struct motion_bound *b, double lever) {
  return (struct point_bound){num_hypot(b->level[0] + lever * b->carried[0], b->rise[0]),
                              num_hypot(b->level[1] + lever * b->carried[1], b->rise[1])};
}

struct point_bound piece_point_bound(const struct piece *piece, double ta, double tb,
                                     double lever) {
  struct motion_bound bound = piece_motion_bound(piece, ta, tb);
  return motion_point_bound(&bound, lever);
}

double motion_chord_bound(const struct motion_bound *b, double lever) {
  return num_hypot(b->level[1], b->rise[1]) + lever * b->turning;
}
