/* Coverage over valleys: laps that do not lie midway between those below are told, though they are
 * close enough to each other. */
#include "check/band.h"
#include "support/plan_job.h"

static void make_pair(struct plan_job *made, enum pattern pattern) {
  plan_job_init(made);
  made->overlay.pattern = pattern;
  made->overlay.over_valleys = true;
  made->overlay.layer_count = 2;
}

static struct band_gap judge(struct plan_job *made, const struct plan_overlay *overlay) {
  return band_gap_find(made->arena, overlay, &overlay->layers[1]);
}

static void sound_pairs_hold(void **state) {
  (void)state;
  for (int pattern = PATTERN_SPIRAL; pattern <= PATTERN_RINGS; pattern++)
    for (int deeper = 0; deeper < 2; deeper++) {
      struct plan_job made;
      make_pair(&made, (enum pattern)pattern);
      made.layers[1].deeper = made.layers[1].clockwise = deeper == 1;
      struct band_gap gap = judge(&made, &plan_job_plan(&made)->overlays[0]);
      assert_close(gap.missing, 0, 1e-9, 0);
      plan_job_free(&made);
    }
}

/* One lap has no valley: the one above it is laid alike. */
static void one_lap_over_one(void **state) {
  (void)state;
  for (int pattern = PATTERN_SPIRAL; pattern <= PATTERN_RINGS; pattern++) {
    struct plan_job made;
    make_pair(&made, (enum pattern)pattern);
    made.layers[0].depths.hi = made.layers[1].depths.hi = 30;
    assert_close(judge(&made, &plan_job_plan(&made)->overlays[0]).missing, 0, 1e-9, 0);
    plan_job_free(&made);
  }
}

/* One lap 0.3 mm beside its valley; laps are asked for no closer than they still are. */
static void a_lap_beside_its_valley(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_RINGS);
  made.layers[0].pitch = made.layers[1].pitch = 5.4; /* 11 laps at 5 mm all the same */
  made.layers[0].depths.hi = made.layers[1].depths.hi = 80;
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  struct plan_path *path = &overlay->layers[1].paths[3];
  assert_close(judge(&made, overlay).missing, 0, 1e-9, 0);
  for (size_t k = 0; k < path->leg_count; k++) {
    path->legs[k].depth_from += 0.3;
    path->legs[k].depth_to += 0.3;
  }
  struct band_gap gap = judge(&made, overlay);
  assert_close(gap.missing, 0.3, 1e-9, 0);
  assert_string_equal(gap.what, "between a lap and the valley below");
  plan_job_free(&made);
}

static void laps_as_below(void **state) {
  (void)state;
  struct plan_job made;
  make_pair(&made, PATTERN_SPIRAL);
  made.overlay.over_valleys = false;
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  made.overlay.over_valleys = true;
  assert_true(judge(&made, overlay).missing > 1e9);
  plan_job_free(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(sound_pairs_hold),
      cmocka_unit_test(one_lap_over_one),
      cmocka_unit_test(a_lap_beside_its_valley),
      cmocka_unit_test(laps_as_below),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
