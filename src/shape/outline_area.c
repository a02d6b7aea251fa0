/* Area and centroid of an outline: the polygon of its joints, and a circular segment more or less
 * at each bend.  A segment of radius r and angle w has the area r^2 (w - sin w)/2, and its first
 * moment about the circle's centre is (2/3) r^3 sin^3(w/2) (both from the boundary integral;
 * Bronshtein and Semendyayev, Handbook of Mathematics, gives the quotient; from memory). */
#include "borelay/num.h"
#include "shape/outline.h"

struct moments {
  double area;
  vec2 first; /* about `from` */
};

static void moments_add(struct moments *sum, double area, vec2 first) {
  sum->area += area;
  sum->first = vec2_add(sum->first, first);
}

static void edge_moments(const struct outline_edge *edge, vec2 about, struct moments *sum) {
  vec2 from = vec2_sub(edge->from, about), to = vec2_sub(edge->to, about);
  double area = vec2_cross(from, to) / 2;
  moments_add(sum, area, vec2_scale(vec2_add(from, to), area / 3));
  if (edge->turn == 0)
    return;
  double r = edge->radius, angle = edge->length / r, s = num_sincos(angle / 2).sin;
  double segment = edge->turn * r * r * (angle - num_sincos(angle).sin) / 2;
  vec2 chord = vec2_sub(to, from), outward = {edge->turn * chord.y, -edge->turn * chord.x};
  double moment = edge->turn * (2.0 / 3) * r * r * r * s * s * s;
  moments_add(sum, segment,
              vec2_add(vec2_scale(vec2_sub(edge->centre, about), segment),
                       vec2_scale(outward, moment / num_hypot(chord.x, chord.y))));
}

double outline_area(const struct outline *outline, vec2 *centroid) {
  struct moments sum = {0, {0, 0}};
  vec2 about = outline->shape->outline_from;
  for (size_t i = 0; i < outline->count; i++)
    edge_moments(&outline->edges[i], about, &sum);
  *centroid = vec2_add(about, vec2_scale(sum.first, 1 / sum.area));
  return sum.area;
}

static struct outline_edge edge_reversed(const struct outline_edge *edge) {
  struct outline_edge back = *edge;
  back.from = edge->to;
  back.to = edge->from;
  back.heading0 = outline_angle(edge->heading1 + NUM_PI);
  back.heading1 = outline_angle(edge->heading0 + NUM_PI);
  back.turn = -edge->turn;
  return back;
}

void outline_reverse(struct outline *outline) {
  size_t n = outline->count;
  for (size_t i = 0; i < n - 1 - i; i++) {
    struct outline_edge other = edge_reversed(&outline->edges[i]);
    outline->edges[i] = edge_reversed(&outline->edges[n - 1 - i]);
    outline->edges[n - 1 - i] = other;
  }
  if (n % 2 == 1)
    outline->edges[n / 2] = edge_reversed(&outline->edges[n / 2]);
}
