/* The proved minimum against a dense sampler that knows nothing of bounds on the distance itself.
 *
 * The sampler looks at every part at many instants, and at many shifts.  Its least distance lies
 * above the truth, by no more than the parts move in half of an interval of time and of shift. */
#include "borelay/clear.h"

#include <stdio.h>

#include "support/cavity_motion.h"
#include "support/close.h"
#include "support/hand_cell.h"
#include "support/hand_contour.h"
#include "support/random.h"
#include "support/stepped_cavity.h"

enum { INSTANTS = 1500, SHIFTS = 20 };

static vec3 carried(struct pose pose, vec3 local, double shift) {
  double c = cos(pose.head), s = sin(pose.head);
  return (vec3){pose.x + (local.x + shift) * c - local.y * s,
                pose.y + (local.x + shift) * s + local.y * c, pose.z + local.z};
}

static double capsule_distance(const struct metal *metal, struct pose pose, vec3 from, vec3 to,
                               double radius, double shift) {
  struct metal_hit hit =
      metal_distance_segment(metal, carried(pose, from, shift), carried(pose, to, shift), 1e-4);
  return fmax(0, hit.distance - radius);
}

static double body_distance(const struct metal *metal, struct pose pose, const struct body *body,
                            double shift) {
  vec3 at = carried(pose, (vec3){0, 0, 0}, shift);
  return metal_distance_upright(metal, (vec2){at.x, at.y}, (vec2){at.x, at.y}, body->radius,
                                pose.z + body->heights.lo, pose.z + body->heights.hi)
      .distance;
}

static double sampled_at(const struct cell *cell, const struct metal *metal, struct pose pose,
                         struct clear_parts parts) {
  double least = HUGE_VAL;
  for (int k = 0; k <= SHIFTS; k++) {
    double shift = parts.shifted ? cell->correction * (2.0 * k / SHIFTS - 1) : 0;
    for (size_t i = 0; parts.bodies && i < cell->body_count; i++)
      least = fmin(least, body_distance(metal, pose, &cell->bodies[i], shift));
    for (size_t i = 0; parts.torch && i < cell->guard_count; i++)
      least = fmin(least, capsule_distance(metal, pose, cell->guards[i].from, cell->guards[i].to,
                                           cell->guards[i].radius, shift));
    if (parts.torch)
      least = fmin(least, capsule_distance(metal, pose, cell->torch.from, cell->torch.to,
                                           cell->torch.radius, shift));
    if (!parts.shifted)
      break;
  }
  if (parts.electrode)
    least =
        fmin(least, capsule_distance(metal, pose, cell->electrode_from, cell->electrode_to, 0, 0));
  return least;
}

/* -- random motions ------------------------------ */

static struct piece random_motion(struct random *random) {
  struct piece piece = cavity_motion(random, random_between(random, 0, 100), 12);
  struct curve *curve = &piece.curve;
  double rate = curve->is_line ? 1 : 0.1;
  curve->turn =
      (struct cubic){random_between(random, -3, 3), random_between(random, -rate, rate), 0, 0};
  curve->head = (struct cubic){random_between(random, -3, 3), random_between(random, -0.1, 0.1),
                               random_between(random, -0.01, 0.01), 0};
  curve->z = (struct cubic){random_between(random, 90, 200), random_between(random, -3, 3), 0, 0};
  return piece;
}

static const struct {
  const char *name;
  struct clear_parts parts;
} choices[] = {
    {"bodies, shifted", {.bodies = true, .shifted = true}},
    {"bodies", {.bodies = true}},
    {"torch and guards, shifted", {.torch = true, .shifted = true}},
    {"torch and guards", {.torch = true}},
    {"electrode", {.electrode = true}},
    {"all, shifted", {true, true, true, true}},
};

