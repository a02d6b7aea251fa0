/* A stretch settled at one go: never where a dense sampler finds less, and everywhere on plain
 * laps, whose clearance is known by geometry. */
#include "clear/sweep.h"

#include <stdio.h>

#include "support/cavity_motion.h"
#include "support/close.h"
#include "support/hand_cell.h"
#include "support/hand_contour.h"
#include "support/random.h"
#include "support/stepped_cavity.h"

enum { ROUNDS = 300, INSTANTS = 400, HALVINGS = 40, PARTS = 6 };

static struct part part_of(const struct cell *cell, int which) {
  switch (which) {
  case 0:
    return part_body(cell, 0, true);
  case 1:
    return part_body(cell, 1, false);
  case 2:
    return part_torch(cell, true);
  case 3:
    return part_guard(cell, 0, true);
  case 4:
    return part_guard(cell, 1, false);
  default:
    return part_electrode(cell);
  }
}

static bool is_kept(const struct part *part, const struct metal *metal, const struct swath *swath,
                    double distance, bool quickly) {
  struct sweep sweep = sweep_of(swath);
  return quickly ? swath_stays_off(swath, part, metal, distance)
                 : sweep_stays_off(&sweep, part, metal, distance);
}

/* The largest distance that is told to be kept, found by halves. */
static double largest_told(const struct part *part, const struct metal *metal,
                           const struct swath *swath, bool quickly) {
  double lo = 0, hi = 400;
  for (int i = 0; i < HALVINGS; i++) {
    double middle = 0.5 * (lo + hi);
    if (is_kept(part, metal, swath, middle, quickly))
      lo = middle;
    else
      hi = middle;
  }
  return lo;
}

static double largest_of(const struct part *part, const struct metal *metal,
                         const struct swath *swath) {
  return largest_told(part, metal, swath, false);
}

static struct swath swath_whole(const struct piece *piece) {
  return swath_of(&piece->curve, piece->q.c0, cubic_at(piece->q, piece->t1 - piece->t0));
}

static double largest_kept(const struct part *part, const struct metal *metal,
                           const struct piece *piece) {
  struct swath swath = swath_whole(piece);
  return largest_of(part, metal, &swath);
}

static double sampled(const struct part *part, const struct metal *metal,
                      const struct piece *piece) {
  double least = HUGE_VAL;
  for (int i = 0; i <= INSTANTS; i++) {
    double t = piece->t0 + (piece->t1 - piece->t0) * i / INSTANTS;
    least = fmin(least, part_distance(part, metal, piece_at(piece, t), 1e-6).distance);
  }
  return least;
}

/* By thirds: the head keeps its angle to the guide, nearly keeps it, turns on its own. */
static struct piece motion_make(struct random *random, int round) {
  struct piece piece = cavity_motion(random, 5, 30);
  struct curve *curve = &piece.curve;
  double rate = curve->is_line ? 1 : random_between(random, 0, 0.8);
  curve->turn = (struct cubic){random_between(random, -9, 9), random_between(random, -rate, rate),
                               random_between(random, -0.01, 0.01), 0};
  curve->head =
      curve->is_line ? (struct cubic){random_between(random, -3, 3), 0, 0, 0} : curve->turn;
  if (round % 3 > 0) {
    double own = round % 3 == 1 ? 1e-3 : 0.1;
    curve->head.c0 += random_between(random, -3, 3);
    curve->head.c1 += random_between(random, -own, own);
    curve->head.c2 += random_between(random, -own, own) / 10;
  }
  curve->z = (struct cubic){random_between(random, 90, 200), random_between(random, -3, 3), 0, 0};
  return piece;
}

static const struct metal *bore_of(struct arena *arena, struct hand_scene *scene) {
  hand_scene_begin(scene, arena, 0);
  hand_volume(scene, true, hand_round(arena, "bore", (vec2){0, 0}, 50, 0.3), 0, 400);
  return metal_make(arena, &scene->plan, (struct clad_state){0});
}

