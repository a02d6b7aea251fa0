/* Random outlines against GEOS (a general-purpose planar geometry library): areas, centroids,
 * distances, rays, offsets and necks.
 *
 * GEOS knows polygons only.  The outline's own parts are cut into chords here, apart from
 * src/shape; a chord of an arc of radius r and angle w stays within r (1 - cos(w/2)) of it, and
 * every comparison allows just that. */
#include <stdio.h>

#include "borelay/arena.h"

#include "drawn.h"
#include "geos_wall.h"

#define SEED    613u
#define SHAPES  250
#define FINEST  (NUM_TURN / 720) /* largest angle of a chord */
#define MOST_XY 20000

static const struct placement home = {{0, 0, 0}, 0};

struct polygon {
  double xy[2 * MOST_XY];
  unsigned count;
};

static void polygon_add(struct polygon *polygon, double x, double y) {
  assert_true(polygon->count < MOST_XY);
  polygon->xy[2 * polygon->count] = x;
  polygon->xy[2 * polygon->count++ + 1] = y;
}

/* A bend by its own geometry: the centre beside the chord's middle, then equal angles. */
static double bend_add(struct polygon *polygon, vec2 from, const struct outline_part *part) {
  double cx = part->to.x - from.x, cy = part->to.y - from.y, chord = hypot(cx, cy);
  double side = part->centre_left ? 1 : -1;
  double beside = sqrt(part->radius * part->radius - chord * chord / 4);
  double x = from.x + cx / 2 - side * beside * cy / chord;
  double y = from.y + cy / 2 + side * beside * cx / chord;
  double first = atan2(from.y - y, from.x - x), angle = side * 2 * asin(chord / 2 / part->radius);
  int steps = (int)ceil(fabs(angle) / FINEST);
  for (int k = 1; k < steps; k++)
    polygon_add(polygon, x + part->radius * cos(first + angle * k / steps),
                y + part->radius * sin(first + angle * k / steps));
  polygon_add(polygon, part->to.x, part->to.y);
  return part->radius * (1 - cos(angle / steps / 2));
}

/* *sag: how far the polygon misses the outline at most. */
static GEOSGeometry *drawn_polygon(GEOSContextHandle_t geos, const struct drawn *drawn,
                                   double *sag) {
  static struct polygon polygon;
  polygon.count = 0;
  *sag = 0;
  vec2 at = drawn->shape.outline_from;
  polygon_add(&polygon, at.x, at.y);
  for (size_t i = 0; i < drawn->shape.part_count; i++) {
    const struct outline_part *part = &drawn->parts[i];
    if (part->is_bend)
      *sag = fmax(*sag, bend_add(&polygon, at, part));
    else
      polygon_add(&polygon, part->to.x, part->to.y);
    at = part->to;
  }
  /* ends that miss `from` by rounding */
  polygon.xy[2 * polygon.count - 2] = polygon.xy[0];
  polygon.xy[2 * polygon.count - 1] = polygon.xy[1];
  GEOSCoordSequence *corners = GEOSCoordSeq_copyFromBuffer_r(geos, polygon.xy, polygon.count, 0, 0);
  return GEOSGeom_createPolygon_r(geos, GEOSGeom_createLinearRing_r(geos, corners), NULL, 0);
}

/* A dog bone: lobes of radius R about (+-c, 0), bumps of radius r about (0, +-h) that touch them,
 * turned; each lobe in three bends.  Its waist of 2 (h - r) is narrower than the lobes. */
static void drawn_dog_bone(struct drawn *drawn, struct random *random) {
  memset(drawn, 0, sizeof *drawn);
  drawn->shape.name = "bone";
  drawn->shape.kind = SHAPE_OUTLINE;
  drawn->shape.parts = drawn->parts;
  double lobe = random_between(random, 30, 80), bump = random_between(random, 8, 60);
  double h = bump + lobe * random_between(random, 0.1, 0.85);
  double c = sqrt((lobe + bump) * (lobe + bump) - h * h), b = atan2(h, c);
  double turned = random_between(random, -4, 4), cos_t = cos(turned), sin_t = sin(turned);
  for (int side = 0; side < 2; side++)
    for (int k = 0; k < 5; k++) {
      double angle =
          b - NUM_PI + 2 * (NUM_PI - b) * fmin(k, 3) / 3; /* where the third lobe bend ends */
      vec2 p = {c + lobe * cos(angle), lobe * sin(angle)};
      if (k == 4) /* over the bump to the other lobe */
        p.x = -p.x;
      if (side)
        p = (vec2){-p.x, -p.y};
      p = (vec2){p.x * cos_t - p.y * sin_t, p.x * sin_t + p.y * cos_t};
      if (side == 0 && k == 0)
        drawn->shape.outline_from = p;
      else if (k > 0)
        drawn_add(drawn, true, p, k == 4 ? bump : lobe, k != 4);
    }
  drawn->smallest = lobe;
}

