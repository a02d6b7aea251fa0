/* jet.c - a piece and its time derivatives at one instant.
 *
 * Chain of functions t -> q -> (turn, head, z) -> x, y.  With q1, q2, q3 the time derivatives of q
 * and f', f'', f''' those of a cubic f by q (Faa di Bruno; Comtet, Advanced Combinatorics, Reidel
 * 1974, section 3.4, from memory):
 *     f1 = f' q1      f2 = f'' q1^2 + f' q2      f3 = f''' q1^3 + 3 f'' q1 q2 + f' q3
 * With p1, p2, p3 the time derivatives of an angle p and E = cos p + i sin p, E_k = (a_k + i b_k)
 * E: a1 = 0          a2 = -p1^2                 a3 = -3 p1 p2 b1 = p1         b2 = p2 b3 = p3 -
 * p1^3 */
#include "borelay/path.h"

#include "path/wave.h"

enum { JET_COUNT = 4 };

struct series { /* one quantity and its derivatives by time */
  double d[JET_COUNT];
};

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
                          cubic_derivative(p, x, 3)}};
}

static struct series compose(struct cubic f, struct series q) {
  struct series g = cubic_series(f, q.d[0]);
  double q1 = q.d[1], q2 = q.d[2], q3 = q.d[3];
  return (struct series){{g.d[0], g.d[1] * q1, g.d[2] * q1 * q1 + g.d[1] * q2,
                          g.d[3] * q1 * q1 * q1 + 3 * g.d[2] * q1 * q2 + g.d[1] * q3}};
}

static void add_line(vec2 direction, struct series p, struct series *x, struct series *y) {
  for (int k = 0; k < JET_COUNT; k++) {
    x->d[k] += direction.x * p.d[k];
    y->d[k] += direction.y * p.d[k];
  }
}

static void put(struct jet *jet, int axis, const struct series *s) {
  for (int k = 0; k < JET_COUNT; k++)
    jet->d[axis][k] = s->d[k];
}

struct jet piece_jet(const struct piece *piece, double t) {
  const struct curve *curve = &piece->curve;
  struct series q = cubic_series(piece->q, t - piece->t0);
  struct series turn = compose(curve->turn, q), head = compose(curve->head, q);
  struct series z = compose(curve->z, q);
  struct series x = {{curve->centre.x}}, y = {{curve->centre.y}};
  if (curve->is_line)
    add_line(curve->direction, turn, &x, &y);
  else
    wave_add(curve->radius, turn.d, num_sincos(turn.d[0]), x.d, y.d);
  if (curve->rho != 0)
    wave_add(-curve->rho, head.d, num_sincos(head.d[0]), x.d, y.d);
  struct jet jet;
  put(&jet, AXIS_X, &x);
  put(&jet, AXIS_Y, &y);
  put(&jet, AXIS_Z, &z);
  put(&jet, AXIS_HEAD, &head);
  return jet;
}
