/* geos_wall.h - walls as GEOS sees them: polygons whose arcs are cut into chords. */
#ifndef TESTS_SHAPE_GEOS_WALL_H
#define TESTS_SHAPE_GEOS_WALL_H

#include <geos_c.h>

#include "borelay/num.h"
#include "shape/segments.h"
#include "support/close.h"

#define CHORDS 256 /* a whole turn */

/* The wall under an offset as a polygon whose corners lie on it. */
static inline GEOSGeometry *polygon_of(GEOSContextHandle_t geos, const struct contour *contour,
                                       double offset) {
  unsigned room = (unsigned)contour->count * (CHORDS + 2) + 1, count = 0;
  double *xy = test_malloc(2 * room * sizeof *xy);
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    int steps = 1;
    if (seg->turn != 0)
      steps = (int)ceil(seg->length / seg->radius / NUM_TURN * CHORDS);
    for (int k = 0; k < steps; k++, count++) {
      vec2 p = seg_point(seg, seg->length * k / steps, offset).at;
      xy[2 * count] = p.x;
      xy[2 * count + 1] = p.y;
    }
  }
  xy[2 * count] = xy[0];
  xy[2 * count + 1] = xy[1];
  GEOSCoordSequence *corners = GEOSCoordSeq_copyFromBuffer_r(geos, xy, count + 1, 0, 0);
  test_free(xy);
  return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, corners), NULL, 0);
}

static inline double sagitta(double radius, double step) {
  double s = num_sincos(step / 4).sin;
  return 2 * radius * s * s; /* r (1 - cos(step / 2)) */
}

/* Area by the boundary integral, in closed form for arcs; under an offset. */
static inline double area_under(const struct contour *contour, double offset) {
  double twice = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    vec2 from = seg_point(seg, 0, offset).at, to = seg_point(seg, seg->length, offset).at;
    if (seg->turn == 0) {
      twice += vec2_cross(from, to);
      continue;
    }
    double radius = seg->radius - seg->turn * offset, sweep = seg->length / seg->radius;
    twice += seg->turn * radius * radius * sweep + vec2_cross(seg->centre, vec2_sub(to, from));
  }
  return twice / 2;
}

#endif
