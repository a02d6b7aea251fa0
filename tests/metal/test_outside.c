/* Random envelopes against GEOS (libgeos_c, a general-purpose geometry library).
 *
 * GEOS knows no arcs, so every contour is given to it twice: as a polygon that lies within it and
 * as one that holds it.  Metal made of inner solids less outer frees lies within the true metal,
 * outer solids less inner frees holds it; so the true distance lies between GEOS's two, strictly,
 * however coarse the polygons are.  They are fine enough that the two mostly agree within 1e-3 mm.
 */
#include "borelay/metal.h"

#include <geos_c.h>
#include <stdio.h>

#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

enum { ROUNDS = 120, QUERIES = 25 };
static const double fine = 0.01; /* rad an arc's chord spans at most */

/* -- contours as polygons ------------------------------------------------------- */

struct chain {
  GEOSCoordSequence *seq;
  vec2 *points;
  size_t count;
};

static void chain_add(struct chain *chain, vec2 p) {
  chain->points = realloc(chain->points, (chain->count + 1) * sizeof *chain->points);
  chain->points[chain->count++] = p;
}

/* An arc bulges out of the area where it bends left.  Chords cut a bulge off; corners of the
 * tangents stand over it. */
static void chain_add_arc(struct chain *chain, const struct contour_seg *seg, bool chords) {
  vec2 from = vec2_sub(seg->start, seg->centre);
  int parts = (int)ceil(seg->length / seg->radius / fine);
  double angle = atan2(from.y, from.x), step = seg->turn * seg->length / seg->radius / parts;
  double reach = seg->radius / cos(step / 2);
  for (int i = 0; i < parts; i++) {
    chain_add(chain, vec2_add(seg->centre, hand_polar(seg->radius, angle + i * step)));
    if (!chords)
      chain_add(chain, vec2_add(seg->centre, hand_polar(reach, angle + (i + 0.5) * step)));
  }
}

static GEOSGeometry *polygon_of(const struct contour *contour, bool outer) {
  struct chain chain = {0};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    if (seg->turn == 0)
      chain_add(&chain, seg->start);
    else
      chain_add_arc(&chain, seg, (seg->turn > 0) != outer);
  }
  GEOSCoordSequence *seq = GEOSCoordSeq_create((unsigned)chain.count + 1, 2);
  for (size_t i = 0; i <= chain.count; i++)
    GEOSCoordSeq_setXY(seq, (unsigned)i, chain.points[i % chain.count].x,
                       chain.points[i % chain.count].y);
  free(chain.points);
  return GEOSGeom_createPolygon(GEOSGeom_createLinearRing(seq), NULL, 0);
}

static GEOSGeometry *combined(GEOSGeometry *a, GEOSGeometry *b,
                              GEOSGeometry *(*how)(const GEOSGeometry *, const GEOSGeometry *)) {
  GEOSGeometry *result = how(a, b);
  assert_non_null(result);
  GEOSGeom_destroy(a);
  GEOSGeom_destroy(b);
  return result;
}

static GEOSGeometry *block(double half) {
  vec2 corner[5] = {{-half, -half}, {half, -half}, {half, half}, {-half, half}, {-half, -half}};
  GEOSCoordSequence *seq = GEOSCoordSeq_create(5, 2);
  for (unsigned i = 0; i < 5; i++)
    GEOSCoordSeq_setXY(seq, i, corner[i].x, corner[i].y);
  return GEOSGeom_createPolygon(GEOSGeom_createLinearRing(seq), NULL, 0);
}

/* Metal at a depth; the block stands for metal without end. */
static GEOSGeometry *reference(const struct hand_scene *scene, double depth, bool outer) {
  GEOSGeometry *metal = depth > 0 ? block(2000) : GEOSGeom_createEmptyPolygon();
  for (int pass = 0; pass < 2; pass++)
    for (size_t i = 0; i < scene->envelope.volume_count; i++) {
      const struct volume *volume = &scene->volumes[i];
      if (depth < volume->depths.lo || depth > volume->depths.hi || volume->is_free != (pass == 1))
        continue;
      GEOSGeometry *polygon = polygon_of(scene->contours[i], volume->is_free ? !outer : outer);
      metal = combined(metal, polygon, pass == 1 ? GEOSDifference : GEOSUnion);
    }
  return metal;
}

