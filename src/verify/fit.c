/* fit.c - both fits are steps of Gauss and Newton on the signed distances, until these stand
 * still.  The judge needs no standard errors and refuses nothing but what does not converge. */
#include "verify/fit.h"

#include <math.h>

#include "borelay/num.h"

enum { STEPS = 200, MOST = 5 };

vec2 touched_point(const struct touch *touch, double reach) {
  if (!touch->has_head)
    return touch->at;
  struct sincos sc = num_sincos(touch->head);
  return (vec2){touch->at.x + reach * sc.cos, touch->at.y + reach * sc.sin};
}

/* Gauss elimination with the largest pivot of each column; a: n rows of n + 1. */
static bool solve(double a[MOST][MOST + 1], int n, double x[MOST]) {
  for (int c = 0; c < n; c++) {
    int best = c;
    for (int r = c + 1; r < n; r++)
      if (fabs(a[r][c]) > fabs(a[best][c]))
        best = r;
    if (!(fabs(a[best][c]) > 1e-12))
      return false;
    for (int k = 0; k <= n; k++) {
      double keep = a[c][k];
      a[c][k] = a[best][k];
      a[best][k] = keep;
    }
    for (int r = 0; r < n; r++)
      for (int k = n; r != c && k >= c; k--)
        a[r][k] -= a[r][c] / a[c][c] * a[c][k];
  }
  for (int c = 0; c < n; c++)
    x[c] = a[c][n] / a[c][c];
  return true;
}

/* One step for rows of (derivatives | -distance) by the normal equations. */
static void add_row(double a[MOST][MOST + 1], int n, const double *slope, double distance) {
  for (int r = 0; r < n; r++) {
    for (int k = 0; k < n; k++)
      a[r][k] += slope[r] * slope[k];
    a[r][n] -= slope[r] * distance;
  }
}

static double step_size(const double *step, int n) {
  double largest = 0;
  for (int i = 0; i < n; i++)
    largest = fmax(largest, fabs(step[i]));
  return largest;
}

/* The circle through three points, as a start. */
static bool through(vec2 a, vec2 b, vec2 c, vec2 *centre) {
  vec2 u = vec2_sub(b, a), v = vec2_sub(c, a);
  double twice = 2 * vec2_cross(u, v);
  if (!(fabs(twice) > 1e-9))
    return false;
  double uu = vec2_dot(u, u), vv = vec2_dot(v, v);
  *centre = (vec2){a.x + (v.y * uu - u.y * vv) / twice, a.y + (u.x * vv - v.x * uu) / twice};
  return true;
}

/* The three points that span the largest triangle. */
static bool circle_start(const vec2 *points, size_t count, vec2 *centre) {
  double largest = 0;
  bool found = false;
  for (size_t i = 0; i + 2 < count; i++)
    for (size_t j = i + 1; j + 1 < count; j++)
      for (size_t k = j + 1; k < count; k++) {
        double area =
            fabs(vec2_cross(vec2_sub(points[j], points[i]), vec2_sub(points[k], points[i])));
        if (area > largest && through(points[i], points[j], points[k], centre)) {
          largest = area;
          found = true;
        }
      }
  return found;
}

bool fit_circle(const vec2 *points, size_t count, struct fitted *fitted) {
  vec2 centre = {0, 0};
  if (count < 3 || !circle_start(points, count, &centre))
    return false;
  double radius = num_hypot(points[0].x - centre.x, points[0].y - centre.y);
  for (int i = 0; i < STEPS; i++) {
    double a[MOST][MOST + 1] = {{0}}, step[MOST];
    for (size_t k = 0; k < count; k++) {
      vec2 v = vec2_sub(points[k], centre);
      double d = num_hypot(v.x, v.y);
      add_row(a, 3, (double[]){-v.x / d, -v.y / d, -1}, d - radius);
    }
    if (!solve(a, 3, step))
      return false;
    centre = vec2_add(centre, (vec2){step[0], step[1]});
    radius += step[2];
    if (step_size(step, 3) < 1e-12 * (1 + radius)) /* about the last digit */
      break;
  }
  *fitted = (struct fitted){.centre = centre, .diameter = 2 * radius};
  return isfinite(radius) && radius > 0;
}

/* x: centre, direction, half of the straight, radius.  Distance of a point on part `side`:
 * 0: straight 1, 1: half circle ahead, 2: straight 2, 3: half circle behind. */
static double track_distance(const double x[5], vec2 p, int side, double slope[5]) {
  struct sincos sc = num_sincos(x[2]);
  double t = sc.cos * (p.x - x[0]) + sc.sin * (p.y - x[1]);
  double n = -sc.sin * (p.x - x[0]) + sc.cos * (p.y - x[1]);
  double sign = side == 1 ? 1 : -1;
  double mt = 0, mn = side == 0 ? -1 : 1, d = mn * n;
  if (side % 2 == 1) {
    double et = t - sign * x[3];
    d = num_hypot(et, n);
    mt = et / d;
    mn = n / d;
  }
  slope[0] = -(mt * sc.cos - mn * sc.sin);
  slope[1] = -(mt * sc.sin + mn * sc.cos);
  slope[2] = mt * n - mn * t;
  slope[3] = side % 2 == 1 ? -sign * mt : 0;
  slope[4] = -1;
  return d - x[4];
}

bool fit_track(const vec2 p[5], struct fitted *fitted) {
  vec2 way = vec2_sub(p[1], p[0]);
  double across = vec2_cross(way, vec2_sub(p[3], p[0])) / num_hypot(way.x, way.y);
  /* the direction in which straight 1 has the racetrack on its left */
  if (across < 0)
    way = vec2_scale(way, -1);
  double turned = num_atan2(way.y, way.x), radius = fabs(across) / 2;
  struct sincos sc = num_sincos(turned);
  vec2 e = {sc.cos, sc.sin}, left = {-sc.sin, sc.cos};
  double t3 = vec2_dot(p[2], e), t5 = vec2_dot(p[4], e);
  int side[5] = {0, 0, t3 > t5 ? 1 : 3, 2, t3 > t5 ? 3 : 1};
  double middle = (t3 + t5) / 2 - vec2_dot(p[0], e);
  vec2 centre = vec2_add(p[0], vec2_add(vec2_scale(e, middle), vec2_scale(left, radius)));
  double x[5] = {centre.x, centre.y, turned, fmax(fabs(t3 - t5) / 2 - radius, 0), radius};
  for (int i = 0; i < STEPS; i++) {
    double a[MOST][MOST + 1] = {{0}}, step[MOST], slope[MOST];
    for (int k = 0; k < 5; k++) {
      a[k][5] = -track_distance(x, p[k], side[k], slope);
      for (int c = 0; c < 5; c++)
        a[k][c] = slope[c];
    }
    if (!solve(a, 5, step))
      return false;
    for (int c = 0; c < 5; c++)
      x[c] += step[c];
    if (step_size(step, 5) < 1e-12 * (1 + radius))
      break;
  }
  *fitted = (struct fitted){
      .centre = {x[0], x[1]}, .length = 2 * (x[3] + x[4]), .width = 2 * x[4], .turned = x[2]};
  return isfinite(x[4]) && x[4] > 0 && x[3] >= 0;
}
