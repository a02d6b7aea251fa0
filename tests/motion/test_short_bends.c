/* Walls of bends much shorter than the head can follow one by one: groups.h, docs/motion.md. */
#include "motion/groups.h"
#include "support/hand_contour.h"
#include "support/job_text.h"
#include "support/random.h"

#include "borelay/num.h"

/* -- groups ------------------------------------------------------------------------------------ */

/* Bends of two radii by turns, of random lengths, once round; every tenth a long one. */
static struct contour *bends(struct arena *arena, struct random *random, double shortest,
                             double longest, double differ) {
  enum { MOST = 4000 };
  struct contour *contour = hand_contour(arena, "wall", MOST);
  double angle = -hand_pi / 2, end = angle + 2 * hand_pi;
  vec2 at = {0, -50};
  for (int i = 0; i + 1 < MOST && angle < end - 1e-9; i++) {
    double radius = 50 + (i % 2 ? differ : -differ);
    double length = i % 10 == 9 ? 3 : random_between(random, shortest, longest);
    length = fmin(length, (end - angle) * radius);
    vec2 centre = vec2_sub(at, hand_polar(radius, angle));
    hand_add(contour, (struct contour_seg){.length = length,
                                           .start = at,
                                           .normal0 = angle,
                                           .turn = 1,
                                           .radius = radius,
                                           .centre = centre,
                                           .tangent = {-sin(angle), cos(angle)}});
    angle += length / radius;
    at = vec2_add(centre, hand_polar(radius, angle));
  }
  return contour;
}

/* What the header promises, from sums of our own over every group. */
static size_t groups_hold(const struct contour *contour, const struct groups *groups, double pool,
                          double tip, double tilt, double slip) {
  size_t next = 0, most = 0;
  for (size_t g = 0; g < groups->count; g++) {
    const struct seg_group *group = &groups->items[g];
    double q = 0, t = 0, angle = 0, level = 0, way = 0, turn = 0;
    assert_int_equal(group->first, next);
    for (size_t i = next; i < next + group->count; i++) {
      const struct contour_seg *seg = &contour->segs[i];
      level += seg->length * (seg->radius - pool) / seg->radius;
      way += seg->length * (seg->radius - tip) / seg->radius;
      turn += seg->length / seg->radius;
    }
    assert_close(group->level, level, 1e-12, 0);
    assert_close(group->even.tip, way / level, 1e-12, 0);
    assert_close(group->even.turn, turn / level, 1e-12, 0);
    for (size_t i = next; i < next + group->count; i++) {
      const struct contour_seg *seg = &contour->segs[i];
      assert_int_equal(groups->places[i].group, g);
      assert_close(groups->places[i].pool, q, 1e-12, 0);
      assert_true(fabs(angle - turn * t / way) <= tilt);
      assert_true(fabs(t - way / level * q) <= slip);
      q += seg->length * (seg->radius - pool) / seg->radius;
      t += seg->length * (seg->radius - tip) / seg->radius;
      angle += seg->length / seg->radius;
    }
    assert_true(group->count == 1 || group->level <= 0.5);
    most = group->count > most ? group->count : most;
    next += group->count;
  }
  assert_int_equal(next, contour->count);
  return most;
}

static void test_groups(void **state) {
  (void)state;
  static const struct {
    double shortest, longest, differ;
    size_t most; /* segments that the largest group may be short of */
  } walls[] = {{0.02, 0.1, 0.2, 6}, {0.02, 0.1, 1, 2}, {0.1, 0.2, 0.2, 2}, {0.01, 0.6, 1, 3}};
  struct random random = {11};
  for (size_t i = 0; i < sizeof walls / sizeof walls[0]; i++) {
    struct arena *arena = arena_new();
    struct contour *contour =
        bends(arena, &random, walls[i].shortest, walls[i].longest, walls[i].differ);
    struct groups groups = groups_make(arena, contour, 2, 5, 0.05, 0.005);
    size_t most = groups_hold(contour, &groups, 2, 5, 0.02 * 0.05 + 1e-12, 0.02 * 0.005 + 1e-12);
    print_message("%zu segments in %zu groups of %zu at most\n", contour->count, groups.count,
                  most);
    assert_true(most >= walls[i].most);
    arena_free(arena);
  }
}

/* Nothing is gained by taking these as one: each keeps its own way. */
static void test_no_groups(void **state) {
  (void)state;
  struct random random = {12};
  struct arena *arena = arena_new();
  struct contour *longer = bends(arena, &random, 0.3, 2, 0.2);
  struct groups groups = groups_make(arena, longer, 2, 5, 0.05, 0.005);
  assert_int_equal(groups.count, longer->count);
  struct contour *uneven = bends(arena, &random, 0.1, 0.2, 25);
  groups = groups_make(arena, uneven, 2, 5, 0.05, 0.005);
  assert_int_equal(groups.count, uneven->count);
  arena_free(arena);
}

