/* even.c - exact ranges of cubics in time, and of even turning.
 *
 * A cubic of a cubic is a cubic again where one of both is linear.  Of a cubic the third derivative
 * is one number and the second lies between its ends; where the derivative above has one sign the
 * ends are the range, and elsewhere the places where it vanishes count besides.
 *
 * With the turning rate w even and E = R (cos turn, sin turn), each derivative is E turned on by a
 * quarter and taken w times: all of them have the range of one cosine and one sine. */
#include "path/even.h"

#include <math.h>
#include <string.h>

#include "path/interval.h"

enum { DERIVATIVES = 4 };

static bool is_constant(struct cubic p) {
  return p.c1 == 0 && cubic_is_linear(p);
}

/* f(q(x)); false: it is no cubic. */
static bool compose(struct cubic f, struct cubic q, struct cubic *made) {
  if (cubic_is_linear(f)) {
    *made = (struct cubic){f.c0 + f.c1 * q.c0, f.c1 * q.c1, f.c1 * q.c2, f.c1 * q.c3};
    return true;
  }
  struct cubic at = q.c0 == 0 ? f : cubic_shift(f, q.c0);
  double square = q.c1 * q.c1;
  *made = (struct cubic){at.c0, at.c1 * q.c1, at.c2 * square, at.c3 * square * q.c1};
  return cubic_is_linear(q);
}

bool timed_make(const struct piece *piece, struct timed *timed) {
  const struct curve *curve = &piece->curve;
  return compose(curve->turn, piece->q, &timed->turn) &&
         compose(curve->head, piece->q, &timed->head) && compose(curve->z, piece->q, &timed->z);
}

bool timed_is_even(const struct piece *piece, const struct timed *timed) {
  const struct curve *curve = &piece->curve;
  return (curve->is_line || cubic_is_linear(timed->turn)) &&
         (curve->rho == 0 || is_constant(timed->head));
}

static struct range between(double a, double b) {
  return a < b ? (struct range){a, b} : (struct range){b, a};
}

static bool has_one_sign(struct range r) {
  return r.lo >= 0 || r.hi <= 0;
}

static void spread_linear(struct cubic p, double xa, double xb, struct spread *s) {
  *s = (struct spread){.from = {cubic_at(p, xa), p.c1}, .to = {cubic_at(p, xb), p.c1}};
  s->all[0] = between(s->from[0], s->to[0]);
  s->all[1] = (struct range){p.c1, p.c1};
}

void spread_over(struct cubic p, double xa, double xb, struct spread *s) {
  if (cubic_is_linear(p)) {
    spread_linear(p, xa, xb, s);
    return;
  }
  s->from[0] = cubic_at(p, xa);
  s->to[0] = cubic_at(p, xb);
  for (int k = 1; k < DERIVATIVES; k++) {
    s->from[k] = cubic_derivative(p, xa, k);
    s->to[k] = cubic_derivative(p, xb, k);
  }
  for (int k = 0; k < DERIVATIVES; k++)
    s->all[k] = between(s->from[k], s->to[k]);
  if (!has_one_sign(s->all[2])) {
    double turned = p.c1 - p.c2 * p.c2 / (3 * p.c3); /* c3 = 0 would leave one sign */
    s->all[1] = (struct range){fmin(s->all[1].lo, turned), fmax(s->all[1].hi, turned)};
  }
  if (!has_one_sign(s->all[1]))
    cubic_range(p, xa, xb, &s->all[0].lo, &s->all[0].hi);
}

void spread_put(struct jet_stretch *stretch, int axis, const struct spread *s) {
  memcpy(stretch->from.d[axis], s->from, sizeof s->from);
  memcpy(stretch->to.d[axis], s->to, sizeof s->to);
  memcpy(stretch->all.d[axis], s->all, sizeof s->all);
}

