/* The order of moves, and where they go (docs/semantics.md, "Motion", Order). */
#include "support/job_text.h"

/* A round bore of 160 mm with one ring of 8 mm, so that moves can be counted. */
static char *bore_text(void) {
  char *text = text_with("rectangle { length 160 mm; width 120 mm; corner 12 mm }",
                         "round { diameter 160 mm }");
  text = text_again(text, "start_along 30 mm; stagger 70 mm;", "start_angle 90 deg;");
  return text_again(text, "depths 20 .. 40 mm", "depths 20 .. 28 mm");
}

static struct pose pose_begin(const struct motion *motion, size_t phase) {
  struct piece_iter iter;
  struct piece piece;
  piece_iter_begin(&iter, motion, &motion->phases[phase]);
  assert_true(piece_iter_next(&iter, &piece));
  struct pose pose = piece_at(&piece, piece.t0);
  piece_iter_release(&iter);
  return pose;
}

static struct pose pose_end(const struct motion *motion, size_t phase) {
  struct piece_iter iter;
  struct piece piece;
  struct pose pose = {0, 0, 0, 0};
  piece_iter_begin(&iter, motion, &motion->phases[phase]);
  while (piece_iter_next(&iter, &piece))
    pose = piece_at(&piece, piece.t1);
  piece_iter_release(&iter);
  return pose;
}

static size_t move_count(const struct motion *motion, enum move_kind move) {
  size_t count = 0;
  for (size_t i = 0; i < motion->phase_count; i++)
    count += motion->phases[i].kind == PHASE_MOVE && motion->phases[i].move == move;
  return count;
}

static size_t move_find(const struct motion *motion, enum move_kind move) {
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_MOVE && motion->phases[i].move == move)
      return i;
  fail_msg("no such move");
  return 0;
}

static struct job_motion motion_of(char *text) {
  struct job_motion made = job_motion_make(text);
  free(text);
  assert_string_equal(made.told, "");
  assert_non_null(made.motion);
  assert_true(made.motion->bare && made.motion->solid && made.motion->electrode); /* for checks */
  return made;
}

static void assert_order(const struct motion *motion, const char *const *wanted, size_t count) {
  static const char *const MOVES[] = {[MOVE_NONE] = "?",        [MOVE_RAISE] = "raise",
                                      [MOVE_ACROSS] = "across", [MOVE_DOWN] = "down",
                                      [MOVE_TURN] = "turn",     [MOVE_TO_START] = "to start",
                                      [MOVE_IN] = "in",         [MOVE_BACK_OFF] = "back off",
                                      [MOVE_ALONG] = "along",   [MOVE_TO_ENTRY] = "entry",
                                      [MOVE_UP] = "up",         [MOVE_TO_PARK] = "park",
                                      [MOVE_CROSS] = "cross"};
  for (size_t i = 0; i < motion->phase_count && i < count; i++) {
    const struct phase *phase = &motion->phases[i];
    assert_string_equal(phase->kind == PHASE_MOVE ? MOVES[phase->move] : phase_name(phase->kind),
                        wanted[i]);
  }
  assert_int_equal(motion->phase_count, count);
}

/* Datum face at z = 0, so the tip's safe height is z = 60 and H's is 400. */
static void test_one_ring(void **state) {
  (void)state;
  static const char *const WANTED[] = {"across",  "down", "to start",  "in",       "preflow",
                                       "upslope", "weld", "downslope", "postflow", "back off",
                                       "entry",   "up",   "park"};
  struct job_motion made = motion_of(bore_text());
  const struct motion *motion = made.motion;
  assert_order(motion, WANTED, sizeof WANTED / sizeof WANTED[0]);
  struct pose over = pose_end(motion, 0), low = pose_end(motion, 1), start = pose_end(motion, 2);
  assert_close(over.x, 0, 1e-9, 0);
  assert_close(over.z, 400, 1e-9, 0);
  assert_close(over.head, NUM_PI / 2, 1e-9, 0); /* the start's own angle */
  assert_close(low.z, 340 - 24, 1e-9, 0);       /* one lap lies in the middle of the band */
  assert_close(start.y, 80 - 3 - 5 - 40, 1e-9, 0);
  assert_close(pose_end(motion, 3).y, 80 - 3 - 40, 1e-9, 0);
  /* After a turn to the left the head ends at park_head plus the nearest whole turn. */
  assert_close(motion->head_end, NUM_TURN, 1e-12, 0);
  assert_close(pose_end(motion, motion->phase_count - 1).head, NUM_TURN, 1e-9, 0);
  /* Every phase begins where the one before ended. */
  for (size_t i = 1; i < motion->phase_count; i++) {
    struct pose a = pose_end(motion, i - 1), b = pose_begin(motion, i);
    assert_close(fabs(a.x - b.x) + fabs(a.y - b.y) + fabs(a.z - b.z), 0, 1e-8, 0);
    assert_close(a.head, b.head, 1e-9, 0);
  }
  job_motion_end(&made);
}

