/* Boxes to keep out of, on motions whose nearest places are known and against dense sampling. */
#include "support/close.h"

#include <stdio.h>
#include <string.h>

#include "check/hand_motion.h"
#include "check/range.h"
#include "support/random.h"

#define SEED 83u

enum { MOST_BOXES = 3 };

struct bench {
  struct hand_motion hand;
  struct keep_out boxes[MOST_BOXES];
};

static int setup(void **state) {
  struct bench *bench = calloc(1, sizeof *bench);
  bench->hand.arena = arena_new();
  hand_motion_begin(&bench->hand, hand_round(bench->hand.arena, "bore", (vec2){0, 0}, 50, 0));
  bench->hand.scene.cell.keep_outs = bench->boxes;
  *state = bench;
  return 0;
}

static int teardown(void **state) {
  struct bench *bench = *state;
  arena_free(bench->hand.arena);
  free(bench);
  return 0;
}

static void box_add(struct bench *bench, const char *name, vec3 lo, vec3 hi) {
  struct cell *cell = &bench->hand.scene.cell;
  struct keep_out *box = &bench->boxes[cell->keep_out_count++];
  *box = (struct keep_out){.name = name, .lo = lo, .hi = hi};
  box->origin.head.begin = (uint32_t)cell->keep_out_count;
}

static struct check_result judge(struct bench *bench) {
  struct scene scene = {bench->hand.arena, &bench->hand.motion, false};
  struct range_judge range = range_begin(&scene);
  for (size_t i = 0; i < bench->hand.run->count; i++) {
    struct jet_stretch whole = whole_of(&bench->hand.run->pieces[i]);
    range_piece(&range, &bench->hand.phase, &bench->hand.run->pieces[i], &whole);
  }
  return range_end(&range);
}

/* 10 s along a straight at even speed. */
static void straight(struct bench *bench, vec3 from, vec3 to) {
  double x = to.x - from.x, y = to.y - from.y, way = sqrt(x * x + y * y);
  bench->hand.run->count = 0;
  struct piece *piece = hand_piece(&bench->hand, 0, 10);
  piece->q = (struct cubic){0, 0.1, 0, 0};
  piece->curve = (struct curve){.length = 1,
                                .is_line = true,
                                .direction = way > 0 ? (vec2){x / way, y / way} : (vec2){1, 0},
                                .centre = {from.x, from.y},
                                .turn = {0, way, 0, 0},
                                .z = {from.z, to.z - from.z, 0, 0}};
}

/* A post of 40 x 60 that stands from z = 0 to 200, and what is known of straights beside it. */
static void straights_beside_a_post(void **state) {
  struct bench *bench = *state;
  box_add(bench, "post", (vec3){100, -30, 0}, (vec3){140, 30, 200});
  static const struct {
    const char *name;
    vec3 from, to;
    double distance;
  } rows[] = {
      {"along a face", {90, -500, 50}, {90, 500, 150}, 10},
      {"over the top, slanted", {-100, -200, 207.5}, {333, 250, 207.5}, 7.5},
      {"sinking beside it", {150, 0, 400}, {150, 0, 20}, 10},
      {"past an upright edge",
       {60, -30, 100},
       {130, -100, 100},
       28.284271247461902},                                /* at (80, -50) */
      {"to a corner", {144, 42, 500}, {144, 42, 203}, 13}, /* 4, 12, 3 */
      {"just above, along the edge", {100, -90, 203}, {100, 90, 203}, 3},
      {"straight through the middle", {0, 0, 100}, {300, 0, 100}, -20}, /* 20 to the faces x */
      {"through, nearer to the top", {0, 5, 190}, {300, 5, 190}, -10},
      {"in and no farther", {0, 0, 100}, {107, 0, 100}, -7},
      {"through a corner", {90, -30, 100}, {110, -10, 100}, -10}, /* ends 10 from x, 20 from y */
      {"standing inside", {120, 10, 190}, {120, 10, 190}, -10},
      {"standing on a face", {140, 10, 100}, {140, 10, 100}, 0},
  };
  for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
    straight(bench, rows[i].from, rows[i].to);
    struct check_result result = judge(bench);
    if (fabs(result.worst - rows[i].distance) > 3e-6)
      print_error("%s\n", rows[i].name);
    assert_close(result.worst, rows[i].distance, 3e-6, 0);
    assert_true(result.judged && result.limit == 0);
    assert_int_equal(result.passed, rows[i].distance > 0);
    assert_non_null(strstr(result.detail,
                           result.passed ? "H to keep_out post at x" : "H in keep_out post at x"));
  }
}

/* A quarter turn at 60 about an upright edge: the distance never changes.  (By the speed alone this
 * would be proved only in looks of nanoseconds.) */