static double reference_distance(const GEOSGeometry *metal, vec2 a, vec2 b) {
  GEOSCoordSequence *seq = GEOSCoordSeq_create(2, 2);
  GEOSCoordSeq_setXY(seq, 0, a.x, a.y);
  GEOSCoordSeq_setXY(seq, 1, b.x, b.y);
  GEOSGeometry *line = GEOSGeom_createLineString(seq);
  double distance = HUGE_VAL;
  if (!GEOSisEmpty(metal))
    assert_int_equal(GEOSDistance(metal, line, &distance), 1);
  GEOSGeom_destroy(line);
  return distance;
}

/* -- random envelopes --------------------------------------------------------- */

static struct contour *random_contour(struct arena *arena, struct random *random) {
  vec2 centre = {random_between(random, -40, 40), random_between(random, -40, 40)};
  double turned = random_whole(random, 0, 2) ? random_between(random, 0, 6.28) : 0;
  double radius = random_between(random, 5, 50);
  switch (random_whole(random, 0, 4)) {
  case 4: /* on a coarse grid: walls that touch, or coincide over a part */
    centre = (vec2){10 * random_whole(random, -4, 4), 10 * random_whole(random, -4, 4)};
    return hand_rectangle(arena, "grid", centre, 20 * random_whole(random, 1, 4),
                          20 * random_whole(random, 1, 4), 5 * random_whole(random, 1, 2), 0);
  case 0:
    return hand_round(arena, "round", centre, radius, random_between(random, -4, 4));
  case 1:
    return hand_racetrack(arena, "racetrack", centre, random_between(random, 1, 90), radius,
                          turned);
  case 2:
    return hand_rectangle(arena, "rectangle", centre, random_between(random, 30, 120),
                          random_between(random, 30, 120), random_between(random, 1, 14), turned);
  default:
    break;
  }
  enum { N = 7 };
  vec2 corner[N];
  double corner_radius[N];
  for (int i = 0; i < N; i++) { /* star-shaped: bends both ways */
    corner[i] =
        vec2_add(centre, hand_polar(random_between(random, 25, 70), turned + i * 6.2831853 / N));
    corner_radius[i] = random_between(random, 0.5, 2.5);
  }
  return hand_rounded(arena, "outline", corner, corner_radius, N);
}

static void random_envelope(struct hand_scene *scene, struct arena *arena, struct random *random) {
  static const double stops[] = {-40, -15, 0, 20, 20, 45, 60, 90};
  hand_scene_begin(scene, arena, 0);
  int count = random_whole(random, 1, 7);
  for (int i = 0; i < count; i++) {
    int lo = random_whole(random, 0, 6), hi = random_whole(random, lo + 1, 7);
    const struct contour *contour = random_contour(arena, random);
    if (i > 0 && random_whole(random, 0, 3) == 0) /* the same contour once more */
      contour = scene->contours[random_whole(random, 0, i - 1)];
    hand_volume(scene, random_whole(random, 0, 2) > 0, contour, stops[lo], stops[hi]);
  }
}

/* -- the comparison ------------------------------------------------------------- */

struct stack { /* the reference's slabs, deepest first */
  GEOSGeometry *inner[8], *outer[8];
  double z_lo[8], z_hi[8];
  int count;
};

static struct stack stack_make(const struct hand_scene *scene) {
  static const double stops[] = {1e6, 90, 60, 45, 20, 0, -15, -40};
  struct stack stack = {0};
  for (int i = 0; i < 7; i++) {
    double middle = i == 0 ? 91 : 0.5 * (stops[i] + stops[i + 1]);
    stack.z_lo[i] = -stops[i];
    stack.z_hi[i] = -stops[i + 1];
    stack.inner[i] = reference(scene, middle, false);
    stack.outer[i] = reference(scene, middle, true);
    stack.count++;
  }
  return stack;
}

static void stack_free(struct stack *stack) {
  for (int i = 0; i < stack->count; i++) {
    GEOSGeom_destroy(stack->inner[i]);
    GEOSGeom_destroy(stack->outer[i]);
  }
}

