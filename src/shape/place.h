/* place.h - points and angles of the part frame, carried into the cell frame. */
#ifndef SHAPE_PLACE_H
#define SHAPE_PLACE_H

#include "borelay/contour.h"
#include "borelay/num.h"

static inline vec2 turned_about_zero(vec2 p, double angle) {
  struct sincos d = num_sincos(angle);
  return (vec2){p.x * d.cos - p.y * d.sin, p.x * d.sin + p.y * d.cos};
}

static inline vec2 placement_point(const struct placement *placement, vec2 p) {
  vec2 turned = turned_about_zero(p, placement->turned);
  return (vec2){placement->at.x + turned.x, placement->at.y + turned.y};
}

#endif
