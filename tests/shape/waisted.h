/* waisted.h - a wall with bends of both senses, built by hand from a list of segments: two lobes
 * of radius R about (+-c, 0), joined by two bumps of radius r about (0, +-h) that touch them from
 * outside: h^2 + c^2 = (R + r)^2.  s = 0 in the middle of the lobe on the right. */
#ifndef TESTS_SHAPE_WAISTED_H
#define TESTS_SHAPE_WAISTED_H

#include "borelay/num.h"
#include "shape/place.h"
#include "shape/segments.h"

struct waisted {
  double lobe, bump; /* R, r */
  double c, h;       /* c < R + r, h > r */
};

/* A segment that starts where its normal is normal0, before turning. */
static inline struct contour_seg waisted_arc(vec2 middle, vec2 centre, double turned, double radius,
                                             int turn, double normal0, double sweep) {
  struct sincos n = num_sincos(turned + normal0);
  vec2 at = vec2_add(middle, turned_about_zero(centre, turned));
  return (struct contour_seg){.length = radius * sweep,
                              .start =
                                  vec2_add(at, vec2_scale((vec2){n.cos, n.sin}, turn * radius)),
                              .normal0 = turned + normal0,
                              .turn = turn,
                              .radius = radius,
                              .centre = at,
                              .tangent = {-n.sin, n.cos}};
}

static inline struct contour *contour_waisted(struct arena *arena, vec2 middle, struct waisted w,
                                              double turned) {
  double b = num_atan2(w.h, w.c), lobe_sweep = 2 * (NUM_PI - b), bump_sweep = NUM_PI - 2 * b;
  struct contour_seg segs[4] = {
      waisted_arc(middle, (vec2){w.c, 0}, turned, w.lobe, 1, b - NUM_PI, lobe_sweep),
      waisted_arc(middle, (vec2){0, w.h}, turned, w.bump, -1, NUM_PI - b, bump_sweep),
      waisted_arc(middle, (vec2){-w.c, 0}, turned, w.lobe, 1, b, lobe_sweep),
      waisted_arc(middle, (vec2){0, -w.h}, turned, w.bump, -1, NUM_TURN - b, bump_sweep)};
  struct contour *contour = contour_from_segments(arena, segs, 4, segs[0].length / 2);
  contour->centre = middle;
  contour->turned = turned;
  return contour;
}

#endif