static void test_against_samples(void **state) {
  (void)state;
  struct random random = {515151};
  int positive = 0;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < 90; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, 1e-6, 1.5); /* a tick so short that chords cost nothing */
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct piece piece = random_motion(&random);
    size_t choice = (size_t)round % (sizeof choices / sizeof *choices);
    struct clear_parts parts = choices[choice].parts;
    struct clear_result got = clear_begin(HUGE_VAL);
    clear_piece(&head.cell, metal, &piece, parts, &got);
    double step = (piece.t1 - piece.t0) / INSTANTS, least = HUGE_VAL;
    for (int i = 0; i <= INSTANTS; i++)
      least =
          fmin(least, sampled_at(&head.cell, metal, piece_at(&piece, piece.t0 + i * step), parts));
    double speed = piece_point_bound(&piece, piece.t0, piece.t1, 35).speed;
    double coarse = speed * step / 2 + (parts.shifted ? head.cell.correction / SHIFTS : 0) + 1e-4;
    if (!(got.distance <= least && got.distance >= least - 0.01 - coarse)) {
      print_error("round %d, %s: %.9g, samples %.9g\n", round, choices[choice].name, got.distance,
                  least);
      fail();
    }
    assert_true(got.t >= piece.t0 && got.t <= piece.t1);
    positive += least > 0.5;
    arena_free(arena);
  }
  assert_true(positive > 45);
}

/* The same motion in many pieces, of which some go on along a curve and others begin a new one on
 * the same guide, gives the same figure, wherever it is cut. */
static void test_many_pieces(void **state) {
  (void)state;
  enum { PIECES = 150 };
  struct random random = {60606};
  static struct piece pieces[PIECES];
  int positive = 0;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < 60; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, 1e-6, 1.5);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct piece whole = random_motion(&random);
    struct clear_parts parts = choices[(size_t)round % (sizeof choices / sizeof *choices)].parts;
    int count = random_whole(&random, 2, PIECES);
    double origin = 0; /* of the curve now followed */
    for (int i = 0; i < count; i++) {
      double length = whole.t1 - whole.t0, from = length * i / count, to = length * (i + 1) / count;
      struct piece *piece = &pieces[i];
      *piece =
          (struct piece){whole.t0 + from, whole.t0 + to, cubic_shift(whole.q, from), whole.curve};
      if (random_whole(&random, 0, 1))
        origin = piece->q.c0;
      piece->q.c0 -= origin;
      piece->curve.length -= origin;
      piece->curve.turn = cubic_shift(whole.curve.turn, origin);
      piece->curve.head = cubic_shift(whole.curve.head, origin);
      piece->curve.z = cubic_shift(whole.curve.z, origin);
    }
    struct clear_result one = clear_begin(HUGE_VAL), many = clear_begin(HUGE_VAL);
    clear_piece(&head.cell, metal, &whole, parts, &one);
    clear_pieces(&head.cell, pieces, (size_t)count, 0, (size_t)count,
                 &(struct clear_ask){metal, parts, &many}, 1);
    assert_close(many.distance, one.distance, 0.0095, 0);
    assert_true(many.t >= whole.t0 && many.t <= whole.t1 + 1e-9);
    struct pose at = piece_at(&whole, fmin(many.t, whole.t1));
    assert_close(at.x, many.pose.x, 1e-6, 0);
    assert_close(at.y, many.pose.y, 1e-6, 0);
    assert_close(at.z, many.pose.z, 1e-6, 0);
    positive += one.distance > 0.5;
    arena_free(arena);
  }
  assert_true(positive > 30);
}

/* A piece that is nowhere, be it in one number, is never clear of metal, and the search for where
 * it is ends. */
