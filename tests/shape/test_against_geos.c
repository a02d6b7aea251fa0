/* Contours, offsets, areas, distances against GEOS (a general-purpose planar geometry library).
 *
 * GEOS knows polygons only.  A wall is given to it as a polygon whose arcs are cut into chords of
 * angle STEP: each stays within r (1 - cos(STEP / 2)) of its arc, the sagitta; what GEOS makes of
 * its own joints (GEOSBuffer with QUADRANTS chords a quarter turn) has the sagitta of the offset.
 * Every comparison allows just those. */
#include <stdarg.h>
#include <stdio.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/nominal.h"
#include "shape/segments.h"
#include "support/close.h"
#include "support/random.h"

#include "geos_wall.h"
#include "waisted.h"

#define SEED      88u
#define SHAPES    400
#define QUADRANTS 128 /* chords of a quarter turn in GEOS's buffers */

struct wall {
  struct contour *contour;
  double inward, outward; /* how far it can be offset before it folds */
  double largest;         /* radius */
};

static struct wall random_waisted(struct arena *arena, struct random *random, vec2 centre,
                                  double turned) {
  struct waisted w = {.lobe = random_between(random, 20, 80),
                      .bump = random_between(random, 10, 60)};
  w.h = w.bump + w.lobe * random_between(random, 0.2, 0.9);
  w.c = sqrt((w.lobe + w.bump) * (w.lobe + w.bump) - w.h * w.h);
  return (struct wall){contour_waisted(arena, centre, w, turned), w.h - w.bump, w.bump,
                       fmax(w.lobe, w.bump)};
}

static struct wall random_wall(struct arena *arena, struct random *random) {
  double x = random_between(random, -500, 500), y = random_between(random, -500, 500);
  double turned = random_between(random, -10, 10), width = random_between(random, 20, 300);
  double length = width + random_between(random, 0, 300), r = width / 2;
  double corner = r * random_between(random, 0.1, 1);
  vec2 centre = {x, y};
  switch (random_whole(random, 0, 3)) {
  case 0:
    return (struct wall){contour_round(arena, centre, width, turned), r, 100, r};
  case 1:
    return (struct wall){contour_racetrack(arena, centre, length, width, turned), r, 100, r};
  case 2:
    return (struct wall){contour_rectangle(arena, centre, length, width, corner, turned), corner,
                         100, corner};
  default:
    return random_waisted(arena, random, centre, turned);
  }
}

typedef void geos_property(GEOSContextHandle_t geos, struct random *random, struct wall wall);

static void for_random_walls(uint64_t seed, geos_property *property) {
  GEOSContextHandle_t geos = GEOS_init_r();
  struct random random = {seed};
  printf("  seed %u\n", (unsigned)seed);
  for (int i = 0; i < SHAPES; i++) {
    struct arena *arena = arena_new();
    property(geos, &random, random_wall(arena, &random));
    arena_free(arena);
  }
  GEOS_finish_r(geos);
}

/* A polygon with its corners on the wall misses it by its sagittas along the arcs, no more: to the
 * inside where the wall is concave, to the outside on a bump.  Arcs turn less than
 * three turns in all. */
static void size_property(GEOSContextHandle_t geos, struct random *random, struct wall wall) {
  (void)random;
  GEOSGeometry *polygon = polygon_of(geos, wall.contour, 0);
  double area, length, step = NUM_TURN / CHORDS;
  GEOSArea_r(geos, polygon, &area);
  GEOSLength_r(geos, polygon, &length);
  double missed = sagitta(wall.largest, step) * 3 * NUM_TURN * wall.largest;
  assert_close(area, area_under(wall.contour, 0), missed, 1e-12);
  double perimeter = wall.contour->perimeter;
  assert_true(length <= perimeter * (1 + 1e-12));
  assert_true(length >= perimeter - 3 * NUM_TURN * wall.largest * step * step / 24);
  GEOSGeom_destroy_r(geos, polygon);
}

static void test_sizes(void **state) {
  (void)state;
  for_random_walls(SEED, size_property);
}

/* A point of an offset lies that far from the wall, on the side that the offset's sign says. */
static void away_property(GEOSContextHandle_t geos, struct random *random, struct wall wall) {
  GEOSGeometry *polygon = polygon_of(geos, wall.contour, 0);
  const GEOSGeometry *ring = GEOSGetExteriorRing_r(geos, polygon);
  double slack = sagitta(wall.largest, NUM_TURN / CHORDS) + 1e-9;
  for (int i = 0; i < 50; i++) {
    double offset = random_between(random, -wall.outward, wall.inward), distance;
    vec2 at = contour_at(wall.contour, random_between(random, -900, 900), offset).at;
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, at.x, at.y);
    GEOSDistance_r(geos, ring, point, &distance);
    assert_close(distance, fabs(offset), slack, 0);
    if (fabs(offset) > slack)
      assert_int_equal(offset > 0, GEOSContains_r(geos, polygon, point));
    GEOSGeom_destroy_r(geos, point);
  }
  GEOSGeom_destroy_r(geos, polygon);
}

static void test_away(void **state) {
  (void)state;
  for_random_walls(SEED + 4, away_property);
}

/* Our offset lies where GEOS's buffer of the wall lies: by Hausdorff's distance, by area and by
 * length; inward and outward. */
