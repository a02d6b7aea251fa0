/* Random cavities, entries and angles: what the moves take for clear, the checks find clear, and
 * every phase begins where the one before ended. */
#include "borelay/check.h"
#include "support/job_text.h"
#include "support/random.h"

enum { JOBS = 150 };

static char *shape_text(struct random *random) {
  static char text[200];
  double length = random_between(random, 90, 300), width = length * random_between(random, 0.4, 1);
  switch (random_whole(random, 0, 2)) {
  case 0:
    snprintf(text, sizeof text, "pocket round { diameter %.3f mm }", width + 20);
    break;
  case 1:
    snprintf(text, sizeof text,
             "pocket racetrack { length %.3f mm; width %.3f mm; turned %.3f deg }", length + 20,
             width + 10, random_between(random, -180, 180));
    break;
  default:
    snprintf(text, sizeof text,
             "pocket rectangle { length %.3f mm; width %.3f mm; corner %.3f mm; turned %.3f deg }",
             length, width, random_between(random, 12, 18), random_between(random, -180, 180));
  }
  return text;
}

/* Backed off by less than the layer's thickness nothing would be clear. */
static char *overlay_text(struct random *random) {
  static char text[300];
  int length = snprintf(text, sizeof text, "start_along %.3f mm; stagger %.3f mm; retract %.3f mm",
                        random_between(random, 0, 150), random_between(random, 0, 200),
                        random_between(random, 4.7, 10));
  if (random_between(random, 0, 1) < 0.6)
    length += snprintf(text + length, sizeof text - (size_t)length, "; entry_angle %.3f deg",
                       random_between(random, -180, 180));
  if (random_between(random, 0, 1) < 0.5)
    snprintf(text + length, sizeof text - (size_t)length, "; entry (%.3f, %.3f) mm",
             random_between(random, -30, 30), random_between(random, -30, 30));
  return text;
}

static char *random_job(struct random *random) {
  char *text = text_with("body lower { radius 10", "body lower { radius 6");
  text = text_again(text, "pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }",
                    shape_text(random));
  text = text_again(text, "start_along 30 mm; stagger 70 mm; retract 5 mm", overlay_text(random));
  return text_again(text, "travel_speed 170 mm/min", "travel_speed 100 mm/min");
}

static const struct phase *phase_at(const struct motion *motion, double t) {
  double tick = motion->plan->job->cell->tick;
  for (size_t i = 0; i < motion->phase_count; i++)
    if (t < (double)(motion->phases[i].tick0 + motion->phases[i].ticks) * tick)
      return &motion->phases[i];
  return &motion->phases[motion->phase_count - 1];
}

static bool is_routed(const struct phase *phase) {
  return phase->kind == PHASE_MOVE && (phase->move == MOVE_TURN || phase->move == MOVE_TO_START ||
                                       phase->move == MOVE_ALONG || phase->move == MOVE_TO_ENTRY);
}

static struct pose pose_of(const struct motion *motion, const struct phase *phase, bool end) {
  struct piece_iter iter;
  struct piece piece;
  struct pose pose = {0};
  piece_iter_begin(&iter, motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    pose = piece_at(&piece, end ? piece.t1 : piece.t0);
    if (!end)
      break;
  }
  piece_iter_release(&iter);
  return pose;
}

static void assert_joined(const struct motion *motion) {
  for (size_t i = 1; i < motion->phase_count; i++) {
    struct pose a = pose_of(motion, &motion->phases[i - 1], true);
    struct pose b = pose_of(motion, &motion->phases[i], false);
    assert_close(fabs(a.x - b.x) + fabs(a.y - b.y) + fabs(a.z - b.z), 0, 1e-7, 0);
    assert_close(a.head, b.head, 1e-8, 0);
  }
}

static void test_random_ways(void **state) {
  (void)state;
  size_t passed = 0, failed = 0, refused = 0, turns = 0, along = 0, blocked = 0;
  for (unsigned k = 0; k < JOBS; k++) {
    struct random random = {777000 + k};
    char *text = random_job(&random);
    struct job_motion made = job_motion_make(text);
    if (made.motion) {
      assert_joined(made.motion);
      for (size_t i = 0; i < made.motion->phase_count; i++) {
        const struct phase *phase = &made.motion->phases[i];
        turns += phase->kind == PHASE_MOVE && phase->move == MOVE_TURN;
        along += phase->kind == PHASE_MOVE && phase->move == MOVE_ALONG;
        blocked += phase->kind == PHASE_MOVE && phase->ways_tried > 0;
      }
      const struct verdict *verdict = check_motion(made.arena, made.motion);
      for (size_t i = 0; i < verdict->result_count; i++) {
        const struct check_result *result = &verdict->results[i];
        if (result->passed || !strstr(result->name, "clearance"))
          continue;
        const struct phase *phase = phase_at(made.motion, result->t);
        if (is_routed(phase) && phase->ways_tried == 0)
          fail_msg("seed %u: %s %g: %s\n%s", 777000 + k, result->name, result->worst,
                   result->detail, text);
      }
      if (verdict->passed)
        passed++;
      else
        failed++;
    } else {
      refused++;
    }
    job_motion_end(&made);
    free(text);
  }
  print_message("seeds from 777000: %zu passed, %zu failed, %zu refused; %zu turns, %zu along, %zu "
                "not clear\n",
                passed, failed, refused, turns, along, blocked);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_random_ways)};
  return cmocka_run_group_tests_name("random ways", tests, NULL, NULL);
}