static void an_arc_about_an_edge(void **state) {
  struct bench *bench = *state;
  struct piece *piece = hand_piece(&bench->hand, 0, 60 * NUM_TURN / 4 / 50);
  piece->q = (struct cubic){0, 50, 0, 0};
  piece->curve = (struct curve){.length = 60 * NUM_TURN / 4,
                                .centre = {20, 30},
                                .radius = 60,
                                .turn = {NUM_PI, 1.0 / 60, 0, 0},
                                .z = {300, 0, 0, 0}};
  box_add(bench, "post", (vec3){20, 30, 0}, (vec3){70, 80, 900});
  double tick = bench->hand.scene.cell.tick, chord = 50.0 * 50 / 60 * tick * tick / 8;
  assert_close(judge(bench).worst, 60 - chord, 3e-6, 0);
}

/* A sheet of a hundredth of a millimetre, crossed at speed: between two rows, not between looks. */
static void a_thin_sheet_is_not_missed(void **state) {
  struct bench *bench = *state;
  box_add(bench, "sheet", (vec3){-900, 33.0, 0}, (vec3){900, 33.01, 900});
  straight(bench, (vec3){-100, -400, 300}, (vec3){50, 450, 300});
  struct check_result result = judge(bench);
  assert_false(result.passed);
  assert_close(result.worst, -0.005, 1e-6, 0);
}

/* H goes round at 60 about the origin at speed v: the chords' share is v^2 / 60 T^2 / 8, and it
 * alone may decide. */
static void the_chords_share_is_added(void **state) {
  struct bench *bench = *state;
  double tick = bench->hand.scene.cell.tick, speed = 90;
  double chord = speed * speed / 60 * tick * tick / 8;
  bench->hand.run->count = 0;
  struct piece *piece = hand_piece(&bench->hand, 0, 60 * NUM_TURN / speed);
  piece->q = (struct cubic){0, speed, 0, 0};
  piece->curve = (struct curve){
      .length = 60 * NUM_TURN, .radius = 60, .turn = {0.4, 1.0 / 60, 0, 0}, .z = {300, 0, 0, 0}};
  box_add(bench, "wall", (vec3){62, -500, 0}, (vec3){90, 500, 900});
  assert_close(judge(bench).worst, 2 - chord, 3e-6, 0);
  bench->boxes[0].lo.x = 60 + chord - 1e-4;
  assert_false(judge(bench).passed);
  bench->boxes[0].lo.x = 60 + chord + 1e-4;
  assert_true(judge(bench).passed);
}

/* A step of velocity dv between pieces: the chord over it may leave the motion by dv T / 4. */
static void a_step_of_velocity_is_added(void **state) {
  struct bench *bench = *state;
  straight(bench, (vec3){0, 0, 0}, (vec3){100, 0, 0}); /* 10 mm/s */
  struct piece *piece = hand_piece(&bench->hand, 10, 12);
  *piece = bench->hand.run->pieces[0];
  piece->t0 = 10;
  piece->t1 = 12;
  piece->curve.centre = (vec2){100, 0};
  piece->curve.direction = (vec2){0, 1}; /* and off at a right angle */
  box_add(bench, "wall", (vec3){-100, -500, -10}, (vec3){200, -3, 10});
  double step = sqrt(200.0) * bench->hand.scene.cell.tick / 4;
  assert_close(judge(bench).worst, 3 - step, 3e-6, 0);
}

/* Whichever leaves the least room decides, and is named. */
static void the_least_room_decides(void **state) {
  struct bench *bench = *state;
  struct cell *cell = &bench->hand.scene.cell;
  straight(bench, (vec3){0, 0, 100}, (vec3){50, 0, 100});
  assert_false(judge(bench).judged);
  box_add(bench, "fence", (vec3){-10, 40, 0}, (vec3){90, 45, 200});
  box_add(bench, "column", (vec3){80, -10, 0}, (vec3){90, 10, 200});
  box_add(bench, "plate", (vec3){-500, -500, 0}, (vec3){500, 500, 65});
  struct check_result result = judge(bench);
  assert_close(result.worst, 30, 3e-6, 0);
  assert_non_null(strstr(result.detail, "H to keep_out column at x 50.000"));
  assert_string_equal(result.note, "keep_out `column` stands here");
  assert_int_equal(result.note_at.begin, 2);
  cell->has_working_range = true;
  cell->range_radius = (struct range){0, 200}; /* largest distance 111.8: 88 left */
  assert_close(judge(bench).worst, 30, 3e-6, 0);
  cell->range_radius.hi = 130; /* 18 left */
  result = judge(bench);
  assert_close(result.worst, sqrt(100 * 100 + 50 * 50), 3e-6, 0);
  assert_close(result.limit, 130, 0, 0);
  assert_null(result.note);
  bench->boxes[2].hi.z = 101; /* refused, with room to the shell */
  result = judge(bench);
  assert_false(result.passed);
  assert_close(result.worst, -1, 3e-6, 0);
  assert_non_null(strstr(result.detail, "H in keep_out plate at x"));
}

