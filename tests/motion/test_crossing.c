/* Over a zone the tip keeps to its nominal way, in depth too. */
#include "support/job_text.h"

/* Depth of the legs of a crossing, `way` mm of wall behind its beginning. */
static double crossing_depth(const struct plan_run *run, double way) {
  size_t i = 0;
  while (i + 1 < run->crossing_count && way > run->crossing[i].s_length)
    way -= run->crossing[i++].s_length;
  const struct plan_leg *leg = &run->crossing[i];
  double share = fmin(fmax(way / leg->s_length, 0), 1);
  return leg->depth_from + share * (leg->depth_to - leg->depth_from);
}

/* Over a zone that holds the step between two laps, the step's ends are rounded by no more than
 * joints may be at a crossing (docs/semantics.md, Motion): 0.1 mm from the tip's
 * nominal way. */
static void test_step_in_a_zone(void **state) {
  (void)state;
  char *text = text_with("rectangle { length 160 mm; width 120 mm; corner 12 mm }",
                         "round { diameter 160 mm }");
  text = text_again(text, "start_along 30 mm; stagger 70 mm;",
                    "start_angle 90 deg; step_length 12 mm;");
  text = text_again(text, "pattern rings",
                    "pattern stepped; zone port { arc off; angles 80 .. 120 deg }");
  struct job_motion made = job_motion_make(text);
  free(text);
  assert_string_equal(made.told, "");
  const struct motion *motion = made.motion;
  double most = 0;
  int crossed = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind != PHASE_MOVE || phase->move != MOVE_CROSS)
      continue;
    const struct phase *to = phase;
    while (to->kind != PHASE_WELD)
      to++;
    const struct plan_run *run = &to->plan_layer->runs[to->run];
    double from = phase_pose(motion, phase, (double)phase->tick0 * 0.008).head;
    for (int64_t tick = 0; tick <= phase->ticks; tick++) {
      struct pose h = phase_pose(motion, phase, (double)(phase->tick0 + tick) * 0.008);
      struct sincos torch = num_sincos(h.head);
      double x = h.x + 40 * torch.cos, y = h.y + 40 * torch.sin;
      double turned = num_atan2(x * torch.sin - y * torch.cos, x * torch.cos + y * torch.sin);
      double depth = crossing_depth(run, 80 * (h.head - turned - from));
      most = fmax(most, fabs(340 - h.z - depth));
    }
    crossed++;
  }
  assert_int_equal(crossed, 3);
  assert_true(most > 0.02 && most < 0.1);
  job_motion_end(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_step_in_a_zone)};
  return cmocka_run_group_tests_name("crossing", tests, NULL, NULL);
}
