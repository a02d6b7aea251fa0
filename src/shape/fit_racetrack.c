/* Closed form: the straight through 1 and 2 gives the direction, point 4 the width, and each end
 * point, wherever it lies on its half circle, that half circle's centre on the axis. */
#include "shape/fit_racetrack.h"

#include <math.h>

#include "borelay/num.h"

/* Coordinates along and across the axis, from the axis's foot beside point 1. */
struct axis_frame {
  vec2 foot, along, across;
};

static vec2 to_axis(const struct axis_frame *frame, vec2 p) {
  vec2 away = vec2_sub(p, frame->foot);
  return (vec2){vec2_dot(away, frame->along), vec2_dot(away, frame->across)};
}

static vec2 from_axis(const struct axis_frame *frame, double along) {
  return vec2_add(frame->foot, vec2_scale(frame->along, along));
}

static struct racetrack_misfit misfit(enum racetrack_fault fault, int point, double figure) {
  return (struct racetrack_misfit){fault, point, figure};
}

/* Direction, width and axis from points 1, 2, 4. */
static struct racetrack_misfit fit_straights(const vec2 points[5], double least,
                                             struct racetrack_fit *fit, struct axis_frame *frame) {
  vec2 way = vec2_sub(points[1], points[0]);
  double base = num_hypot(way.x, way.y);
  if (!(base > least))
    return misfit(RACETRACK_SAME_POINT, 2, base);
  frame->along = vec2_scale(way, 1 / base);
  frame->across = (vec2){-frame->along.y, frame->along.x};
  fit->heading = num_atan2(way.y, way.x);
  fit->across = vec2_dot(vec2_sub(points[3], points[0]), frame->across);
  fit->radius = fabs(fit->across) / 2;
  frame->foot = vec2_add(points[0], vec2_scale(frame->across, fit->across / 2));
  bool runs_anticlockwise = fit->across > 0;
  fit->turned = runs_anticlockwise ? fit->heading : num_atan2(-way.y, -way.x);
  if (!(fabs(fit->across) > least))
    return misfit(RACETRACK_SAME_STRAIGHT, 4, fabs(fit->across));
  return misfit(RACETRACK_FITS, 0, 0);
}

/* Half circles from points 3 and 5, seen from the axis. */
static struct racetrack_misfit fit_ends(vec2 end_3, vec2 end_5, const struct axis_frame *frame,
                                        struct racetrack_fit *fit) {
  double r = fit->radius, e3 = end_3.y, e5 = end_5.y;
  if (!(fabs(e3) < r))
    return misfit(RACETRACK_NOT_AN_END, 3, fabs(e3));
  if (!(fabs(e5) < r))
    return misfit(RACETRACK_NOT_AN_END, 5, fabs(e5));
  double side = end_3.x > end_5.x ? 1 : -1, out_3 = sqrt(r * r - e3 * e3),
         out_5 = sqrt(r * r - e5 * e5);
  double q3 = end_3.x - side * out_3, q5 = end_5.x + side * out_5;
  fit->off_apex[0] = num_atan2(e3, out_3);
  fit->off_apex[1] = num_atan2(e5, out_5);
  fit->straight = side * (q3 - q5);
  if (!(fit->straight >= 0))
    return misfit(RACETRACK_SAME_END, 5, -fit->straight);
  fit->end_3 = from_axis(frame, q3);
  fit->end_5 = from_axis(frame, q5);
  fit->centre = from_axis(frame, (q3 + q5) / 2);
  return misfit(RACETRACK_FITS, 0, 0);
}

/* What touches tell of a straight's end is no better than they are: so much past it is still on it,
 * and off the straight's line by slack^2 / 2R at most. */