static double stack_distance(const struct stack *stack, bool outer, vec2 a, vec2 b, double radius,
                             double z_lo, double z_hi) {
  double least = HUGE_VAL;
  for (int i = 0; i < stack->count; i++) {
    double gap = fmax(0, fmax(stack->z_lo[i] - z_hi, z_lo - stack->z_hi[i]));
    double flat = reference_distance(outer ? stack->outer[i] : stack->inner[i], a, b);
    least = fmin(least, hypot(fmax(0, flat - radius), gap));
  }
  return least;
}

static void test_random_envelopes(void **state) {
  (void)state;
  struct random random = {20240611};
  int tight = 0, clear = 0;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    random_envelope(&scene, arena, &random);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct stack stack = stack_make(&scene);
    for (int query = 0; query < QUERIES; query++) {
      vec2 a = {random_between(&random, -80, 80), random_between(&random, -80, 80)}, b = a;
      if (query % 2)
        b = vec2_add(a, hand_polar(random_between(&random, 0, 60), random_between(&random, 0, 7)));
      double z_lo = random_between(&random, -110, 60), z_hi = z_lo + (query % 3) * 15;
      double radius = query % 5 ? 0 : random_between(&random, 0, 12);
      double got = metal_distance_upright(metal, a, b, radius, z_lo, z_hi).distance;
      double low = stack_distance(&stack, true, a, b, radius, z_lo, z_hi);
      double high = stack_distance(&stack, false, a, b, radius, z_lo, z_hi);
      if (!(got >= low - 1e-9 && got <= high + 1e-9)) {
        print_error("round %d query %d: %.12g not in %.12g .. %.12g\n", round, query, got, low,
                    high);
        fail();
      }
      clear += got > 0;
      tight += got > 0 && high - low < 1e-2;
    }
    stack_free(&stack);
    arena_free(arena);
  }
  print_message("%d of %d queries clear of metal, %d of them with GEOS certain within 0.01 mm\n",
                clear, ROUNDS * QUERIES, tight);
  assert_true(clear > ROUNDS * QUERIES / 4 && tight > clear * 9 / 10);
}

/* Tilted segments: points along them, whose distances the test above has judged, bound the truth
 * from above; and from below, less half their spacing, since a distance changes no faster than its
 * point. */
static void test_tilted_segments(void **state) {
  (void)state;
  struct random random = {77001};
  const double tolerance = 2e-3;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    random_envelope(&scene, arena, &random);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    for (int query = 0; query < QUERIES; query++) {
      vec3 a = {random_between(&random, -60, 60), random_between(&random, -60, 60),
                random_between(&random, -100, 70)};
      vec3 b = {a.x + random_between(&random, -40, 40), a.y + random_between(&random, -40, 40),
                a.z + random_between(&random, -60, 60)};
      double length =
          sqrt((b.x - a.x) * (b.x - a.x) + (b.y - a.y) * (b.y - a.y) + (b.z - a.z) * (b.z - a.z));
      double got = metal_distance_segment(metal, a, b, tolerance).distance, least = HUGE_VAL;
      int parts = (int)ceil(length / 0.05);
      for (int i = 0; i <= parts; i++) {
        double t = (double)i / parts;
        vec3 p = {a.x + t * (b.x - a.x), a.y + t * (b.y - a.y), a.z + t * (b.z - a.z)};
        least = fmin(least, metal_distance_point(metal, p).distance);
      }
      if (isinf(least)) {
        assert_true(isinf(got));
        continue;
      }
      if (!(got <= least + 1e-9 && got >= least - tolerance - 0.5 * length / parts)) {
        print_error("round %d query %d: %.12g, points %.12g\n", round, query, got, least);
        fail();
      }
    }
    arena_free(arena);
  }
}

static void quiet(const char *format, ...) {
  (void)format;
}

int main(void) {
  initGEOS(quiet, quiet);
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_random_envelopes),
      cmocka_unit_test(test_tilted_segments),
  };
  int failed = cmocka_run_group_tests(tests, NULL, NULL);
  finishGEOS();
  return failed;
}
