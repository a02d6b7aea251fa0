/* poses.c - a piece at many times.
 *
 * What piece_at() does for one time is done step by step for all of them, the same operations in
 * the same order, so that each step is a loop without branches. */
#include "borelay/lanes.h"
#include "borelay/path.h"

static inline double value_at(struct cubic p, double x) {
  return ((p.c3 * x + p.c2) * x + p.c1) * x + p.c0;
}

LANES static void cubics_all(const struct piece *piece, const double *restrict t, size_t count,
                             double *restrict turn, double *restrict head, double *restrict z) {
  const struct cubic along = piece->q, turn_of = piece->curve.turn, head_of = piece->curve.head,
                     z_of = piece->curve.z;
  double t0 = piece->t0;
  for (size_t i = 0; i < count; i++) {
    double q = value_at(along, t[i] - t0);
    turn[i] = value_at(turn_of, q);
    head[i] = value_at(head_of, q);
    z[i] = value_at(z_of, q);
  }
}

/* to[i] = start + scale * by[i] */
LANES static void add_all(double *restrict to, double start, double scale,
                          const double *restrict by, size_t count) {
  for (size_t i = 0; i < count; i++)
    to[i] = start + scale * by[i];
}

LANES static void take_off_all(double *restrict from, double scale, const double *restrict by,
                               size_t count) {
  for (size_t i = 0; i < count; i++)
    from[i] -= scale * by[i];
}

void piece_poses(const struct piece *piece, const double *t, size_t count, struct poses *poses,
                 size_t at) {
  const struct curve *curve = &piece->curve;
  double turn[POSES_MOST], sine[POSES_MOST], cosine[POSES_MOST];
  double *x = poses->x + at, *y = poses->y + at, *head = poses->head + at;
  cubics_all(piece, t, count, turn, head, poses->z + at);
  if (curve->is_line) {
    add_all(x, curve->centre.x, curve->direction.x, turn, count);
    add_all(y, curve->centre.y, curve->direction.y, turn, count);
  } else {
    num_sincos_all(turn, sine, cosine, count);
    add_all(x, curve->centre.x, curve->radius, cosine, count);
    add_all(y, curve->centre.y, curve->radius, sine, count);
  }
  if (curve->rho != 0) {
    num_sincos_all(head, sine, cosine, count);
    take_off_all(x, curve->rho, cosine, count);
    take_off_all(y, curve->rho, sine, count);
  }
}
