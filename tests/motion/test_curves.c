/* Curves of a swaying track: within any range of it those of the whole leg and no others, bit for
 * bit; and the sway that they add to the depth, against one written down here. */
#include <string.h>

#include "motion/track.h"
#include "support/close.h"
#include "support/hand_contour.h"
#include "support/random.h"

struct bench {
  struct arena *arena;
  struct track track;
  struct track_leg legs[2];
  struct joint_window windows[8];
  struct profile profile;
};

static const struct oscillation OSCILLATION = {.width = 4, .frequency = 0.8, .dwell = 0.12};
static const double SPEED = 2.5, RUN_UP = 1; /* mm/s, s */

/* Two turns of a rounded rectangle; the second sinks. */
static void bench_make(struct bench *bench, int dir) {
  const vec2 corners[4] = {{-60, -40}, {60, -40}, {60, 40}, {-60, 40}};
  const double radii[4] = {20, 15, 20, 15};
  *bench = (struct bench){.arena = arena_new()};
  const struct contour *contour = hand_rounded(bench->arena, "box", corners, radii, 4);
  struct track *track = &bench->track;
  *track = track_contour(contour, 1, 4, 30, dir, 0);
  track->legs = bench->legs;
  track->groups = groups_make(bench->arena, contour, 1, 4, 0, 0);
  track->windows = bench->windows;
  track->slope_window = track->widest = 1.5;
  for (size_t i = 0; i < track->groups.count; i++)
    track->windows[i] = (struct joint_window){1.2, 0.8};
  for (int i = 0; i < 2; i++) {
    double from = dir * contour->perimeter * i;
    bench->legs[i] = track_leg_make(track, from, contour->perimeter, 500, 3.0 * i);
    track->leg_count++;
    track->length += bench->legs[i].length;
  }
  struct ramp ramp = {RUN_UP / 2, 0};
  double cruise = track->length / SPEED - RUN_UP;
  bench->profile = profile_travel(0, ramp, SPEED, cruise, ramp, 0);
  track->sway = sway_make(&OSCILLATION, &bench->profile, RUN_UP, RUN_UP + cruise);
  assert_true(track->sway.last > 100);
}

static bool same_curve(const struct curve_item *a, const struct curve_item *b) {
  const struct curve *p = &a->curve, *r = &b->curve;
  return a->q0 == b->q0 && p->length == r->length && p->is_line == r->is_line &&
         memcmp(&p->centre, &r->centre, sizeof p->centre) == 0 && p->radius == r->radius &&
         p->rho == r->rho && memcmp(&p->turn, &r->turn, sizeof p->turn) == 0 &&
         memcmp(&p->head, &r->head, sizeof p->head) == 0 && memcmp(&p->z, &r->z, sizeof p->z) == 0;
}

static size_t item_at(const struct curve_list *list, double q) {
  size_t i = 0;
  while (i + 1 < list->count && list->items[i + 1].q0 <= q)
    i++;
  return i;
}

static void judge_within(const struct track *track, size_t leg, const struct curve_list *whole,
                         struct range within) {
  struct curve_list part = {0};
  track_leg_curves_within(track, leg, within, &part);
  double begin = track->legs[leg].q0, end = begin + track->legs[leg].length;
  size_t first = item_at(whole, fmax(within.lo, begin));
  size_t last = item_at(whole, fmin(within.hi, end));
  assert_true(part.count >= last - first + 1 && part.count <= last - first + 3);
  size_t from = item_at(whole, part.items[0].q0);
  assert_true(from <= first && from + part.count - 1 >= last);
  for (size_t i = 0; i < part.count; i++)
    assert_true(same_curve(&part.items[i], &whole->items[from + i]));
  curve_list_release(&part);
}

/* Some at a time, from one list: the same ones in order, and in the end the last ones stay. */
static void judge_some_at_a_time(const struct track *track, size_t leg, struct range within) {
  struct curve_list all = {0}, some = {0};
  const struct range none = {0, 0};
  size_t made = 0, times = 0;
  track_leg_curves_within(track, leg, within, &all);
  track_leg_curves_begin(track, leg, within, none, &some);
  do {
    for (size_t i = 0; i < some.count; i++)
      assert_true(made < all.count && same_curve(&some.items[i], &all.items[made++]));
    times++;
  } while (curve_list_more(&some));
  assert_int_equal(made, all.count);
  assert_true(same_curve(&some.items[some.count - 1], &all.items[made - 1]));
  assert_true(times > made / 100);
  curve_list_release(&all);
  curve_list_release(&some);
}

static void parts_are_those_of_the_whole(void **state) {
  (void)state;
  struct random random = {77};
  for (int dir = -1; dir <= 1; dir += 2) {
    struct bench bench;
    bench_make(&bench, dir);
    for (size_t leg = 0; leg < 2; leg++) {
      struct curve_list whole = {0};
      double begin = bench.legs[leg].q0, length = bench.legs[leg].length;
      track_leg_curves(&bench.track, leg, &whole);
      assert_true(whole.count > 500);
      for (int i = 0; i < 200; i++) {
        double lo = begin + random_between(&random, 0, length);
        double hi = i % 4 == 0 ? lo : lo + random_between(&random, 0, i % 4 == 1 ? 5 : length);
        judge_within(&bench.track, leg, &whole, (struct range){lo, hi});
        judge_some_at_a_time(&bench.track, leg, (struct range){lo, hi});
      }
      judge_within(&bench.track, leg, &whole, (struct range){begin - 1, begin});
      curve_list_release(&whole);
    }
    arena_free(bench.arena);
  }
}

/* Share of its way that a crossing has done at y = 0 .. 1 of it: jerk 32, -32, 32. */
static double eased(double y) {
  if (y <= 0.25)
    return 16.0 / 3 * y * y * y;
  if (y >= 0.75)
    return 1 - eased(1 - y);
  return 0.5 + 2 * (y - 0.5) - 16.0 / 3 * pow(y - 0.5, 3);
}

/* Deeper than the centre line at time t. */
static double swayed(const struct sway *sway, double t) {
  double since = t - RUN_UP, half = 0.5 / OSCILLATION.frequency;
  double j = floor(since / half), last = (double)sway->last, end = fmod(j, 2) == 0 ? 2 : -2;
  if (since < 0 || j > last)
    return 0;
  double from = j == 0 ? 0 : -end, to = j == last ? 0 : end;
  return from + (to - from) * eased(fmin((since - j * half) / (half - OSCILLATION.dwell), 1));
}

static void depth_sways_as_asked(void **state) {
  (void)state;
  struct bench bench;
  bench_make(&bench, 1);
  struct track still = bench.track;
  still.sway = (struct sway){0};
  for (size_t leg = 0; leg < 2; leg++) {
    struct curve_list list = {0}, level = {0};
    track_leg_curves(&bench.track, leg, &list);
    track_leg_curves(&still, leg, &level);
    for (int i = 0; i <= 5000; i++) {
      double q = bench.legs[leg].q0 + bench.legs[leg].length * i / 5000;
      double t = profile_time_at(&bench.profile, q);
      const struct curve_item *at = &list.items[item_at(&list, q)];
      const struct curve_item *on = &level.items[item_at(&level, q)];
      double deeper = cubic_at(on->curve.z, q - on->q0) - cubic_at(at->curve.z, q - at->q0);
      assert_close(deeper, swayed(&bench.track.sway, t), 1e-9, 0);
    }
    curve_list_release(&list);
    curve_list_release(&level);
  }
  arena_free(bench.arena);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(parts_are_those_of_the_whole),
      cmocka_unit_test(depth_sways_as_asked),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