static void test_low_park(void **state) {
  (void)state;
  struct job_motion made =
      motion_of(text_again(bore_text(), "park (0, 0, 700)", "park (300, 0, 350)"));
  const struct motion *motion = made.motion;
  struct pose raised = pose_end(motion, move_find(motion, MOVE_RAISE));
  assert_int_equal(move_find(motion, MOVE_RAISE), 0);
  assert_close(raised.x, 300, 1e-9, 0);
  assert_close(raised.z, 400, 1e-9, 0);
  /* And back the same way: across at safe height, then down. */
  struct pose above = pose_begin(motion, motion->phase_count - 1);
  struct pose end = pose_end(motion, motion->phase_count - 1);
  assert_close(above.x, 300, 1e-9, 0);
  assert_close(above.z, 400, 1e-9, 0);
  assert_close(end.z, 350, 1e-9, 0);
  job_motion_end(&made);
}

/* A bore of 80 mm is narrower than twice the reach: H goes down beside the centre, so that the tip
 * keeps arc length and retract from the wall: 40 - 8 = 32 = reach - 8. */
static void test_narrow_entry(void **state) {
  (void)state;
  struct job_motion made = motion_of(text_again(bore_text(), "diameter 160 mm", "diameter 80 mm"));
  const struct motion *motion = made.motion;
  struct pose over = pose_end(motion, move_find(motion, MOVE_ACROSS));
  assert_close(over.x, 0, 1e-6, 0);
  assert_close(over.y, -8, 1e-6, 0);
  /* On the wall the head lies on the other side of the centre. */
  assert_close(pose_end(motion, move_find(motion, MOVE_IN)).y, 40 - 3 - 40, 1e-9, 0);
  /* Going out, the clad stands there too. */
  struct pose out = pose_end(motion, move_find(motion, MOVE_TO_ENTRY));
  double thickness = motion->plan->overlays[0].layers[0].thickness;
  assert_close(num_hypot(out.x, out.y), 8 + thickness, 1e-6, 0);
  job_motion_end(&made);
}

/* With an entry angle the head turns on the way to the start where that is clear, and first at the
 * entry where the torch would sweep through a wall. */
static void test_turning_first(void **state) {
  (void)state;
  struct job_motion wide =
      motion_of(text_again(bore_text(), "retract 5", "entry_angle 0 deg; retract 5"));
  assert_int_equal(move_count(wide.motion, MOVE_TURN), 0);
  assert_close(pose_end(wide.motion, move_find(wide.motion, MOVE_ACROSS)).head, 0, 1e-12, 0);
  job_motion_end(&wide);
  /* Low on the right wall of a pocket: on the straight way there from an entry 55 mm above the
   * floor wall the torch, turning from left by below to right, would strike that wall; at the entry
   * it has room to turn. */
  char *text = text_with("length 160 mm; width 120 mm", "length 300 mm; width 200 mm");
  text = text_again(text, "start_along 30 mm; stagger 70 mm;",
                    "start_along 160 mm; entry (0, -45) mm; entry_angle 190 deg;");
  struct job_motion made = motion_of(text);
  const struct motion *motion = made.motion;
  size_t turn = move_find(motion, MOVE_TURN);
  struct pose entry = pose_end(motion, turn - 1), turned = pose_end(motion, turn);
  assert_int_equal(motion->phases[turn - 1].move, MOVE_DOWN);
  assert_int_equal(motion->phases[turn + 1].move, MOVE_TO_START);
  assert_close(entry.head, -170 * NUM_PI / 180, 1e-9, 0);
  assert_close(turned.head, pose_end(motion, turn + 1).head, 1e-9, 0);
  assert_close(turned.z, entry.z, 1e-9, 0);
  job_motion_end(&made);
}

static const char second_overlay[] =
    "overlay again { wall pocket; depths 40 .. 48 mm; procedure p; pattern rings; overlap 45 % }\n"
    "job \"t\"";

static void test_between_overlays(void **state) {
  (void)state;
  /* Same wall, same entry: the head stays down there. */
  struct job_motion made = motion_of(text_again(bore_text(), "job \"t\"", second_overlay));
  assert_int_equal(move_count(made.motion, MOVE_UP), 1);
  assert_int_equal(move_count(made.motion, MOVE_ACROSS), 1);
  job_motion_end(&made);
  /* Another entry: up, across, down. */
  char *text = text_again(bore_text(), "job \"t\"", second_overlay);
  text = text_again(text, "pattern rings; overlap 45 % }",
                    "pattern rings; overlap 45 %; entry (5, 0) mm }");
  made = motion_of(text);
  assert_int_equal(move_count(made.motion, MOVE_UP), 2);
  assert_int_equal(move_count(made.motion, MOVE_ACROSS), 2);
  assert_close(pose_end(made.motion, move_find(made.motion, MOVE_UP)).z, 400, 1e-9, 0);
  job_motion_end(&made);
}