/* -- motion ------------------------------------------------------------------------------------ */

static const double RADIUS = 70, TIP = 3; /* mm, of the wall; of the tip off it */

/* The pocket as a wall of `count` bends of two radii by turns, tangent all the way round. */
static char *wall_text(int count, double differ) {
  size_t room = (size_t)count * 90 + 200, n = 0;
  char *outline = malloc(room);
  assert_non_null(outline);
  double step = 2 * NUM_PI / count, x = RADIUS, y = 0;
  n += (size_t)snprintf(outline + n, room - n, "shape pocket outline {\n  from (%.9f, 0) mm\n", x);
  for (int i = 0; i < count; i++) {
    double radius = RADIUS + (i % 2 ? differ : -differ);
    double chord = 2 * radius * sin(step / 2), heading = NUM_PI / 2 + step * (i + 0.5);
    bool is_last = i + 1 == count;
    x = is_last ? RADIUS : x + chord * cos(heading);
    y = is_last ? 0 : y + chord * sin(heading);
    n += (size_t)snprintf(outline + n, room - n,
                          "  bend { to (%.9f, %.9f) mm; radius %.9f mm; side left }\n", x, y,
                          radius);
  }
  snprintf(outline + n, room - n, "}");
  char *text =
      text_with("shape pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }", outline);
  free(outline);
  text = text_again(text, "start_along 30 mm; stagger 70 mm;", "start_angle 33.3 deg;");
  return text_again(text, "depths 20 .. 40 mm", "depths 20 .. 36 mm");
}

struct followed {
  size_t pieces; /* of one run at full current */
  double turned; /* rad: by the head over it */
  double apart;  /* mm or rad: where one piece ends and the next begins */
  double off_locus;
};

/* The tip against the wall's own contour, whose normal the head keeps. */
static struct followed follow(const struct job_motion *made) {
  struct followed followed = {0};
  const struct motion *motion = made->motion;
  double reach = motion->plan->job->cell->reach, first = 0;
  const struct contour *contour = motion->plan->overlays[0].contour;
  size_t i = 0;
  while (motion->phases[i].kind != PHASE_WELD)
    i++;
  struct piece_iter iter;
  struct piece piece;
  struct pose before = {0};
  piece_iter_begin(&iter, motion, &motion->phases[i]);
  for (; piece_iter_next(&iter, &piece); followed.pieces++) {
    struct pose from = piece_at(&piece, piece.t0);
    first = followed.pieces == 0 ? from.head : first;
    if (followed.pieces > 0)
      followed.apart = fmax(followed.apart, fmax(num_hypot(from.x - before.x, from.y - before.y),
                                                 fabs(from.head - before.head)));
    before = piece_at(&piece, piece.t1);
    struct pose middle = piece_at(&piece, (piece.t0 + piece.t1) / 2);
    vec2 tip = {middle.x + reach * cos(middle.head), middle.y + reach * sin(middle.head)};
    double distance, s = contour_foot(contour, tip, &distance);
    double off = middle.head - contour_at(contour, s, 0).angle;
    followed.off_locus = fmax(followed.off_locus, fabs(distance + TIP));
    assert_close(remainder(off, 2 * NUM_PI), 0, 0.0001, 0);
  }
  piece_iter_release(&iter);
  followed.turned = fabs(before.head - first);
  return followed;
}

/* One piece for each segment and some for each half mm of the way; they were five and a half a
 * segment when each joint was rounded.  Tangents of the contour agree to 1e-9 rad; of a group's
 * segments the last one passes that on, ten at most, times the reach. */
static void test_pieces(void **state) {
  (void)state;
  for (size_t i = 0; i < 2; i++) {
    char *text = wall_text(2400, 0.2);
    if (i == 1)
      text = text_again(text, "pattern rings", "pattern rings; direction clockwise");
    struct job_motion made = job_motion_make(text);
    free(text);
    assert_string_equal(made.told, "");
    const struct contour *contour = made.motion->plan->overlays[0].contour;
    struct followed followed = follow(&made);
    double laps = followed.turned / NUM_TURN;
    print_message("%zu segments, %zu pieces on %.3f laps; apart %.3g, off the locus %.3g mm\n",
                  contour->count, followed.pieces, laps, followed.apart, followed.off_locus);
    assert_true((double)followed.pieces <
                laps * (1.5 * (double)contour->count + 8 * contour->perimeter / 0.5));
    assert_true(followed.apart < 10 * 1e-9 * 40);
    assert_true(followed.off_locus < 1e-7);
    job_motion_end(&made);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_groups),
      cmocka_unit_test(test_no_groups),
      cmocka_unit_test(test_pieces),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