static void test_no_numbers(void **state) {
  (void)state;
  static const double numbers[] = {(double)NAN, (double)INFINITY, -(double)INFINITY};
  struct random random = {8080};
  for (int round = 0; round < 300; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    hand_cell_make(&head, 0.004, 1.5);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct piece pieces[3] = {random_motion(&random)}, *piece = &pieces[1];
    pieces[1] = pieces[2] = pieces[0];
    for (int i = 1; i < 3; i++) {
      double length = pieces[i].t1 - pieces[i].t0;
      pieces[i].t0 = pieces[i - 1].t1;
      pieces[i].t1 = pieces[i].t0 + length;
    }
    struct curve *curve = &piece->curve;
    double *const places[] = {&piece->t1,
                              &piece->q.c0,
                              &piece->q.c1,
                              &piece->q.c3,
                              &curve->turn.c0,
                              &curve->turn.c1,
                              &curve->head.c0,
                              &curve->head.c3,
                              &curve->z.c0,
                              &curve->z.c2,
                              &curve->centre.x,
                              &curve->rho,
                              curve->is_line ? &curve->direction.y : &curve->radius};
    size_t place = (size_t)round % (sizeof places / sizeof *places);
    *places[place] = numbers[random_whole(&random, 0, 2)];
    if (round % 20 == 0) { /* an angle too large to tell a direction */
      *piece = pieces[0];
      curve->head.c0 = 1e12;
    }
    struct clear_parts parts = choices[(size_t)round % (sizeof choices / sizeof *choices)].parts;
    struct clear_result got = clear_begin(HUGE_VAL);
    clear_pieces(&head.cell, pieces, 3, 0, 3, &(struct clear_ask){metal, parts, &got}, 1);
    if (!(got.distance <= 0))
      print_error("round %d, place %zu: %g\n", round, place, got.distance);
    assert_true(got.distance <= 0);
    arena_free(arena);
  }
}

/* -- rows and the straight runs between them ----------------------------------------- */

static struct pose between(struct pose a, struct pose b, double u) {
  return (struct pose){a.x + u * (b.x - a.x), a.y + u * (b.y - a.y), a.z + u * (b.z - a.z),
                       a.head + u * (b.head - a.head)};
}

static void test_controller_chords(void **state) {
  (void)state;
  struct random random = {99};
  int costly = 0, positive = 0;
  print_message("seed %llu\n", (unsigned long long)random.state);
  for (int round = 0; round < 120; round++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    stepped_cavity(&scene, arena, &random);
    struct piece piece = random_motion(&random);
    if (round % 2) { /* the head's turning alone bends the way */
      piece.curve.head.c2 *= 30;
      piece.curve.is_line = true;
      piece.curve.rho = 0;
    }
    int rows = random_whole(&random, 1, 4); /* a coarse tick, so that chords matter */
    struct clear_parts parts = {round % 3 == 0, round % 3 == 1, round % 3 == 2, false};
    hand_cell_make(&head, (piece.t1 - piece.t0) / rows, 0);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    struct clear_result smooth = clear_begin(HUGE_VAL), got = clear_begin(HUGE_VAL);
    clear_piece(&head.cell, metal, &piece, parts, &got);
    double least = HUGE_VAL;
    for (int k = 0; k < rows; k++) {
      struct pose a = piece_at(&piece, piece.t0 + k * head.cell.tick);
      struct pose b = piece_at(&piece, piece.t0 + (k + 1) * head.cell.tick);
      for (int i = 0; i <= 200; i++)
        least = fmin(least, sampled_at(&head.cell, metal, between(a, b, i / 200.0), parts));
    }
    assert_true(got.distance <= least);
    head.cell.tick = 1e-6;
    clear_piece(&head.cell, metal, &piece, parts, &smooth);
    assert_true(got.distance <= smooth.distance + 0.01);
    positive += smooth.distance > 0.5;
    costly += least < smooth.distance - 1e-3;
    arena_free(arena);
  }
  print_message("%d clear, of these %d less on the chords\n", positive, costly);
  assert_true(costly >= 5); /* else the test would not tell whether chords are counted */
}

static const struct metal *bore_of(struct arena *arena, struct hand_scene *scene) {
  hand_scene_begin(scene, arena, 0);
  hand_volume(scene, true, hand_round(arena, "bore", (vec2){0, 0}, 50, 0), 0, 400);
  return metal_make(arena, &scene->plan, (struct clad_state){0});
}

