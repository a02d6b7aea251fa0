/* Motion round a wall that bends both ways: the head turns back past a bump. */
#include "support/job_text.h"

#include "borelay/num.h"

/* Two ends of radius 50, a straight below, above it a boss of radius 28 that touches both ends:
 *   boss_y = sqrt(78^2 - 55^2), joints 50/78 of the way from the ends' centres. */
static char *boss_text(void) {
  return text_with("shape pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }",
                   "let up = sqrt(3059)\n"
                   "shape pocket outline {\n"
                   "  from (0, -50) mm; line (55, -50) mm\n"
                   "  bend { to (105, 0) mm; radius 50 mm; side left }\n"
                   "  bend { to (55 * 28 / 78, up * 50 / 78) mm; radius 50 mm; side left }\n"
                   "  bend { to (-55 * 28 / 78, up * 50 / 78) mm; radius 28 mm; side right }\n"
                   "  bend { to (-105, 0) mm; radius 50 mm; side left }\n"
                   "  bend { to (-55, -50) mm; radius 50 mm; side left }; line (0, -50) mm\n"
                   "}");
}

/* Normal where the boss begins, and the length along the contour from the middle of the straight.
 */
static const double joint_angle = 134.84; /* deg; 180 - atan(sqrt(3059) / 55) */
static double joint_s(void) {
  return 55 + 50 * (NUM_PI / 2 + NUM_PI - atan(sqrt(3059) / 55));
}

/* One ring from 6 mm before the boss, anticlockwise. */
static char *ring_text(const char *travel) {
  char start[64], axis[64];
  snprintf(start, sizeof start, "start_along %.3f mm; stagger 0 mm", joint_s() - 6);
  snprintf(axis, sizeof axis, "travel %s deg", travel);
  char *text = text_again(boss_text(), "depths 20 .. 40 mm", "depths 20 .. 28 mm");
  text = text_again(text, "start_along 30 mm; stagger 70 mm", start);
  return text_again(text, "travel endless", axis);
}

/* How far the tip is from its locus: 3 mm inside straight and ends, 3 mm outside the boss's circle.
 */
static double off_locus(struct pose pose) {
  double x = pose.x + 40 * cos(pose.head), y = pose.y + 40 * sin(pose.head);
  if (fabs(x) < 55 * 28.0 / 78 * 31 / 28 && y > 0) /* the joint's line from the boss's centre */
    return fabs(hypot(x, y - sqrt(3059)) - 31);
  return fabs(x) < 55 && y < 0 ? fabs(y + 47) : fabs(hypot(fabs(x) - 55, y) - 47);
}

/* From the start the normal rises by 6 mm of bend, falls by twice 44.84 deg over the boss, and
 * comes round to where it fell from: 449.68 deg in all, though the ends are 6 deg more than a turn
 * apart. */
static void test_head_turns_back(void **state) {
  (void)state;
  char *text = ring_text("44 .. 496");
  struct job_motion made = job_motion_make(text);
  assert_string_equal(made.told, "");
  double lowest = 1e9, highest = -1e9;
  for (size_t i = 0; i < made.motion->phase_count; i++) {
    struct piece_iter iter;
    struct piece piece;
    if (made.motion->phases[i].kind != PHASE_WELD)
      continue;
    piece_iter_begin(&iter, made.motion, &made.motion->phases[i]);
    while (piece_iter_next(&iter, &piece))
      for (int k = 0; k <= 8; k++) {
        struct pose pose = piece_at(&piece, piece.t0 + (piece.t1 - piece.t0) * k / 8);
        double head = pose.head;
        assert_close(off_locus(pose), 0, 1e-6, 0);
        lowest = fmin(lowest, head * 180 / NUM_PI);
        highest = fmax(highest, head * 180 / NUM_PI);
      }
    piece_iter_release(&iter);
  }
  /* the rounded turns stop short of the joints' own angles by at most 3 deg */
  assert_true(lowest >= 180 - joint_angle && lowest < 180 - joint_angle + 3);
  assert_true(highest <= joint_angle + 360 && highest > joint_angle + 360 - 3);
  job_motion_end(&made);
  free(text);
}

/* A travel of 450 deg in another place holds both ends of the run, but not its lowest angle. */
static void test_travel_between(void **state) {
  (void)state;
  char *text = ring_text("60 .. 510");
  struct job_motion made = job_motion_make(text);
  assert_null(made.motion);
  const char *told = strstr(made.told, "error[E0602]: a run of layer 1 turns the head by ");
  assert_non_null(told);
  double from, to, in_all;
  assert_int_equal(sscanf(told + strlen("error[E0602]: a run of layer 1 turns the head by "),
                          "%lf deg, from %lf to %lf deg", &in_all, &from, &to),
                   3);
  assert_close(from, 180 - joint_angle, 3, 0);
  assert_close(to, 360 + joint_angle, 3, 0);
  assert_close(in_all, to - from, 0.11, 0);
  job_motion_end(&made);
  free(text);
}

/* An endless head, every pattern, both directions. */
static void test_goes_round(void **state) {
  (void)state;
  static const char *const patterns[] = {"spiral", "stepped", "rings"};
  static const char *const directions[] = {"clockwise", "anticlockwise"};
  for (int i = 0; i < 6; i++) {
    char overlay[128];
    snprintf(overlay, sizeof overlay, "pattern %s; direction %s; layers 2", patterns[i % 3],
             directions[i / 3]);
    char *text = text_again(boss_text(), "pattern rings", overlay);
    struct job_motion made = job_motion_make(text);
    assert_string_equal(made.told, "");
    assert_non_null(made.motion);
    job_motion_end(&made);
    free(text);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_head_turns_back),
                                     cmocka_unit_test(test_travel_between),
                                     cmocka_unit_test(test_goes_round)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