struct scene {
  GEOSContextHandle_t geos;
  const struct drawn *drawn;
  const struct contour *contour;
  GEOSGeometry *polygon;
  const GEOSGeometry *ring;
  double sag;
};
typedef void scene_property(const struct scene *scene, struct random *random);

static void for_random_scenes(uint64_t seed, scene_property *property) {
  struct random random = {seed};
  printf("  seed %u\n", (unsigned)seed);
  for (int i = 0; i < SHAPES; i++) {
    struct told told = told_begin();
    struct drawn drawn;
    if (i % 3 == 0)
      drawn_dog_bone(&drawn, &random);
    else
      drawn_random(&drawn, &random);
    drawn.shape.parts = drawn.parts;
    if (i % 2)
      drawn_round_off(&drawn, 6);
    struct scene scene = {.geos = GEOS_init_r(), .drawn = &drawn};
    scene.contour = drawn_contour(&told, &drawn, &home);
    told_assert(&told, "");
    scene.polygon = drawn_polygon(scene.geos, &drawn, &scene.sag);
    scene.ring = GEOSGetExteriorRing_r(scene.geos, scene.polygon);
    property(&scene, &random);
    GEOSGeom_destroy_r(scene.geos, scene.polygon);
    GEOS_finish_r(scene.geos);
    told_end(&told);
  }
}

/* Area within the sag all along, centroid within what that strip can move it. */
static void area_property(const struct scene *scene, struct random *random) {
  (void)random;
  double area, x = 0, y = 0, perimeter = scene->contour->perimeter;
  assert_true(GEOSisValid_r(scene->geos, scene->polygon) == 1);
  GEOSArea_r(scene->geos, scene->polygon, &area);
  double missed = (scene->sag + 1e-6) * perimeter;
  assert_close(area_under(scene->contour, 0), area, missed, 0);
  GEOSGeometry *middle = GEOSGetCentroid_r(scene->geos, scene->polygon);
  assert_true(GEOSGeomGetX_r(scene->geos, middle, &x) && GEOSGeomGetY_r(scene->geos, middle, &y));
  assert_close(scene->contour->centre.x, x, missed / area * perimeter / 2, 0);
  assert_close(scene->contour->centre.y, y, missed / area * perimeter / 2, 0);
  GEOSGeom_destroy_r(scene->geos, middle);
}

static void test_area(void **state) {
  (void)state;
  for_random_scenes(SEED, area_property);
}

static double ring_distance(const struct scene *scene, vec2 at, bool *inside) {
  GEOSGeometry *point = GEOSGeom_createPointFromXY_r(scene->geos, at.x, at.y);
  double distance;
  GEOSDistance_r(scene->geos, scene->ring, point, &distance);
  *inside = GEOSContains_r(scene->geos, scene->polygon, point) == 1;
  GEOSGeom_destroy_r(scene->geos, point);
  return distance;
}

static void distance_property(const struct scene *scene, struct random *random) {
  for (int i = 0; i < 25; i++) {
    double x = random_between(random, -450, 450), y = random_between(random, -450, 450);
    bool inside;
    double want = ring_distance(scene, (vec2){x, y}, &inside);
    double got = contour_distance(scene->contour, (vec2){x, y});
    assert_close(fabs(got), want, scene->sag + 1e-5, 0);
    if (want > scene->sag + 1e-5)
      assert_int_equal(got < 0, inside);
  }
}

static void test_distances(void **state) {
  (void)state;
  for_random_scenes(SEED + 1, distance_property);
}

/* Of all places where GEOS cuts the outline with a ray from a centre inside, the nearest. */
static void ray_property(const struct scene *scene, struct random *random) {
  vec2 centre = scene->contour->centre;
  bool inside;
  ring_distance(scene, centre, &inside);
  if (!inside)
    return;
  for (int i = 0; i < 8; i++) {
    double angle = random_between(random, -7, 7);
    double xy[4] = {centre.x, centre.y, centre.x + 2000 * cos(angle), centre.y + 2000 * sin(angle)};
    GEOSGeometry *ray = GEOSGeom_createLineString_r(
        scene->geos, GEOSCoordSeq_copyFromBuffer_r(scene->geos, xy, 2, 0, 0));
    GEOSGeometry *cut = GEOSIntersection_r(scene->geos, scene->ring, ray);
    GEOSGeometry *at = GEOSGeom_createPointFromXY_r(scene->geos, centre.x, centre.y);
    double want;
    GEOSDistance_r(scene->geos, cut, at, &want);
    struct contour_point got =
        contour_at(scene->contour, contour_s_at_angle(scene->contour, angle), 0);
    double range = hypot(got.at.x - centre.x, got.at.y - centre.y);
    double steep = got.normal.x * cos(angle) + got.normal.y * sin(angle);
    if (steep > 0.1) /* past a bump that the ray grazes, the polygon may cut it and the bump not */
      assert_close(range, want, (scene->sag + 1e-5) * 2 / steep, 0);
    GEOSGeom_destroy_r(scene->geos, at);
    GEOSGeom_destroy_r(scene->geos, cut);
    GEOSGeom_destroy_r(scene->geos, ray);
  }
}