/* -- against sampling -------------------------------------------------------------------------- */

static double box_distance(const struct keep_out *box, struct pose h) {
  double x = fmax(box->lo.x - h.x, h.x - box->hi.x), y = fmax(box->lo.y - h.y, h.y - box->hi.y),
         z = fmax(box->lo.z - h.z, h.z - box->hi.z);
  double most = fmax(x, fmax(y, z));
  return most <= 0 ? most : hypot(fmax(x, 0), hypot(fmax(y, 0), fmax(z, 0)));
}

/* A guided tip with a head that turns on its own, or H on an arc or a straight; z up and down. */
static struct piece random_motion(struct random *random, double *speed) {
  double turn = random_between(random, -2, 2), head = random_between(random, -2, 2);
  double z1 = random_between(random, -120, 120), z2 = random_between(random, -60, 60);
  double x = random_between(random, -80, 80), y = random_between(random, -80, 80);
  struct piece piece = {.t1 = 1, .q = {0, 1, 0, 0}};
  piece.curve = (struct curve){.length = 1,
                               .is_line = random_whole(random, 0, 2) == 0,
                               .centre = {x, y},
                               .radius = random_between(random, 5, 120),
                               .rho = random_whole(random, 0, 1) ? 46 : 0,
                               .turn = {random_between(random, 0, 6), turn, 0, 0},
                               .head = {random_between(random, 0, 6), head, 0, 0},
                               .z = {random_between(random, 0, 100), z1, z2, 0}};
  if (piece.curve.is_line) {
    double angle = random_whole(random, 0, 3) * random_between(random, 0, 2);
    piece.curve.direction = (vec2){cos(angle), sin(angle)};
    piece.curve.turn = (struct cubic){-50, random_between(random, 10, 200), 0, 0};
  }
  double guide = piece.curve.is_line ? fabs(piece.curve.turn.c1) : piece.curve.radius * fabs(turn);
  *speed = hypot(guide + piece.curve.rho * fabs(head), fabs(z1) + 2 * fabs(z2));
  return piece;
}

/* The samples' least is at most half a step times the speed above the truth; the judge's figure is
 * at most its tolerance and the chords' share (a tick of a microsecond) away from that. */
static void against_sampling(void **state) {
  struct bench *bench = *state;
  enum { TRIALS = 400, SAMPLES = 20000 };
  struct random random = {SEED};
  int inside = 0;
  bench->hand.scene.cell.tick = 1e-6;
  for (int trial = 0; trial < TRIALS; trial++) {
    double speed;
    bench->hand.run->count = 0;
    *hand_piece(&bench->hand, 0, 1) = random_motion(&random, &speed);
    bench->hand.scene.cell.keep_out_count = 0;
    for (int i = random_whole(&random, 1, MOST_BOXES); i > 0; i--) {
      struct pose h = piece_at(&bench->hand.run->pieces[0], random_between(&random, 0, 1));
      vec3 lo = {h.x + random_between(&random, -50, 10), h.y + random_between(&random, -50, 10),
                 h.z + random_between(&random, -90, 20)};
      vec3 hi = {lo.x + random_between(&random, 0.01, 60), lo.y + random_between(&random, 1, 60),
                 lo.z + random_between(&random, 1, 100)};
      box_add(bench, "box", lo, hi);
    }
    double least = HUGE_VAL;
    for (int k = 0; k <= SAMPLES; k++) {
      struct pose h = piece_at(&bench->hand.run->pieces[0], (double)k / SAMPLES);
      for (size_t i = 0; i < bench->hand.scene.cell.keep_out_count; i++)
        least = fmin(least, box_distance(&bench->boxes[i], h));
    }
    double worst = judge(bench).worst;
    assert_true(worst <= least + 1e-6);
    assert_true(worst >= least - speed / (2 * SAMPLES) - 2e-6);
    inside += least < 0;
  }
  printf("  seed %u: %d of %d motions enter a box\n", SEED, inside, TRIALS);
  assert_true(inside > TRIALS / 10 && inside < TRIALS * 9 / 10);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test_setup_teardown(straights_beside_a_post, setup, teardown),
      cmocka_unit_test_setup_teardown(an_arc_about_an_edge, setup, teardown),
      cmocka_unit_test_setup_teardown(a_thin_sheet_is_not_missed, setup, teardown),
      cmocka_unit_test_setup_teardown(the_chords_share_is_added, setup, teardown),
      cmocka_unit_test_setup_teardown(a_step_of_velocity_is_added, setup, teardown),
      cmocka_unit_test_setup_teardown(the_least_room_decides, setup, teardown),
      cmocka_unit_test_setup_teardown(against_sampling, setup, teardown),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