/* Braking on a straight costs nothing: the chords lie on the path. */
static void test_straight_move_costs_nothing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  const struct metal *metal = bore_of(arena, &scene);
  hand_cell_make(&head, 0.1, 0);
  /* Tip from 5 to 2 off the wall within 0.5 s, head at 0.4 rad, jerk negative throughout. */
  struct piece piece = {.t0 = 3, .t1 = 3.5, .q = {0, 0, 3 * 3 / 0.25, -2 * 3 / 0.125}};
  piece.curve = (struct curve){.length = 3,
                               .is_line = true,
                               .centre = hand_polar(15, 0.4),
                               .direction = hand_polar(1, 0.4),
                               .turn = {0, 1, 0, 0},
                               .head = {0.4, 0, 0, 0},
                               .z = {100, 0, 0, 0}};
  struct clear_result got = clear_begin(HUGE_VAL);
  clear_piece(&head.cell, metal, &piece, (struct clear_parts){.electrode = true}, &got);
  assert_close(got.distance, 1.995, 0.0051, 0);
  assert_close(got.t, 3.5, 1e-9, 0);
  assert_int_equal(got.part, CLEAR_ELECTRODE);
  assert_string_equal(metal_hit_name(arena, metal, got.metal), "the wall of free bore");
  arena_free(arena);
}

/* The head angle runs straight from row to row, too: turning evenly costs nothing, however far out
 * the part and however coarse the rows.  A post beside the head is passed in mid-turn, between rows
 * that are both well clear of it. */
static void test_even_turn_costs_nothing(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, false, hand_round(arena, "post", (vec2){50, 0}, 4, 0), -400, 0);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.5, 0);
  head.cell.guard_count = 1;
  head.guards[0] = (struct capsule){"bar", {40, 0, 0}, {40, 0, 20}, 3, {{0, 0, 0}, NULL, 0}};
  head.cell.torch = head.guards[0];
  struct piece piece = {.t0 = 2, .t1 = 2.5, .q = {0, 2, 0, 0}}; /* from -0.5 rad to 0.5 in a tick */
  piece.curve = (struct curve){.length = 1,
                               .is_line = true,
                               .direction = {1, 0},
                               .head = {-0.5, 1, 0, 0},
                               .z = {100, 0, 0, 0}};
  struct clear_result got = clear_begin(HUGE_VAL);
  clear_piece(&head.cell, metal, &piece, (struct clear_parts){.torch = true}, &got);
  assert_close(got.distance, 50 - 4 - 40 - 3 - 0.005, 0.00501, 0);
  assert_close(got.t, 2.25, 0.005, 0);
  assert_close(got.pose.head, 0, 0.01, 0);
  arena_free(arena);
}

/* -- whole laps whose clearances are plain geometry ----------------------------------- */

static void test_round_lap(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  const struct metal *metal = bore_of(arena, &scene);
  hand_cell_make(&head, 0.008, 1);
  /* Tip 2 off the wall: H on a circle of 18, head = phi, one turn in 94.25 s. */
  struct piece piece = {.t0 = 10, .t1 = 10 + 94.25, .q = {0, 10.0 / 3, 0, 0}};
  piece.curve = (struct curve){.length = 94.25 * 10 / 3,
                               .radius = 18,
                               .turn = {0, 0.02, 0, 0},
                               .head = {0, 0.02, 0, 0},
                               .z = {0, 0, 0, 0}};
  struct {
    struct clear_parts parts;
    enum clear_part part;
    size_t index;
    double distance;
  } rows[] = {
      {{.bodies = true}, CLEAR_BODY, 1, 50 - 18 - 20},
      {{.bodies = true, .shifted = true}, CLEAR_BODY, 1, 50 - 18 - 20 - 1},
      {{.torch = true}, CLEAR_TORCH, 0, 50 - 18 - 19 - 5},
      {{.torch = true, .shifted = true}, CLEAR_TORCH, 0, 50 - 18 - 19 - 5 - 1},
      {{.electrode = true, .shifted = true}, CLEAR_ELECTRODE, 0, 2},
  };
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct clear_result got = clear_begin(HUGE_VAL);
    hand_cell_make(&head, 0.008, 1);
    head.guards[0].to = (vec3){10, -5, -194}; /* out of the way */
    clear_piece(&head.cell, metal, &piece, rows[i].parts, &got);
    assert_close(got.distance, rows[i].distance - 0.005, 0.00501, 0);
    assert_int_equal(got.part, rows[i].part);
    assert_int_equal(got.part_index, rows[i].index);
  }
  arena_free(arena);
}

