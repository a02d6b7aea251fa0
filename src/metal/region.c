/* region.c - rings and rectangles, and what stays off them.
 *
 * Of a ring it is told by how far the other lies from the centre, | |x - c| - |y - c| | <= |x - y|,
 * and by the boxes of both: either suffices.  Walls about the ring's own centre, and straight ones
 * tangent to them, are told exactly by the first.  A rectangle's distance from an edge is that of
 * the nearest of its sides, once the edge does not begin within. */
#include "metal/region.h"

#include <math.h>

#include "borelay/num.h"

static struct box region_box(const struct metal_region *region) {
  return (struct box){region->lo, region->hi};
}

static double farthest(struct box box, vec2 from) {
  double x = fmax(box.hi.x - from.x, from.x - box.lo.x);
  double y = fmax(box.hi.y - from.y, from.y - box.lo.y);
  return num_hypot(x, y);
}

/* By distances from the centre; of a rectangle there is nothing but an outside. */
static bool round_off(const struct metal_region *region, double nearest, double distance) {
  return nearest - region->outer >= distance;
}

bool region_off_node(const struct metal_region *region, struct box box, const struct strip *strip,
                     double distance) {
  if (box_gap2(region_box(region), box) >= distance * distance)
    return true;
  if (round_off(region, strip_nearest(strip, region->centre), distance))
    return true;
  return region->is_ring && region->inner - strip_farthest(strip, region->centre) >= distance;
}

static double edge_farthest(const struct edge *edge, vec2 from) {
  double corner = farthest(edge->box, from);
  if (edge->radius == 0)
    return corner;
  double round = num_hypot(edge->centre.x - from.x, edge->centre.y - from.y) + edge->radius;
  return fmin(corner, round);
}

static bool rectangle_holds(const struct metal_region *region, vec2 p) {
  int left = 0, right = 0;
  for (int i = 0; i < 4; i++) {
    vec2 a = region->corner[i], b = region->corner[(i + 1) % 4];
    double side = vec2_cross(vec2_sub(b, a), vec2_sub(p, a));
    left += side > 0;
    right += side < 0;
  }
  return left == 4 || right == 4;
}

static bool rectangle_off_edge(const struct metal_region *region, const struct edge *edge,
                               double distance) {
  if (rectangle_holds(region, edge->a))
    return false;
  for (int i = 0; i < 4; i++)
    if (edge_distance_segment(edge, region->corner[i], region->corner[(i + 1) % 4]) < distance)
      return false;
  return true;
}

bool region_off_edge(const struct metal_region *region, const struct edge *edge, double distance) {
  if (box_gap2(region_box(region), edge->box) >= distance * distance)
    return true;
  if (round_off(region, edge_distance_point(edge, region->centre), distance))
    return true;
  if (!region->is_ring)
    return rectangle_off_edge(region, edge, distance);
  return region->inner - edge_farthest(edge, region->centre) >= distance;
}
