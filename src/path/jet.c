/* jet.c - a piece and its time derivatives at one instant.
 *
 * Chain of functions t -> q -> (turn, head, z) -> x, y.  With q1, q2, q3 the time derivatives of q
 * (q4 = 0) and f', f'', f''' those of a cubic f by q (Faa di Bruno; Comtet, Advanced Combinatorics,
 * Reidel 1974, section 3.4, from memory):
 *     f1 = f' q1                  f3 = f''' q1^3 + 3 f'' q1 q2 + f' q3
 *     f2 = f'' q1^2 + f' q2       f4 = 6 f''' q1^2 q2 + f'' (3 q2^2 + 4 q1 q3)
 * With p1 .. p4 the time derivatives of an angle p and E = cos p + i sin p, E_k = (a_k + i b_k) E:
 *     a1 = 0           b1 = p1              a3 = -3 p1 p2                    b3 = p3 - p1^3
 *     a2 = -p1^2       b2 = p2              a4 = p1^4 - 3 p2^2 - 4 p1 p3     b4 = p4 - 6 p1^2 p2 */
#include "borelay/path.h"
#include "path/series.h"

struct pose piece_at(const struct piece *piece, double t) {
  const struct curve *curve = &piece->curve;
  double q = cubic_at(piece->q, t - piece->t0);
  double turn = cubic_at(curve->turn, q), head = cubic_at(curve->head, q);
  struct pose pose = {curve->centre.x, curve->centre.y, cubic_at(curve->z, q), head};
  if (curve->is_line) {
    pose.x += turn * curve->direction.x;
    pose.y += turn * curve->direction.y;
  } else {
    struct sincos arc = num_sincos(turn);
    pose.x += curve->radius * arc.cos;
    pose.y += curve->radius * arc.sin;
  }
  if (curve->rho != 0) {
    struct sincos torch = num_sincos(head);
    pose.x -= curve->rho * torch.cos;
    pose.y -= curve->rho * torch.sin;
  }
  return pose;
}

static struct series cubic_series(struct cubic p, double x) {
  return (struct series){{cubic_at(p, x), cubic_derivative(p, x, 1), cubic_derivative(p, x, 2),
                          cubic_derivative(p, x, 3), 0}};
}

static struct series compose(struct cubic f, struct series q) {
  struct series g = cubic_series(f, q.d[0]);
  double q1 = q.d[1], q2 = q.d[2], q3 = q.d[3];
  return (struct series){{g.d[0], g.d[1] * q1, g.d[2] * q1 * q1 + g.d[1] * q2,
                          g.d[3] * q1 * q1 * q1 + 3 * g.d[2] * q1 * q2 + g.d[1] * q3,
                          6 * g.d[3] * q1 * q1 * q2 + g.d[2] * (3 * q2 * q2 + 4 * q1 * q3)}};
}

/* Adds scale (cos p, sin p) and its derivatives. */
static void add_wave(double scale, struct series p, struct series *x, struct series *y) {
  struct sincos e = num_sincos(p.d[0]);
  double p1 = p.d[1], p2 = p.d[2], p3 = p.d[3];
  double a[SERIES_COUNT] = {1, 0, -p1 * p1, -3 * p1 * p2,
                            p1 * p1 * p1 * p1 - 3 * p2 * p2 - 4 * p1 * p3};
  double b[SERIES_COUNT] = {0, p1, p2, p3 - p1 * p1 * p1, p.d[4] - 6 * p1 * p1 * p2};
  for (int k = 0; k < SERIES_COUNT; k++) {
    x->d[k] += scale * (a[k] * e.cos - b[k] * e.sin);
    y->d[k] += scale * (a[k] * e.sin + b[k] * e.cos);
  }
}

static void add_line(vec2 direction, struct series p, struct series *x, struct series *y) {
  for (int k = 0; k < SERIES_COUNT; k++) {
    x->d[k] += direction.x * p.d[k];
    y->d[k] += direction.y * p.d[k];
  }
}

struct axes_series piece_series(const struct piece *piece, double t) {
  const struct curve *curve = &piece->curve;
  struct series q = cubic_series(piece->q, t - piece->t0);
  struct series turn = compose(curve->turn, q);
  struct axes_series s;
  s.axis[AXIS_X] = (struct series){{curve->centre.x}};
  s.axis[AXIS_Y] = (struct series){{curve->centre.y}};
  s.axis[AXIS_Z] = compose(curve->z, q);
  s.axis[AXIS_HEAD] = compose(curve->head, q);
  if (curve->is_line)
    add_line(curve->direction, turn, &s.axis[AXIS_X], &s.axis[AXIS_Y]);
  else
    add_wave(curve->radius, turn, &s.axis[AXIS_X], &s.axis[AXIS_Y]);
  if (curve->rho != 0)
    add_wave(-curve->rho, s.axis[AXIS_HEAD], &s.axis[AXIS_X], &s.axis[AXIS_Y]);
  return s;
}

struct jet piece_jet(const struct piece *piece, double t) {
  struct axes_series s = piece_series(piece, t);
  struct jet jet;
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    for (int k = 0; k < 4; k++)
      jet.d[axis][k] = s.axis[axis].d[k];
  return jet;
}