/* Curves on one guide are asked for together, at what the dearest of them costs: the tip keeps 2 mm
 * off the wall, and only over the last curve rows leave the motion, by z'' T^2/8 = 0.05. */
static void test_dearest_of_a_row(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, true, hand_racetrack(arena, "track", (vec2){0, 0}, 80, 50, 0), 0, 400);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.008, 0);
  const double right = hand_pi / 2;
  const struct curve guides[2] = {{.length = 40,
                                   .centre = {40, 0},
                                   .radius = 18,
                                   .turn = {-1, 1.0 / 18, 0, 0},
                                   .head = {-1, 1.0 / 18, 0, 0},
                                   .z = {-100, 0, 0, 0}},
                                  {.length = 40,
                                   .is_line = true,
                                   .centre = {40, 18},
                                   .direction = {-1, 0},
                                   .turn = {0, 1, 0, 0},
                                   .head = {right, 0, 0, 0},
                                   .z = {-100, 0, 0, 0}}};
  for (size_t i = 0; i < 2; i++) {
    struct piece pieces[3];
    for (int k = 0; k < 3; k++) {
      double from = k * 0.4, duration = k < 2 ? 0.4 : 0.04;
      pieces[k] =
          (struct piece){.t0 = from, .t1 = from + duration, .q = {0, 50, 0, 0}, .curve = guides[i]};
      pieces[k].curve.turn.c0 += 50 * from * guides[i].turn.c1;
      pieces[k].curve.head.c0 += 50 * from * guides[i].head.c1;
    }
    pieces[2].curve.z.c2 = 0.5 * 0.05 * 8 / (0.008 * 0.008) / (50 * 50);
    struct clear_result got = clear_begin(1.99);
    struct clear_ask ask = {metal, {.electrode = true}, &got};
    clear_pieces(&head.cell, pieces, 3, 0, 3, &ask, 1);
    assert_close(got.distance, 2 - 0.05 - 0.006, 0.006, 0);
    assert_true(got.t >= 0.8 - 0.008);
  }
  arena_free(arena);
}

/* A guard across the torch passes a post beside its end: nearest at no shift, not at the farthest.
 */
static void test_nearest_between_the_shifts(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  hand_scene_begin(&scene, arena, 0);
  hand_volume(&scene, false, hand_round(arena, "post", (vec2){20, 15}, 1, 0), -400, 0);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.008, 1.5);
  head.guards[0] =
      (struct capsule){"bar", {20, -10, 100}, {20, 10, 100}, 0.5, {{0, 0, 0}, NULL, 0}};
  head.guards[1] = head.guards[0];
  head.cell.torch = head.guards[0];
  struct piece piece = {.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}};
  piece.curve =
      (struct curve){.length = 1, .is_line = true, .direction = {0, 1}, .z = {200, 0, 0, 0}};
  struct clear_result got = clear_begin(HUGE_VAL);
  clear_piece(&head.cell, metal, &piece, (struct clear_parts){.torch = true, .shifted = true},
              &got);
  assert_close(got.distance, 15 - 10 - 1 - 0.5 - 0.005, 0.00501, 0);
  assert_string_equal(metal_hit_name(arena, metal, got.metal), "solid post");
  arena_free(arena);
}

