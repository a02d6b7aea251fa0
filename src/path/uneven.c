/* uneven.c - arcs gone round at a rate that changes.
 *
 * x and y are sums of waves R (cos p, sin p), p a cubic in time: the guide's, and the torch's where
 * the head turns.  Place, velocity and the fourth derivative have ranges by the factors of
 * jet_range.c.  The two parts of a factor stand at right angles, so the k-th derivative of a wave
 * is no longer than |R| sqrt(a_k^2 + b_k^2); with p1, p2, p3 the largest derivatives of p there
 * are, |R| sqrt(p1^4 + p2^2),   |R| sqrt(9 p1^2 p2^2 + (p3 + p1^3)^2) for the second and third.
 * Then every derivative is tightened by the one above it: where that has one sign the ends are the
 * range, and elsewhere none is farther from what is at the nearer end than half the stretch times
 * the largest slope. */
#include "path/uneven.h"

#include "path/interval.h"
#include "path/wave.h"

enum { LEVEL_AXES = 2, DERIVATIVES = 4 };

struct level { /* x and y, as far as they are known */
  double from[LEVEL_AXES][DERIVATIVES], to[LEVEL_AXES][DERIVATIVES];
  struct range place[LEVEL_AXES], speed[LEVEL_AXES], fourth[LEVEL_AXES];
  double accel, jerk; /* either is no more */
};

static struct range sum_of(struct range a, struct range b, double scale) {
  return interval_add(a, interval_scale(b, scale));
}

static void add_most(struct level *level, double scale, const struct range p[DERIVATIVES]) {
  double p1 = interval_magnitude(p[1]), p2 = interval_magnitude(p[2]);
  double p3 = interval_magnitude(p[3]), square = p1 * p1, radius = fabs(scale);
  level->accel += radius * num_hypot(square, p2);
  level->jerk += radius * num_hypot(3 * p1 * p2, p3 + square * p1);
}

static void add_fourth(struct level *level, double scale, const struct range p[DERIVATIVES],
                       const struct wave_ranges *waves) {
  struct range square = interval_square(p[1]), *fourth = level->fourth;
  struct range bends = interval_scale(interval_square(p[2]), 3);
  struct range twists = interval_scale(interval_mul(p[1], p[3]), 4);
  struct range a = interval_sub(interval_square(square), interval_add(bends, twists));
  struct range b = interval_scale(interval_mul(square, p[2]), -6);
  struct range x = interval_sub(interval_mul(a, waves->cos), interval_mul(b, waves->sin));
  struct range y = interval_add(interval_mul(a, waves->sin), interval_mul(b, waves->cos));
  fourth[AXIS_X] = sum_of(fourth[AXIS_X], x, scale);
  fourth[AXIS_Y] = sum_of(fourth[AXIS_Y], y, scale);
}

static void add_wave(struct level *level, double scale, const struct spread *p) {
  struct range angle = p->all[0];
  struct sincos from = num_sincos(p->from[0]), to = num_sincos(p->to[0]);
  bool rises = angle.lo == p->from[0] && angle.hi == p->to[0];
  struct wave_ranges waves = rises ? interval_waves_known(angle, from, to) : interval_waves(angle);
  struct range *place = level->place, *speed = level->speed;
  wave_add(scale, p->from, from, level->from[AXIS_X], level->from[AXIS_Y]);
  wave_add(scale, p->to, to, level->to[AXIS_X], level->to[AXIS_Y]);
  place[AXIS_X] = sum_of(place[AXIS_X], waves.cos, scale);
  place[AXIS_Y] = sum_of(place[AXIS_Y], waves.sin, scale);
  speed[AXIS_X] = sum_of(speed[AXIS_X], interval_mul(waves.sin, p->all[1]), -scale);
  speed[AXIS_Y] = sum_of(speed[AXIS_Y], interval_mul(waves.cos, p->all[1]), scale);
  add_most(level, scale, p->all);
  add_fourth(level, scale, p->all, &waves);
}

static void add_line(struct level *level, vec2 direction, const struct spread *p) {
  double along[LEVEL_AXES] = {direction.x, direction.y};
  for (int axis = AXIS_X; axis <= AXIS_Y; axis++) {
    for (int k = 0; k < DERIVATIVES; k++) {
      level->from[axis][k] += along[axis] * p->from[k];
      level->to[axis][k] += along[axis] * p->to[k];
    }
    level->place[axis] = sum_of(level->place[axis], p->all[0], along[axis]);
    level->speed[axis] = sum_of(level->speed[axis], p->all[1], along[axis]);
  }
  level->accel += interval_magnitude(p->all[2]);
  level->jerk += interval_magnitude(p->all[3]);
}

static void tighten(const struct level *level, int axis, double duration,
                    struct jet_stretch *stretch) {
  const struct range within[DERIVATIVES] = {level->place[axis],
                                            level->speed[axis],
                                            {-level->accel, level->accel},
                                            {-level->jerk, level->jerk}};
  struct range above = level->fourth[axis];
  for (int k = DERIVATIVES - 1; k >= 0; k--) {
    double from = level->from[axis][k], to = level->to[axis][k];
    struct range known = from < to ? (struct range){from, to} : (struct range){to, from};
    if (above.lo < 0 && above.hi > 0) {
      double reach = interval_magnitude(above) * duration / 2;
      known = interval_common(within[k], (struct range){known.lo - reach, known.hi + reach});
    }
    stretch->from.d[axis][k] = from;
    stretch->to.d[axis][k] = to;
    stretch->all.d[axis][k] = above = known;
  }
}

static const double SAME = 1e-12; /* rad, rad/s .. rad/s3: rounding, less than 1e-9 mm of a reach */

/* Does the head turn with the guide?  Then both waves are one, of the one radius less the other. */
static bool turn_as_one(const struct spread *turn, const struct spread *head) {
  for (int k = 0; k < DERIVATIVES; k++)
    if (!(fabs(head->from[k] - turn->from[k]) <= SAME && fabs(head->to[k] - turn->to[k]) <= SAME))
      return false;
  return true;
}

void uneven_stretch(const struct piece *piece, const struct timed *timed, double ta, double tb,
                    struct jet_stretch *stretch) {
  const struct curve *curve = &piece->curve;
  double xa = ta - piece->t0, xb = tb - piece->t0;
  vec2 centre = curve->centre;
  struct spread turn, head, z;
  spread_over(timed->turn, xa, xb, &turn);
  spread_over(timed->head, xa, xb, &head);
  spread_over(timed->z, xa, xb, &z);
  struct level level = {.from = {{centre.x}, {centre.y}},
                        .to = {{centre.x}, {centre.y}},
                        .place = {{centre.x, centre.x}, {centre.y, centre.y}}};
  bool as_one = !curve->is_line && turn_as_one(&turn, &head);
  if (curve->is_line)
    add_line(&level, curve->direction, &turn);
  else
    add_wave(&level, as_one ? curve->radius - curve->rho : curve->radius, &turn);
  if (curve->rho != 0 && !as_one)
    add_wave(&level, -curve->rho, &head);
  spread_put(stretch, AXIS_Z, &z);
  spread_put(stretch, AXIS_HEAD, &head);
  tighten(&level, AXIS_X, tb - ta, stretch);
  tighten(&level, AXIS_Y, tb - ta, stretch);
}