static struct racetrack_misfit check_straights(const vec2 local[5], const struct racetrack_fit *fit,
                                               double slack) {
  static const int on_straight[3] = {0, 1, 3};
  for (int i = 0; i < 3; i++) {
    double past = fabs(local[on_straight[i]].x) - fit->straight / 2;
    if (past > slack)
      return misfit(RACETRACK_PAST_STRAIGHT, on_straight[i] + 1, past);
  }
  return misfit(RACETRACK_FITS, 0, 0);
}

/* Rows of J: how the distance of each point from the contour changes with the contour's
 * (centre along, centre across, turn, half straight, radius); docs/fits.md.  Points and ends in
 * the frame of the racetrack's own centre. */
static void jacobian_fill(const vec2 local[5], const struct racetrack_fit *fit, double j[5][5]) {
  for (int i = 0; i < 5; i++) {
    vec2 p = local[i], m;
    double end = 0; /* +1, -1: the half circle on that side */
    if (i == 2 || i == 4) {
      end = p.x > 0 ? 1 : -1;
      m = vec2_scale((vec2){p.x - end * fit->straight / 2, p.y}, 1 / fit->radius);
    } else {
      m = (vec2){0, p.y > 0 ? 1 : -1};
    }
    const double row[5] = {-m.x, -m.y, m.x * p.y - m.y * p.x, -end * m.x, -1};
    for (int k = 0; k < 5; k++)
      j[i][k] = row[k];
  }
}

static void rows_swap(double a[5], double b[5]) {
  for (int k = 0; k < 5; k++) {
    double kept = a[k];
    a[k] = b[k];
    b[k] = kept;
  }
}

/* inverse = j^-1 by Gauss and Jordan with row exchange; false where there is none. */
static bool invert(double j[5][5], double inverse[5][5]) {
  for (int i = 0; i < 5; i++)
    for (int k = 0; k < 5; k++)
      inverse[i][k] = i == k;
  for (int i = 0; i < 5; i++) {
    int best = i;
    for (int r = i + 1; r < 5; r++)
      best = fabs(j[r][i]) > fabs(j[best][i]) ? r : best;
    if (j[best][i] == 0)
      return false;
    rows_swap(j[i], j[best]);
    rows_swap(inverse[i], inverse[best]);
    for (int r = 0; r < 5; r++) {
      double share = (r == i ? j[i][i] - 1 : j[r][i]) / j[i][i];
      for (int k = 0; k < 5; k++) {
        j[r][k] -= share * j[i][k];
        inverse[r][k] -= share * inverse[i][k];
      }
    }
  }
  return true;
}

/* The larger principal standard error of the centre for unit errors of the points. */
static void centre_spread(const vec2 local[5], struct racetrack_fit *fit) {
  double j[5][5], inverse[5][5];
  jacobian_fill(local, fit, j);
  fit->spread = (double)INFINITY;
  if (!invert(j, inverse))
    return;
  double xx = 0, xy = 0, yy = 0;
  for (int i = 0; i < 5; i++) {
    xx += inverse[0][i] * inverse[0][i];
    xy += inverse[0][i] * inverse[1][i];
    yy += inverse[1][i] * inverse[1][i];
  }
  fit->spread = sqrt((xx + yy) / 2 + num_hypot((xx - yy) / 2, xy));
  fit->spreads_along = xx > yy;
}

struct racetrack_misfit racetrack_fit(const vec2 points[5], double least,
                                      struct racetrack_fit *fit) {
  *fit = (struct racetrack_fit){0};
  struct axis_frame frame;
  struct racetrack_misfit found = fit_straights(points, least, fit, &frame);
  if (found.fault != RACETRACK_FITS)
    return found;
  found = fit_ends(to_axis(&frame, points[2]), to_axis(&frame, points[4]), &frame, fit);
  if (found.fault != RACETRACK_FITS)
    return found;
  frame.foot = fit->centre;
  vec2 local[5];
  for (int i = 0; i < 5; i++)
    local[i] = to_axis(&frame, points[i]);
  centre_spread(local, fit);
  return check_straights(local, fit, least);
}