static void test_limit_and_neighbours(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_scene scene;
  struct hand_cell head;
  struct random random = {4};
  stepped_cavity(&scene, arena, &random);
  const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
  hand_cell_make(&head, 0.5, 1); /* two ticks a piece */
  struct piece pieces[3];
  pieces[0] = (struct piece){.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}};
  pieces[0].curve = (struct curve){
      .length = 9, .is_line = true, .direction = {1, 0}, .turn = {0, 1, 0, 0}, .z = {150, 0, 0, 0}};
  pieces[1] = pieces[2] = pieces[0];
  pieces[1].t0 = 1;
  pieces[1].t1 = 2;
  pieces[1].q = (struct cubic){1, 1, 0, 0};
  pieces[2].t0 = 2;
  pieces[2].t1 = 3;
  pieces[2].q = (struct cubic){2, 1, 0, 0};
  struct clear_parts parts = {.bodies = true};
  struct clear_result alone = clear_begin(HUGE_VAL), beside = clear_begin(HUGE_VAL);
  clear_piece(&head.cell, metal, &pieces[1], parts, &alone);
  clear_pieces(&head.cell, pieces, 3, 1, 2, &(struct clear_ask){metal, parts, &beside}, 1);
  assert_close(alone.distance, beside.distance, 0, 0); /* all on one straight */
  /* A neighbour that bends hard: its chords reach into this piece. */
  pieces[2].curve.is_line = false;
  pieces[2].curve.radius = 2;
  pieces[2].curve.centre = (vec2){2, 2};
  pieces[2].curve.turn = (struct cubic){-hand_pi / 2 - 1, 0.5, 0, 0};
  struct clear_result bent = clear_begin(HUGE_VAL);
  clear_pieces(&head.cell, pieces, 3, 1, 2, &(struct clear_ask){metal, parts, &bent}, 1);
  assert_close(alone.distance - bent.distance, 0.5 * 0.5 * 0.5 / 8, 1e-6, 0);
  struct clear_result limited = clear_begin(alone.distance - 1);
  clear_pieces(&head.cell, pieces, 3, 1, 2, &(struct clear_ask){metal, parts, &limited}, 1);
  assert_close(limited.distance, alone.distance - 1, 0, 0);
  arena_free(arena);
}

/* Past a post on a straight between two bends, nearest in its middle.  Chords on the bends that
 * cost next to nothing are taken off all of the straight; dearer ones only where they reach to. */
static void test_cheap_chords_are_not_told_apart(void **state) {
  (void)state;
  const struct { double cost, taken_off; } rows[] = {{0.0003, 0.0003}, {0.0006, 0}};
  for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    hand_scene_begin(&scene, arena, 0);
    hand_volume(&scene, false, hand_round(arena, "post", (vec2){40, 0}, 5, 0), -400, 0);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    hand_cell_make(&head, 0.02, 0);
    double radius = 10.0 * 10 / (rows[i].cost * 8 / (0.02 * 0.02)); /* at 10 mm/s */
    struct piece pieces[3];
    for (int k = 0; k < 3; k++) {
      pieces[k] = (struct piece){.t0 = k, .t1 = k + 1, .q = {0, 10, 0, 0}};
      pieces[k].curve = (struct curve){.length = 10,
                                       .centre = {-radius, k == 0 ? -5 : 5},
                                       .radius = radius,
                                       .turn = {k == 0 ? -10 / radius : 0, 1 / radius, 0, 0},
                                       .z = {250, 0, 0, 0}};
    }
    pieces[1].curve = (struct curve){.length = 10,
                                     .is_line = true,
                                     .centre = {0, -5},
                                     .direction = {0, 1},
                                     .turn = {0, 1, 0, 0},
                                     .z = {250, 0, 0, 0}};
    struct clear_result got = clear_begin(HUGE_VAL);
    struct clear_ask ask = {metal, {.bodies = true}, &got};
    clear_pieces(&head.cell, pieces, 3, 1, 2, &ask, 1);
    assert_close(got.distance, 40 - 5 - 20 - 0.008 - rows[i].taken_off, 1e-9, 0);
    assert_true(got.distance >= 40 - 5 - 20 - 0.01);
    assert_close(got.t, 1.5, 1e-9, 0);
    arena_free(arena);
  }
}

