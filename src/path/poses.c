/* poses.c - a piece at many times.
 *
 * What piece_at() does for one time is done step by step for all of them, the same operations in
 * the same order, so that each step is a loop without branches. */
#include "borelay/lanes.h"
#include "borelay/path.h"

LANES static void cubic_all(struct cubic p, const double *restrict x, size_t count,
                            double *restrict value) {
  for (size_t i = 0; i < count; i++)
    value[i] = ((p.c3 * x[i] + p.c2) * x[i] + p.c1) * x[i] + p.c0;
}

/* to[i] = (from ? from[i] : start) + scale * by[i] */
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

void piece_poses(const struct piece *piece, const double *t, size_t count, struct poses *poses) {
  const struct curve *curve = &piece->curve;
  double q[POSES_MOST], turn[POSES_MOST], sine[POSES_MOST], cosine[POSES_MOST];
  for (size_t i = 0; i < count; i++)
    turn[i] = t[i] - piece->t0;
  cubic_all(piece->q, turn, count, q);
  cubic_all(curve->turn, q, count, turn);
  cubic_all(curve->head, q, count, poses->head);
  cubic_all(curve->z, q, count, poses->z);
  if (curve->is_line) {
    add_all(poses->x, curve->centre.x, curve->direction.x, turn, count);
    add_all(poses->y, curve->centre.y, curve->direction.y, turn, count);
  } else {
    num_sincos_all(turn, sine, cosine, count);
    add_all(poses->x, curve->centre.x, curve->radius, cosine, count);
    add_all(poses->y, curve->centre.y, curve->radius, sine, count);
  }
  if (curve->rho != 0) {
    num_sincos_all(poses->head, sine, cosine, count);
    take_off_all(poses->x, curve->rho, cosine, count);
    take_off_all(poses->y, curve->rho, sine, count);
  }
}