static void test_never_more_than_samples(void **state) {
  (void)state;
  struct random random = {20261128};
  int told[2] = {0, 0};
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < ROUNDS; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, 1e-6, 1.5);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct piece piece = motion_make(&random, round);
    struct swath swath = swath_whole(&piece);
    for (int k = 0; k < 2 * PARTS; k++) {
      struct part part = part_of(&head.cell, k / 2);
      bool quickly = k % 2 != 0;
      double kept = largest_told(&part, metal, &swath, quickly);
      double least = sampled(&part, metal, &piece);
      if (!(kept <= least + 1e-6)) { /* what the samples may be low by */
        print_error("round %d, part %d: %.9g kept, samples %.9g\n", round, k / 2, kept, least);
        fail();
      }
      told[quickly] += kept > 0.5 * least && least > 0.5;
    }
    arena_free(arena);
  }
  print_message("more than half of the distance told %d times, quickly %d\n", told[0], told[1]);
  assert_true(told[0] > ROUNDS && told[1] > ROUNDS / 3);
}

/* About the axis of a bore with the head anyhow to the guide, as where joints are rounded; whole
 * turns of the head change nothing.  Where the torch points along the guide's radius a lap is told
 * to the last digits however the radius is made up. */
static void test_quickly_about_a_bore(void **state) {
  (void)state;
  struct random random = {402};
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  const struct metal *bore = bore_of(arena, &scene);
  hand_cell_make(&head, 1e-6, 0);
  for (int round = 0; round < ROUNDS; round++) {
    double rho = random_between(&random, -30, 40), out = random_between(&random, 0, 18);
    double radius = random_whole(&random, 0, 3) ? rho + out : random_between(&random, -20, 20);
    double apart = random_whole(&random, 0, 1) ? random_between(&random, -0.2, 0.2) : 0;
    double turns = 2 * hand_pi * random_whole(&random, -3, 3);
    struct curve curve = {.length = 1,
                          .radius = radius,
                          .rho = rho,
                          .turn = {random_between(&random, -4, 4), 2, 0, 0},
                          .z = {-100, 1, 0, 0}};
    curve.head = curve.turn;
    curve.head.c0 += turns - apart;
    curve.head.c1 += 2 * apart;
    struct piece piece = {.t1 = 1, .q = {0, 1, 0, 0}, .curve = curve};
    struct swath swath = swath_whole(&piece);
    for (int i = 0; i < PARTS; i++) {
      struct part part = part_of(&head.cell, i);
      double kept = largest_told(&part, bore, &swath, true);
      assert_true(kept <= sampled(&part, bore, &piece) + 1e-6);
    }
    struct part electrode = part_electrode(&head.cell);
    if (apart == 0 && radius == rho + out)
      assert_close(largest_told(&electrode, bore, &swath, true), fmax(0, 50 - out - 30), 1e-9, 0);
  }
  arena_free(arena);
}

/* A lap in a bore, a lap's end of a racetrack, and its straight: told to the last digits. */
static void test_plain_laps_are_told_whole(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, true, hand_racetrack(arena, "cavity", (vec2){0, 0}, 80, 50, 0), 0, 400);
  const struct metal *track = metal_make(arena, &scene.plan, (struct clad_state){0});
  struct hand_scene round;
  const struct metal *bore = bore_of(arena, &round);
  hand_cell_make(&head, 0.008, 1);
  struct curve lap = {.length = 1,
                      .radius = 18,
                      .turn = {-1, 2 * hand_pi + 1, 0, 0},
                      .head = {-1, 2 * hand_pi + 1, 0, 0}};
  struct curve end = {.length = 1,
                      .centre = {40, 0},
                      .radius = 18,
                      .turn = {-hand_pi / 2, hand_pi, 0, 0},
                      .head = {-hand_pi / 2, hand_pi, 0, 0}};
  struct curve straight = {.length = 1,
                           .is_line = true,
                           .centre = {40, 18},
                           .direction = {-1, 0},
                           .turn = {0, 80, 0, 0},
                           .head = {hand_pi / 2, 0, 0, 0}};
  const struct {
    const char *name;
    const struct metal *metal;
    struct curve curve;
  } rows[] = {{"lap", bore, lap}, {"end", track, end}, {"straight", track, straight}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct piece piece = {.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}, .curve = rows[i].curve};
    struct part body = part_body(&head.cell, 1, true), electrode = part_electrode(&head.cell);
    struct part torch = part_torch(&head.cell, true);
    assert_close(largest_kept(&body, rows[i].metal, &piece), 50 - 18 - 20 - 1, 1e-9, 0);
    assert_close(largest_kept(&torch, rows[i].metal, &piece), 50 - 18 - 19 - 1, 1e-9, 0);
    assert_close(largest_kept(&electrode, rows[i].metal, &piece), 2, 1e-9, 0);
  }
  arena_free(arena);
}