/* However many guards there are, each is followed through all pieces: a short one that alone nears
 * a post in the last of many pieces. */
static void test_many_guards(void **state) {
  (void)state;
  enum { GUARDS = 24, PIECES = 40 };
  for (size_t nearest = 0; nearest < GUARDS; nearest++) {
    struct arena *arena = arena_new();
    struct hand_scene scene;
    struct hand_cell head;
    hand_scene_begin(&scene, arena, 0);
    hand_volume(&scene, false, hand_round(arena, "post", (vec2){80, 0}, 5, 0), -400, 0);
    const struct metal *metal = metal_make(arena, &scene.plan, (struct clad_state){0});
    hand_cell_make(&head, 0.008, 0);
    struct capsule guards[GUARDS];
    for (size_t i = 0; i < GUARDS; i++)
      guards[i] = (struct capsule){"", {-30, 0, 0}, {-30, 0, 20}, 1, {{0, 0, 0}, NULL, 0}};
    guards[nearest].from.x = guards[nearest].to.x = 20;
    head.cell.torch = guards[(nearest + 1) % GUARDS];
    head.cell.guards = guards;
    head.cell.guard_count = GUARDS;
    struct piece pieces[PIECES];
    for (int i = 0; i < PIECES; i++) { /* H goes 1 mm a piece along x */
      pieces[i] = (struct piece){.t0 = i, .t1 = i + 1, .q = {0, 1, 0, 0}};
      pieces[i].curve = (struct curve){.length = 1,
                                       .is_line = true,
                                       .direction = {1, 0},
                                       .turn = {i, 1, 0, 0},
                                       .z = {100, 0, 0, 0}};
    }
    struct clear_result got = clear_begin(HUGE_VAL);
    struct clear_ask ask = {metal, {.torch = true}, &got};
    clear_pieces(&head.cell, pieces, PIECES, 0, PIECES, &ask, 1);
    assert_close(got.distance, 80 - 5 - 1 - 20 - PIECES - 0.005, 0.00501, 0);
    assert_close(got.t, PIECES, 0.01, 0);
    assert_int_equal(got.part, CLEAR_GUARD);
    assert_int_equal(got.part_index, nearest);
    arena_free(arena);
  }
}

static void test_names(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  struct hand_cell head;
  hand_cell_make(&head, 0.008, 1);
  head.guards[1].name = "";
  struct clear_result result = {.part = CLEAR_BODY, .part_index = 1};
  assert_string_equal(clear_part_name(arena, &head.cell, &result), "body upper");
  result.part = CLEAR_GUARD;
  assert_string_equal(clear_part_name(arena, &head.cell, &result), "guard 2");
  result.part = CLEAR_TORCH;
  assert_string_equal(clear_part_name(arena, &head.cell, &result), "torch body");
  result.part = CLEAR_ELECTRODE;
  assert_string_equal(clear_part_name(arena, &head.cell, &result), "electrode");
  arena_free(arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_against_samples),
      cmocka_unit_test(test_no_numbers),
      cmocka_unit_test(test_many_pieces),
      cmocka_unit_test(test_controller_chords),
      cmocka_unit_test(test_straight_move_costs_nothing),
      cmocka_unit_test(test_even_turn_costs_nothing),
      cmocka_unit_test(test_round_lap),
      cmocka_unit_test(test_dearest_of_a_row),
      cmocka_unit_test(test_limit_and_neighbours),
      cmocka_unit_test(test_nearest_between_the_shifts),
      cmocka_unit_test(test_cheap_chords_are_not_told_apart),
      cmocka_unit_test(test_many_guards),
      cmocka_unit_test(test_names),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
