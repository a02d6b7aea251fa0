/* passage.c - pieces that share a curve, and times for places. */
#include "clear/passage.h"

#include <math.h>

/* How far q may step back from piece to piece by rounding, mm. */
static const double BACK_MOST = 1e-9;

static bool same_cubic(struct cubic p, struct cubic q) {
  return p.c0 == q.c0 && p.c1 == q.c1 && p.c2 == q.c2 && p.c3 == q.c3;
}

static bool same_curve(const struct curve *a, const struct curve *b) {
  return a->is_line == b->is_line && a->centre.x == b->centre.x && a->centre.y == b->centre.y &&
         a->direction.x == b->direction.x && a->direction.y == b->direction.y &&
         a->radius == b->radius && a->rho == b->rho && same_cubic(a->turn, b->turn) &&
         same_cubic(a->head, b->head) && same_cubic(a->z, b->z);
}

static double place_at_end(const struct piece *piece) {
  return cubic_at(piece->q, piece->t1 - piece->t0);
}

bool passage_goes_on(const struct piece *piece, const struct piece *next) {
  return same_curve(&piece->curve, &next->curve) &&
         next->q.c0 >= place_at_end(piece) - BACK_MOST * (1 + piece->curve.length);
}

struct passage passage_find(const struct piece *pieces, size_t count, size_t first, size_t end) {
  size_t last = first + 1;
  while (last < end && passage_goes_on(&pieces[last - 1], &pieces[last]))
    last++;
  double qa = pieces[first].q.c0, qb = place_at_end(&pieces[last - 1]);
  return (struct passage){pieces, count, first, last, qa, qb < qa ? qa : qb}; /* NaN stays */
}

struct piece passage_by_place(const struct passage *passage) {
  const struct curve *curve = &passage->pieces[passage->first].curve;
  return (struct piece){.t0 = 0, .t1 = curve->length, .q = {0, 1, 0, 0}, .curve = *curve};
}

double passage_place(const struct passage *passage, double t) {
  size_t at = passage->first;
  while (at + 1 < passage->last && passage->pieces[at].t1 <= t)
    at++;
  const struct piece *piece = &passage->pieces[at];
  double q = cubic_at(piece->q, fmax(0, fmin(t, piece->t1) - piece->t0));
  return fmax(passage->qa, fmin(passage->qb, q));
}

double passage_time(const struct passage *passage, double q) {
  size_t at = passage->first;
  while (at + 1 < passage->last && place_at_end(&passage->pieces[at]) < q)
    at++;
  const struct piece *piece = &passage->pieces[at];
  if (q >= place_at_end(piece))
    return passage->qa < passage->qb ? piece->t1 : piece->t0;
  return piece->t0 + cubic_solve_rising(piece->q, 0, piece->t1 - piece->t0, q);
}

bool curve_is_straight(const struct curve *curve) {
  return curve->is_line && curve->rho == 0 && cubic_is_linear(curve->turn) &&
         cubic_is_linear(curve->head) && cubic_is_linear(curve->z);
}

struct motion_bound passage_bound(const struct passage *passage, double qa, double qb) {
  const struct curve *curve = &passage->pieces[passage->first].curve;
  struct piece by_place = passage_by_place(passage);
  if (!curve_is_straight(curve))
    return piece_motion_bound(&by_place, qa, qb);
  double turning = fabs(curve->head.c1);
  return (struct motion_bound){.level = {fabs(curve->turn.c1), 0},
                               .rise = {fabs(curve->z.c1), 0},
                               .carried = {turning, turning * turning}};
}
