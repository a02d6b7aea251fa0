/* Least-squares circles.
 *
 * Geometric fit: for a given centre the best radius is the mean distance D, so two unknowns
 * remain and F(c) = sum (d_i - D)^2.  With u_i the unit vector from centre to point and u their
 * mean: grad F = -2 sum (d_i - D) u_i, and half of the Hessian is
 *   sum (u_i - u)(u_i - u)' + sum (d_i - D)(I - u_i u_i') / d_i,
 * the first sum being Gauss and Newton's.  Levenberg's steps go down from the algebraic
 * circle; then Newton's own steps settle the last digits, where F itself can no longer tell.
 * The first sum's inverse is the centre's covariance. */
#include "shape/fit_round.h"

#include <math.h>

#include "borelay/num.h"

/* Points with their mean taken off, in units of their own scatter. */
struct scaled {
  const vec2 *points;
  size_t count;
  vec2 middle;
  double unit;
};

/* Symmetric 2 by 2. */
struct sym2 {
  double xx, xy, yy;
};

static double sym2_det(struct sym2 m) {
  return m.xx * m.yy - m.xy * m.xy;
}

static vec2 sym2_solve(struct sym2 m, vec2 b) {
  double det = sym2_det(m);
  return (vec2){(m.yy * b.x - m.xy * b.y) / det, (m.xx * b.y - m.xy * b.x) / det};
}

/* The smaller and larger eigenvalue, from trace and determinant; the smaller by the product. */
static double sym2_least(struct sym2 m) {
  double half = (m.xx + m.yy) / 2;
  double largest = half + num_hypot((m.xx - m.yy) / 2, m.xy);
  return largest > 0 ? sym2_det(m) / largest : 0;
}

static struct scaled scaled_make(const vec2 *points, size_t count) {
  struct scaled set = {points, count, {0, 0}, 0};
  for (size_t i = 0; i < count; i++)
    set.middle = vec2_add(set.middle, points[i]);
  set.middle = vec2_scale(set.middle, 1 / (double)count);
  double square = 0;
  for (size_t i = 0; i < count; i++) {
    vec2 p = vec2_sub(points[i], set.middle);
    square += vec2_dot(p, p);
  }
  set.unit = sqrt(square / (double)count);
  return set;
}

static vec2 scaled_point(const struct scaled *set, size_t i) {
  return vec2_scale(vec2_sub(set->points[i], set->middle), 1 / set->unit);
}

static vec2 scaled_back(const struct scaled *set, vec2 p) {
  return vec2_add(set->middle, vec2_scale(p, set->unit));
}

bool circle_through(const vec2 points[3], struct circle *circle) {
  vec2 b = vec2_sub(points[1], points[0]), c = vec2_sub(points[2], points[0]);
  double b2 = vec2_dot(b, b), c2 = vec2_dot(c, c), twice = 2 * vec2_cross(b, c);
  if (!(fabs(twice) > 1e-9 * (b2 + c2)))
    return false;
  vec2 arm = {(c.y * b2 - b.y * c2) / twice, (b.x * c2 - c.x * b2) / twice};
  *circle = (struct circle){vec2_add(points[0], arm), num_hypot(arm.x, arm.y)};
  return true;
}

/* Normal equations of p^2 = 2 c p + k with the mean of p at zero: two for c remain.
 * false where the points lie on a line within rounding. */
static bool scaled_algebraic(const struct scaled *set, vec2 *centre, double *mean_square) {
  struct sym2 m = {0, 0, 0};
  vec2 b = {0, 0};
  double sum = 0;
  for (size_t i = 0; i < set->count; i++) {
    vec2 p = scaled_point(set, i);
    double square = vec2_dot(p, p);
    m.xx += 2 * p.x * p.x;
    m.xy += 2 * p.x * p.y;
    m.yy += 2 * p.y * p.y;
    b = vec2_add(b, vec2_scale(p, square));
    sum += square;
  }
  double trace = m.xx + m.yy;
  if (!(sym2_det(m) > 1e-13 * trace * trace))
    return false;
  *centre = sym2_solve(m, b);
  *mean_square = sum / (double)set->count;
  return true;
}

bool circle_algebraic(const vec2 *points, size_t count, struct circle *circle) {
  struct scaled set = scaled_make(points, count);
  vec2 centre;
  double mean_square;
  if (!(set.unit > 0) || !scaled_algebraic(&set, &centre, &mean_square))
    return false;
  circle->centre = scaled_back(&set, centre);
  circle->radius = set.unit * sqrt(mean_square + vec2_dot(centre, centre));
  return true;
}

struct state {
  double radius; /* mean distance */
  double square_sum;
  vec2 gradient;      /* half of it */
  struct sym2 normal; /* Gauss and Newton's part of half the Hessian */
  struct sym2 rest;   /* the other part */
};

static vec2 unit_vector(vec2 v, double length) {
  return length > 0 ? vec2_scale(v, 1 / length) : (vec2){0, 0};
}