/* Rings on two layers: every further one is led to by a back-off, a wait, the way along, and in. */
static void test_between_runs(void **state) {
  (void)state;
  char *text =
      text_again(bore_text(), "start_angle 90 deg;",
                 "start_angle 90 deg; stagger 90 deg; layers 2; wait_laps 2 s; wait_layers 3 s;");
  text = text_again(text, "depths 20 .. 28 mm", "depths 20 .. 32 mm");
  struct job_motion made = motion_of(text);
  const struct motion *motion = made.motion;
  const struct plan_overlay *overlay = &motion->plan->overlays[0];
  size_t runs = overlay->layers[0].run_count + overlay->layers[1].run_count;
  assert_int_equal(runs, 4);
  assert_int_equal(move_count(motion, MOVE_ALONG), runs - 1);
  size_t waits = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind != PHASE_WAIT)
      continue;
    waits++;
    bool further_layer = phase->layer == 2 && phase->run == 0;
    assert_int_equal(phase->ticks, further_layer ? 375 : 250);
    /* Backed off by retract from the layer just laid, before any way along. */
    struct pose pose = pose_begin(motion, i);
    double offset = further_layer || phase->layer == 1 ? 0 : overlay->layers[1].offset;
    assert_close(num_hypot(pose.x, pose.y), 80 - offset - 3 - 5 - 40, 1e-6, 0);
    assert_int_equal(motion->phases[i - 1].move, MOVE_BACK_OFF);
  }
  assert_int_equal(waits, runs - 1);
  job_motion_end(&made);
  /* Without waits asked for, the controller may still hold: one tick. */
  text = text_again(bore_text(), "depths 20 .. 28 mm", "depths 20 .. 32 mm");
  made = motion_of(text);
  waits = 0;
  for (size_t i = 0; i < made.motion->phase_count; i++)
    if (made.motion->phases[i].kind == PHASE_WAIT) {
      waits++;
      assert_int_equal(made.motion->phases[i].ticks, 1);
    }
  assert_int_equal(waits, 1);
  job_motion_end(&made);
}

/* A head that turns 400 degrees each way: every ring is held, and what it turned is won back. */
static void test_limited_head(void **state) {
  (void)state;
  char *text = text_again(bore_text(), "travel endless", "travel -400 .. 400 deg");
  text = text_again(text, "depths 20 .. 28 mm", "depths 20 .. 50 mm");
  text = text_again(text, "start_angle 90 deg;", "start_angle 90 deg; stagger 50 deg;");
  struct job_motion made = motion_of(text);
  const struct motion *motion = made.motion;
  const double limit = 400 * NUM_PI / 180;
  size_t won_back = 0;
  for (size_t i = 0; i < motion->phase_count; i++) {
    struct pose from = pose_begin(motion, i), to = pose_end(motion, i);
    assert_true(fabs(from.head) <= limit && fabs(to.head) <= limit);
    if (motion->phases[i].move == MOVE_ALONG && fabs(to.head - from.head) > NUM_PI)
      won_back++;
  }
  assert_true(won_back > 0);
  assert_close(motion->head_end, 0, 1e-12, 0); /* a limited head ends at park_head itself */
  job_motion_end(&made);
}

/* -- zones ---------------------------------------------------------------------------------------
 */

static char *zone_text(const char *zone) {
  char block[200];
  snprintf(block, sizeof block, "retract 5 mm\n  zone z { %s }", zone);
  return text_again(bore_text(), "retract 5 mm", block);
}

/* A ring broken in two: across the zone on the tip's own locus, without a wait; out before it. */
static void test_zone_is_crossed(void **state) {
  (void)state;
  static const char *const wanted[] = {"across",   "down",    "to start",  "in",        "preflow",
                                       "upslope",  "weld",    "downslope", "postflow",  "cross",
                                       "preflow",  "upslope", "weld",      "downslope", "postflow",
                                       "back off", "entry",   "up",        "park"};
  struct job_motion made = motion_of(zone_text("arc off; angles 200 .. 240 deg; margin 2 mm"));
  const struct motion *motion = made.motion;
  assert_order(motion, wanted, sizeof wanted / sizeof *wanted);
  const double margin = 2.0 / 80, turn = NUM_PI / 180;
  struct pose out = pose_end(motion, 7), from = pose_begin(motion, 9), to = pose_end(motion, 9);
  assert_close(out.head, 200 * turn - margin, 1e-9, 0);
  assert_close(from.head, 200 * turn - margin, 1e-9, 0);
  assert_close(to.head, 240 * turn + margin, 1e-9, 0);
  assert_close(num_hypot(to.x, to.y), 80 - 3 - 40, 1e-9, 0);
  assert_int_equal(motion->phases[9].run, 1);
  assert_false(motion->phases[9].arc);
  struct run_info first = phase_run_info(motion, &motion->phases[6]);
  assert_false(first.run_down_in_weld);
  assert_close(first.total, 80 * (110 * turn - margin), 1e-9, 0);
  /* at full current up to the downslope's way: v (3 s - run-down/2) before the zone */
  assert_close(first.length, first.total - first.speed * (3 - first.run_down / 2), 1e-9, 0);
  job_motion_end(&made);
}