/* Down and up again under a narrow neck: both ends of the heights count. */
static void test_quickly_under_a_neck(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, true, hand_round(arena, "bore", (vec2){0, 0}, 50, 0.3), 100, 400);
  hand_volume(&scene, true, hand_round(arena, "neck", (vec2){0, 0}, 13, 0), 0, 100);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.008, 0);
  struct part electrode = part_electrode(&head.cell); /* at 200 below H, 30 out */
  struct curve down = {.length = 1, .is_line = true, .direction = {1, 0}, .z = {98, -50, 0, 0}};
  struct curve up = down;
  up.z = (struct cubic){-190, 285, 0, 0};
  const struct {
    struct curve curve;
    double kept;
  } rows[] = {{down, 2}, {up, 5}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct swath swath = swath_of(&rows[i].curve, 0, 1);
    assert_close(largest_told(&electrode, metal, &swath, true), rows[i].kept, 1e-9, 0);
  }
  arena_free(arena);
}

/* A slanted guard through a throat: all of its heights at all of its radii would be in the wall.
 * The axis passes the throat's edge, 22 from the centre at depth 60, 18 from it; of eight slices
 * the one that ends below the edge reaches to 19.25. */
static void test_slanted_through_a_throat(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, true, hand_round(arena, "throat", (vec2){0, 0}, 22, 0.3), 0, 60);
  hand_volume(&scene, true, hand_round(arena, "cavity", (vec2){0, 0}, 60, 0.3), 60, 200);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.008, 0);
  head.guards[0].from = (vec3){8, 0, -20};
  head.guards[0].to = (vec3){38, 0, -140};
  struct part guard = part_guard(&head.cell, 0, false);
  struct curve lap = {.length = 1, .turn = {0, 6, 0, 0}, .head = {0, 6, 0, 0}};
  struct piece piece = {.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}, .curve = lap};
  double kept = largest_kept(&guard, metal, &piece);
  assert_true(kept >= 22 - 19.25 - 1e-9 && kept <= 4 / sqrt(1 + 0.25 * 0.25));
  arena_free(arena);
}

/* Round a post the nearest is inside the ring. */
static void test_round_a_post(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, false, hand_round(arena, "post", (vec2){0, 0}, 40, 0.3), -400, 0);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.008, 1);
  struct part body = part_body(&head.cell, 1, true);
  struct piece piece = {.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}};
  piece.curve = (struct curve){.length = 1,
                               .radius = 70,
                               .turn = {0, 6, 0, 0},
                               .head = {hand_pi, 6, 0, 0},
                               .z = {250, 0, 0, 0}};
  assert_close(largest_kept(&body, metal, &piece), 70 - 40 - 20 - 1, 1e-9, 0);
  arena_free(arena);
}

/* -- several curves along one guide ------------------------------------------------------- */

/* The curve from `q` on, with whole turns of guide and head added: another one on the same guide.
 */