static void test_rays(void **state) {
  (void)state;
  for_random_scenes(SEED + 2, ray_property);
}

/* How near the points of an offset come to the outline, by GEOS. */
static double offset_apart(const struct scene *scene, double offset) {
  double least = (double)INFINITY;
  for (int i = 0; i < 150; i++) {
    bool inside;
    vec2 at = contour_at(scene->contour, scene->contour->perimeter * i / 150, offset).at;
    double apart = ring_distance(scene, at, &inside);
    least = fmin(least, inside ? apart : -apart);
  }
  return least;
}

static int sound_offsets = 0, necks = 0;

/* Where no radius vanishes and no neck is found, the offset lies nowhere nearer than itself, and
 * has the area of GEOS's own buffer; past a neck some of it does lie nearer. */
static void offset_property(const struct scene *scene, struct random *random) {
  double offset = random_between(random, 0.1, 0.98) * scene->drawn->smallest;
  struct contour_neck neck;
  if (contour_vanishing_seg(scene->contour, offset, 0) >= 0)
    return;
  if (contour_neck_find(scene->contour, offset, &neck)) {
    necks++;
    assert_true(neck.width / 2 <= offset && neck.s_a <= neck.s_b);
    /* across the neck from wall to wall */
    vec2 a = contour_at(scene->contour, neck.s_a, 0).at,
         b = contour_at(scene->contour, neck.s_b, 0).at;
    assert_close(hypot(a.x - b.x, a.y - b.y), neck.width, 1e-2, 0);
    if (offset > 1.05 * neck.width / 2) {
      struct contour_point p = contour_at(scene->contour, neck.s_a, offset);
      bool inside;
      double apart = ring_distance(scene, p.at, &inside);
      assert_true(apart < offset - 1e-3 || !inside);
    }
    offset = 0.999 * neck.width / 2;
    assert_false(contour_neck_find(scene->contour, offset, &neck));
  }
  sound_offsets++;
  assert_true(offset_apart(scene, offset) >= offset - scene->sag - 1e-4);
  GEOSGeometry *theirs = GEOSBuffer_r(scene->geos, scene->polygon, -offset, 180);
  double area;
  GEOSArea_r(scene->geos, theirs, &area);
  /* the buffer drops detail finer than a hundredth of its own distance (from memory) */
  double slack = scene->sag + 0.011 * offset + 1e-5;
  assert_close(area_under(scene->contour, offset), area, slack * scene->contour->perimeter, 0);
  GEOSGeom_destroy_r(scene->geos, theirs);
}

static void test_offsets(void **state) {
  (void)state;
  for_random_scenes(SEED + 3, offset_property);
  printf("  %d offsets, %d necks\n", sound_offsets, necks);
  assert_true(sound_offsets > SHAPES / 2 && necks > 10);
}

/* Corners anywhere: outlines that cross themselves are refused, for just that, and no others. */
static void test_crossings(void **state) {
  (void)state;
  struct random random = {SEED + 4};
  GEOSContextHandle_t geos = GEOS_init_r();
  int crossing = 0, simple = 0;
  printf("  seed %u\n", SEED + 4);
  for (int i = 0; i < 600; i++) {
    struct told told = told_begin();
    struct drawn drawn;
    size_t n = (size_t)random_whole(&random, 3, 6);
    vec2 corner[6];
    double cut[6], side[6], sag;
    for (size_t k = 0; k < n; k++)
      corner[k] = (vec2){random_between(&random, -200, 200), random_between(&random, -200, 200)};
    for (size_t k = 0; k < n; k++)
      side[k] = hypot(corner[(k + 1) % n].x - corner[k].x, corner[(k + 1) % n].y - corner[k].y);
    for (size_t k = 0; k < n; k++)
      cut[k] = fmin(side[k], side[(k + n - 1) % n]) * random_between(&random, 0.05, 0.45);
    drawn_rounded(&drawn, corner, cut, n);
    GEOSGeometry *polygon = drawn_polygon(geos, &drawn, &sag);
    bool is_valid = GEOSisValid_r(geos, polygon) == 1;
    const struct contour *contour = drawn_contour(&told, &drawn, &home);
    size_t count = diag_count(told.diags), crossings = 0;
    for (size_t k = 0; k < count; k++)
      crossings += strcmp(diag_view_get(told.diags, k).code, "E0415") == 0;
    if (crossings == count) { /* else a spike so sharp that a part is too short */
      assert_int_equal(contour != NULL, is_valid);
      *(is_valid ? &simple : &crossing) += 1;
    }
    GEOSGeom_destroy_r(geos, polygon);
    told_end(&told);
  }
  GEOS_finish_r(geos);
  printf("  %d crossing, %d not\n", crossing, simple);
  assert_true(crossing > 100 && simple > 100 && crossing + simple > 590);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_area), cmocka_unit_test(test_distances),
                                     cmocka_unit_test(test_rays), cmocka_unit_test(test_offsets),
                                     cmocka_unit_test(test_crossings)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