/* With downslope_travel off the torch stops at the zone's edge, and the downslope stands there. */
static void test_standing_downslope_at_a_zone(void **state) {
  (void)state;
  char *text = text_again(zone_text("arc off; angles 200 .. 240 deg"), "tie_in 8 mm",
                          "downslope_travel off; tie_in 8 mm");
  struct job_motion made = motion_of(text);
  struct run_info first = phase_run_info(made.motion, &made.motion->phases[6]);
  assert_true(first.run_down_in_weld);
  assert_close(first.length, 80 * 110 * NUM_PI / 180, 1e-9, 0);
  assert_close(pose_begin(made.motion, 7).head, 200 * NUM_PI / 180, 1e-9, 0);
  assert_close(pose_end(made.motion, 7).head, 200 * NUM_PI / 180, 1e-9, 0);
  job_motion_end(&made);
}

/* A zone behind the start: full current ends so early that the downslope is out before it. */
static void test_tie_in_before_a_zone(void **state) {
  (void)state;
  struct job_motion made = motion_of(zone_text("arc off; angles 98 .. 140 deg"));
  const struct motion *motion = made.motion;
  struct run_info last = phase_run_info(motion, &motion->phases[12]);
  const double turn = NUM_PI / 180;
  assert_close(last.total, 80 * (360 - 42) * turn, 1e-9, 0);
  assert_close(pose_end(motion, 14).head, (98 + 360) * turn, 1e-9, 0);
  assert_true(last.length < 80 * (360 - 50) * turn + 8);
  job_motion_end(&made);
}

/* Where the next start lies beyond the head's travel it backs off in the middle of the lap and goes
 * round the long way, without a wait. */
static void test_turns_won_back_at_a_zone(void **state) {
  (void)state;
  static const char *const wanted[] = {
      "across",    "down",      "to start", "in",       "preflow", "upslope", "weld",
      "downslope", "postflow",  "back off", "along",    "in",      "preflow", "upslope",
      "weld",      "downslope", "postflow", "back off", "entry",   "up",      "park"};
  char *text = text_again(zone_text("arc off; angles 200 .. 240 deg"), "travel endless",
                          "travel -130 .. 220 deg");
  struct job_motion made = motion_of(text);
  const struct motion *motion = made.motion;
  assert_order(motion, wanted, sizeof wanted / sizeof *wanted);
  const double turn = NUM_PI / 180;
  assert_close(pose_end(motion, 8).head, 200 * turn, 1e-9, 0);
  assert_close(pose_end(motion, 11).head, -120 * turn, 1e-9, 0);
  job_motion_end(&made);
}

/* With downslope_travel off the tie-in ends at rest and the downslope stands. */
static void test_standing_downslope(void **state) {
  (void)state;
  struct job_motion made =
      motion_of(text_again(bore_text(), "tie_in 8 mm", "downslope_travel off; tie_in 8 mm"));
  const struct motion *motion = made.motion;
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_DOWNSLOPE) {
      struct run_info info = phase_run_info(motion, &motion->phases[i]);
      struct pose a = pose_begin(motion, i), b = pose_end(motion, i);
      assert_true(info.run_down_in_weld);
      assert_close(a.head, b.head, 1e-12, 0);
      assert_close(info.total, NUM_PI * 160 + 8, 1e-9, 0);
      assert_true(info.speed <= 170.0 / 60 && info.speed > 0.995 * 170.0 / 60);
    }
  job_motion_end(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_one_ring),
                                     cmocka_unit_test(test_low_park),
                                     cmocka_unit_test(test_narrow_entry),
                                     cmocka_unit_test(test_turning_first),
                                     cmocka_unit_test(test_between_overlays),
                                     cmocka_unit_test(test_between_runs),
                                     cmocka_unit_test(test_limited_head),
                                     cmocka_unit_test(test_standing_downslope),
                                     cmocka_unit_test(test_zone_is_crossed),
                                     cmocka_unit_test(test_standing_downslope_at_a_zone),
                                     cmocka_unit_test(test_tie_in_before_a_zone),
                                     cmocka_unit_test(test_turns_won_back_at_a_zone)};
  return cmocka_run_group_tests_name("sequence", tests, NULL, NULL);
}