static void offset_property(GEOSContextHandle_t geos, struct random *random, struct wall wall) {
  double offset = random_between(random, -0.9 * wall.outward, 0.9 * wall.inward);
  double step = NUM_TURN / CHORDS;
  GEOSGeometry *polygon = polygon_of(geos, wall.contour, 0);
  GEOSGeometry *theirs = GEOSBuffer_r(geos, polygon, -offset, QUADRANTS);
  GEOSGeometry *ours = polygon_of(geos, wall.contour, offset);
  double apart, area, length;
  GEOSHausdorffDistance_r(geos, ours, theirs, &apart);
  double slack = sagitta(wall.largest, step) + sagitta(wall.largest + fabs(offset), step) +
                 sagitta(fabs(offset), NUM_PI / 2 / QUADRANTS);
  /* GEOS measures Hausdorff's distance between corners and edges; on arcs our corners and theirs
   * may face one another's chords, which the sagittas cover; on straights they lie on them.  The
   * buffer first drops detail finer than a hundredth of its own distance (from memory). */
  slack += 0.011 * fabs(offset) + 1e-9;
  if (!(apart <= slack))
    fail_msg("offset %g: %g apart, %g allowed", offset, apart, slack);
  GEOSArea_r(geos, theirs, &area);
  double around = contour_offset_length(wall.contour, offset, 0, wall.contour->perimeter);
  assert_close(area_under(wall.contour, offset), area, slack * around, 0);
  GEOSLength_r(geos, theirs, &length);
  assert_close(around, length, 0, 2e-3);
  GEOSGeom_destroy_r(geos, ours);
  GEOSGeom_destroy_r(geos, theirs);
  GEOSGeom_destroy_r(geos, polygon);
}

static void test_offsets(void **state) {
  (void)state;
  for_random_walls(SEED + 1, offset_property);
}

/* Distance and side of random points. */
static void distance_property(GEOSContextHandle_t geos, struct random *random, struct wall wall) {
  GEOSGeometry *polygon = polygon_of(geos, wall.contour, 0);
  const GEOSGeometry *ring = GEOSGetExteriorRing_r(geos, polygon);
  double slack = sagitta(wall.largest, NUM_TURN / CHORDS) + 1e-9;
  vec2 centre = wall.contour->centre;
  for (int i = 0; i < 50; i++) {
    double x = centre.x + random_between(random, -350, 350);
    double y = centre.y + random_between(random, -350, 350), distance;
    double got = contour_distance(wall.contour, (vec2){x, y});
    GEOSGeometry *point = GEOSGeom_createPointFromXY_r(geos, x, y);
    GEOSDistance_r(geos, ring, point, &distance);
    assert_close(fabs(got), distance, slack, 0);
    if (distance > slack)
      assert_int_equal(got < 0, GEOSContains_r(geos, polygon, point));
    GEOSGeom_destroy_r(geos, point);
  }
  GEOSGeom_destroy_r(geos, polygon);
}

static void test_distances(void **state) {
  (void)state;
  for_random_walls(SEED + 2, distance_property);
}

/* Where GEOS cuts the wall with a ray from the centre. */
static void ray_property(GEOSContextHandle_t geos, struct random *random, struct wall wall) {
  GEOSGeometry *polygon = polygon_of(geos, wall.contour, 0);
  const GEOSGeometry *ring = GEOSGetExteriorRing_r(geos, polygon);
  vec2 centre = wall.contour->centre;
  int compared = 0;
  for (int i = 0; i < 20; i++) {
    double angle = random_between(random, -7, 7);
    struct sincos d = num_sincos(angle);
    double xy[4] = {centre.x, centre.y, centre.x + 1000 * d.cos, centre.y + 1000 * d.sin};
    GEOSGeometry *ray =
        GEOSGeom_createLineString_r(geos, GEOSCoordSeq_copyFromBuffer_r(geos, xy, 2, 0, 0));
    GEOSGeometry *cut = GEOSIntersection_r(geos, ring, ray);
    struct contour_point got = contour_at(wall.contour, contour_s_at_angle(wall.contour, angle), 0);
    /* Along the ray the sagitta shows lengthened by 1 / sin of the angle between ray and wall (and
     * a little more where the wall bends); behind a bump a ray may meet the wall again. */
    double steep = vec2_dot(got.normal, (vec2){d.cos, d.sin}), x, y;
    if (steep > 0.1 && GEOSGeomTypeId_r(geos, cut) == GEOS_POINT) {
      assert_true(GEOSGeomGetX_r(geos, cut, &x));
      assert_true(GEOSGeomGetY_r(geos, cut, &y));
      double slack = sagitta(wall.largest, NUM_TURN / CHORDS) * 2 / steep + 1e-9;
      assert_close(got.at.x, x, slack, 0);
      assert_close(got.at.y, y, slack, 0);
      compared++;
    }
    GEOSGeom_destroy_r(geos, cut);
    GEOSGeom_destroy_r(geos, ray);
  }
  assert_true(compared > 3);
  GEOSGeom_destroy_r(geos, polygon);
}

static void test_rays(void **state) {
  (void)state;
  for_random_walls(SEED + 3, ray_property);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_sizes),     cmocka_unit_test(test_away), cmocka_unit_test(test_offsets),
      cmocka_unit_test(test_distances), cmocka_unit_test(test_rays),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