static struct curve gone_on(const struct curve *curve, double q, int turns) {
  struct curve next = *curve;
  next.turn = cubic_shift(curve->turn, q);
  next.head = cubic_shift(curve->head, q);
  next.z = cubic_shift(curve->z, q);
  next.head.c0 += turns * 2 * hand_pi;
  if (!curve->is_line)
    next.turn.c0 += random_whole(&(struct random){(uint64_t)turns}, -1, 1) * 2 * hand_pi;
  return next;
}

/* Cut into three, the whole is told of what the parts sweep together: never more than of any of
 * them, and as much as of the uncut curve. */
static void test_joined_along_a_guide(void **state) {
  (void)state;
  struct random random = {8086};
  int told = 0;
  for (int round = 0; round < ROUNDS / 3; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, 1e-6, 1.5);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct piece piece = motion_make(&random, round);
    double cuts[4] = {0, 0.3 * piece.curve.length, 0.7 * piece.curve.length, piece.curve.length};
    struct curve curves[3];
    struct swath parts[3], joined;
    for (int i = 0; i < 3; i++) {
      curves[i] = gone_on(&piece.curve, cuts[i], i);
      parts[i] = swath_of(&curves[i], 0, cuts[i + 1] - cuts[i]);
    }
    joined = parts[0];
    for (int i = 1; i < 3; i++) {
      assert_true(swath_joins(&joined, &parts[i]));
      swath_add(&joined, &parts[i]);
    }
    for (int i = 0; i < PARTS; i++) {
      struct part part = part_of(&head.cell, i);
      double kept = largest_of(&part, metal, &joined), least = sampled(&part, metal, &piece);
      for (int k = 0; k < 3; k++)
        assert_true(kept <= largest_of(&part, metal, &parts[k]) + 1e-9);
      assert_true(kept <= least + 1e-6);
      told += kept > 0.5 * least && least > 0.5;
    }
    arena_free(arena);
  }
  print_message("more than half of the distance told %d times\n", told);
  assert_true(told > ROUNDS / 3);
  struct curve line = {.is_line = true, .direction = {1, 0}}, other = line;
  other.centre.y = 1e-3;
  struct swath a = swath_of(&line, 0, 1), b = swath_of(&other, 0, 1);
  assert_false(swath_joins(&a, &b));
}

/* A lap that sways up and down a straight wall: all of it is told at once, to the last digits. */
static void test_swaying_lap_is_told_whole(void **state) {
  (void)state;
  enum { CROSSINGS = 40 };
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  const struct metal *bore = bore_of(arena, &scene);
  hand_cell_make(&head, 0.008, 1);
  struct swath lap = {0};
  struct curve curves[CROSSINGS];
  for (int i = 0; i < CROSSINGS; i++) {
    double way = 2 * hand_pi / CROSSINGS, sway = i % 2 ? -4 : 4;
    curves[i] = (struct curve){.length = 1,
                               .radius = 18,
                               .turn = {way * i, way, 0, 0},
                               .head = {way * i, way, 0, 0},
                               .z = {-sway / 2, 0, 3 * sway, -2 * sway}};
    struct swath crossing = swath_of(&curves[i], 0, 1);
    if (i == 0)
      lap = crossing;
    else
      swath_add(&lap, &crossing);
  }
  struct part body = part_body(&head.cell, 1, true), electrode = part_electrode(&head.cell);
  assert_close(largest_of(&body, bore, &lap), 50 - 18 - 20 - 1, 1e-9, 0);
  assert_close(largest_of(&electrode, bore, &lap), 2, 1e-9, 0);
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_never_more_than_samples),
      cmocka_unit_test(test_quickly_about_a_bore),
      cmocka_unit_test(test_quickly_under_a_neck),
      cmocka_unit_test(test_plain_laps_are_told_whole),
      cmocka_unit_test(test_slanted_through_a_throat),
      cmocka_unit_test(test_round_a_post),
      cmocka_unit_test(test_joined_along_a_guide),
      cmocka_unit_test(test_swaying_lap_is_told_whole),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