static struct state state_at(const struct scaled *set, vec2 centre) {
  struct state state = {0};
  vec2 mean = {0, 0};
  for (size_t i = 0; i < set->count; i++) {
    vec2 arm = vec2_sub(scaled_point(set, i), centre);
    double d = num_hypot(arm.x, arm.y);
    state.radius += d;
    mean = vec2_add(mean, unit_vector(arm, d));
  }
  state.radius /= (double)set->count;
  mean = vec2_scale(mean, 1 / (double)set->count);
  for (size_t i = 0; i < set->count; i++) {
    vec2 arm = vec2_sub(scaled_point(set, i), centre);
    double d = num_hypot(arm.x, arm.y), residual = d - state.radius;
    vec2 u = unit_vector(arm, d), v = vec2_sub(u, mean);
    double bend = d > 0 ? residual / d : 0;
    state.square_sum += residual * residual;
    state.gradient = vec2_sub(state.gradient, vec2_scale(u, residual));
    state.normal.xx += v.x * v.x;
    state.normal.xy += v.x * v.y;
    state.normal.yy += v.y * v.y;
    state.rest.xx += bend * u.y * u.y;
    state.rest.xy -= bend * u.x * u.y;
    state.rest.yy += bend * u.x * u.x;
  }
  return state;
}

#define FARTHEST 1e5 /* centre from the points, in their scatter: a line for all purposes */

/* Levenberg's steps until they are short; false where the centre runs away. */
static bool go_down(const struct scaled *set, vec2 *centre) {
  struct state state = state_at(set, *centre);
  double damping = 1e-3 * (state.normal.xx + state.normal.yy);
  for (int i = 0; i < 1000; i++) {
    struct sym2 m = state.normal;
    m.xx += damping;
    m.yy += damping;
    if (!(sym2_det(m) > 0))
      return false;
    vec2 step = sym2_solve(m, vec2_scale(state.gradient, -1));
    vec2 next = vec2_add(*centre, step);
    double size = num_hypot(next.x, next.y);
    if (!(size < FARTHEST))
      return false;
    struct state there = state_at(set, next);
    bool is_short = num_hypot(step.x, step.y) <= 1e-8 * (1 + size);
    if (there.square_sum <= state.square_sum) {
      state = there;
      *centre = next;
      damping *= 0.1;
    } else {
      damping = damping * 10 + 1e-12;
    }
    if (is_short)
      return true;
  }
  return true; /* a flat valley: the last steps below settle whether there is a bottom */
}

/* Newton's steps for as long as they shrink.  Returns the last one's length. */
static double settle(const struct scaled *set, vec2 *centre) {
  double before = (double)INFINITY;
  for (int i = 0; i < 100; i++) {
    struct state state = state_at(set, *centre);
    struct sym2 m = {state.normal.xx + state.rest.xx, state.normal.xy + state.rest.xy,
                     state.normal.yy + state.rest.yy};
    if (!(sym2_det(m) > 0 && m.xx + m.yy > 0))
      return (double)INFINITY; /* no bottom here */
    vec2 step = sym2_solve(m, vec2_scale(state.gradient, -1));
    double length = num_hypot(step.x, step.y);
    if (length >= before)
      break;
    *centre = vec2_add(*centre, step);
    before = length;
    if (length == 0)
      break;
  }
  return before;
}

static bool scaled_geometric(const struct scaled *set, vec2 *centre) {
  double mean_square;
  if (!scaled_algebraic(set, centre, &mean_square) || !go_down(set, centre))
    return false;
  double last = settle(set, centre);
  return last <= 1e-9 * (1 + num_hypot(centre->x, centre->y));
}

static void residuals_note(const vec2 *points, size_t count, struct round_fit *fit) {
  fit->square_sum = 0;
  fit->residual_max = -1;
  for (size_t i = 0; i < count; i++) {
    vec2 arm = vec2_sub(points[i], fit->circle.centre);
    double residual = fabs(num_hypot(arm.x, arm.y) - fit->circle.radius);
    fit->square_sum += residual * residual;
    if (residual > fit->residual_max) {
      fit->residual_max = residual;
      fit->worst = i;
    }
  }
}

bool round_fit(const vec2 *points, size_t count, struct round_fit *fit) {
  struct scaled set = scaled_make(points, count);
  if (!(set.unit > 0))
    return false;
  vec2 centre;
  if (count == 3) {
    if (!circle_through(points, &fit->circle))
      return false;
    centre = vec2_scale(vec2_sub(fit->circle.centre, set.middle), 1 / set.unit);
  } else {
    if (!scaled_geometric(&set, &centre))
      return false;
    fit->circle.centre = scaled_back(&set, centre);
    fit->circle.radius = set.unit * state_at(&set, centre).radius;
  }
  residuals_note(points, count, fit);
  struct sym2 normal = state_at(&set, centre).normal;
  fit->spread = 1 / sqrt(fmax(sym2_least(normal), 0));
  return true;
}

double points_span(const vec2 *points, size_t count, vec2 centre) {
  double gap_largest = 0;
  for (size_t i = 0; i < count; i++) {
    vec2 a = vec2_sub(points[i], centre);
    double gap = NUM_TURN; /* to the next point anticlockwise */
    for (size_t k = 0; k < count; k++) {
      vec2 b = vec2_sub(points[k], centre);
      double angle = num_atan2(vec2_cross(a, b), vec2_dot(a, b));
      angle = angle < 0 ? angle + NUM_TURN : angle;
      if (angle > 0)
        gap = fmin(gap, angle);
    }
    gap_largest = fmax(gap_largest, gap);
  }
  return NUM_TURN - gap_largest;
}