static void put_scaled(struct jet_stretch *stretch, int axis, const struct spread *s, double by) {
  for (int k = 0; k < DERIVATIVES; k++) {
    stretch->from.d[axis][k] = by * s->from[k];
    stretch->to.d[axis][k] = by * s->to[k];
    stretch->all.d[axis][k] = interval_scale(s->all[k], by);
  }
}

static void put_arc(struct jet_stretch *stretch, const struct spread *turn, double radius) {
  struct sincos from = num_sincos(turn->from[0]), to = num_sincos(turn->to[0]);
  bool rises = turn->from[0] <= turn->to[0];
  struct wave_ranges waves =
      interval_waves_known(turn->all[0], rises ? from : to, rises ? to : from);
  double by = radius, rate = turn->from[1];
  for (int k = 0; k < DERIVATIVES; k++) {
    bool odd = k % 2 == 1;
    double by_x = k == 1 || k == 2 ? -by : by, by_y = k >= 2 ? -by : by;
    stretch->from.d[AXIS_X][k] = by_x * (odd ? from.sin : from.cos);
    stretch->from.d[AXIS_Y][k] = by_y * (odd ? from.cos : from.sin);
    stretch->to.d[AXIS_X][k] = by_x * (odd ? to.sin : to.cos);
    stretch->to.d[AXIS_Y][k] = by_y * (odd ? to.cos : to.sin);
    stretch->all.d[AXIS_X][k] = interval_scale(odd ? waves.sin : waves.cos, by_x);
    stretch->all.d[AXIS_Y][k] = interval_scale(odd ? waves.cos : waves.sin, by_y);
    by *= rate;
  }
}

static void shift(struct jet_stretch *stretch, int axis, double by) {
  stretch->from.d[axis][0] += by;
  stretch->to.d[axis][0] += by;
  stretch->all.d[axis][0].lo += by;
  stretch->all.d[axis][0].hi += by;
}

void even_stretch(const struct piece *piece, const struct timed *timed, double ta, double tb,
                  struct jet_stretch *stretch) {
  const struct curve *curve = &piece->curve;
  double xa = ta - piece->t0, xb = tb - piece->t0;
  struct spread turn, head, z;
  spread_over(timed->turn, xa, xb, &turn);
  spread_over(timed->head, xa, xb, &head);
  spread_over(timed->z, xa, xb, &z);
  spread_put(stretch, AXIS_Z, &z);
  spread_put(stretch, AXIS_HEAD, &head);
  if (curve->is_line) {
    put_scaled(stretch, AXIS_X, &turn, curve->direction.x);
    put_scaled(stretch, AXIS_Y, &turn, curve->direction.y);
  } else {
    put_arc(stretch, &turn, curve->radius);
  }
  vec2 centre = curve->centre;
  if (curve->rho != 0) {
    struct sincos torch = num_sincos(timed->head.c0);
    centre.x -= curve->rho * torch.cos;
    centre.y -= curve->rho * torch.sin;
  }
  shift(stretch, AXIS_X, centre.x);
  shift(stretch, AXIS_Y, centre.y);
}

void even_motion_bound(const struct piece *piece, const struct timed *timed, double ta, double tb,
                       struct motion_bound *bound) {
  double xa = ta - piece->t0, xb = tb - piece->t0;
  struct spread turn, head, z;
  spread_over(timed->turn, xa, xb, &turn);
  spread_over(timed->head, xa, xb, &head);
  spread_over(timed->z, xa, xb, &z);
  double rate = turn.from[1],
         turning[2] = {interval_magnitude(head.all[1]), interval_magnitude(head.all[2])};
  for (int k = 1; k <= 2; k++) {
    bound->level[k - 1] = piece->curve.is_line
                              ? interval_magnitude(turn.all[k])
                              : fabs(piece->curve.radius * (k == 1 ? rate : rate * rate));
    bound->rise[k - 1] = interval_magnitude(z.all[k]);
  }
  bound->carried[0] = turning[0];
  bound->carried[1] = num_hypot(turning[0] * turning[0], turning[1]);
  bound->turning = turning[1];
}
