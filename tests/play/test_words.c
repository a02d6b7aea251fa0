/* Holding, going on, stopping; and what is refused before a row goes anywhere. */
#include "play/session.h"

/* A weld with answers; the receiver stands behind `row`, so that a word lands there. */
static int begin_and_receive(struct session *session, struct gathered *got, int row) {
  session->request.stream = session->weld;
  session->request.weld = true;
  session_begin(session);
  int fd = session_connect(session);
  got->length = 0;
  for (int at = -1; at != row && gather_line(got, fd);) {
    at = gathered_row(got);
    if (at >= 0 && at != row)
      answer_row(fd, at);
  }
  return fd;
}

static void finish(struct session *session, struct gathered *got, int fd) {
  gather_answering(got, fd, MADE_LAST);
  gather_all(got, fd);
  close(fd);
  session_end(session, PLAY_DONE);
  expect_whole(got, session->weld);
}

static void test_holds_in_a_touch(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, MADE_TOUCH + 5);
  session_say(session, "hold\n");
  session_expect(session, "hold: slower");
  answer_row(fd, MADE_TOUCH + 5);
  session_expect(session, "stands behind row 35, in touch");
  session_say(session, "go\n");
  session_expect(session, "goes on");
  finish(session, &got, fd);
}

/* In a move the hold waits for the touch: programme time may not stand before. */
static void test_holds_in_a_move(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, 10);
  session_say(session, "hold\n");
  session_expect(session, "hold: slower");
  sleep_s(0.1); /* more than would be made good */
  double start = clock_s();
  answer_row(fd, 10);
  gather_answering(&got, fd, MADE_TOUCH);
  /* 20 steps, of which each is longer than the one before */
  assert_true(clock_s() - start > 1.02 * 20 * 1e-6 * MADE_TICK_US);
  session_expect(session, "stands behind row 30, in touch");
  session_say(session, "go\n");
  finish(session, &got, fd);
}

static void test_hold_is_taken_back(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, 10);
  session_say(session, "hold\ngo\n");
  session_expect(session, "goes on");
  answer_row(fd, 10);
  finish(session, &got, fd);
  assert_null(strstr(session->said, "stands behind"));
}

/* No touch before the second lap: the hold ends the play before the arc is lit, and it goes on
 * behind the last row before the preflow. */
static void test_hold_before_the_arc(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, MADE_WAIT_OVER + 15);
  session_say(session, "hold\n");
  session_expect(session, "hold: slower");
  answer_row(fd, MADE_WAIT_OVER + 15);
  gather_answering(&got, fd, MADE_LAST);
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "the next row would have lit the arc"));
  assert_non_null(strstr(session->said, "the last row acknowledged is 279,"));
  assert_non_null(strstr(session->said, "to go on: --after-row 259\n"));
  assert_non_null(strstr(got.bytes, "\n# stop row 279 arc 0\n"));
}

static void test_hold_with_the_arc_on(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, MADE_ARC + 30);
  session_say(session, "hold\n");
  session_expect(session, "hold with the arc on is a stop");
  gather_all(&got, fd);
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(got.bytes, "\n# stop row 100 arc 1\n"));
  assert_non_null(strstr(session->said, "wire out, arc out"));
}

static void test_waits_until_released(void **state) {
  struct session *session = *state;
  struct gathered got;
  session->request.release = false;
  int fd = begin_and_receive(session, &got, 20);
  session_say(session, "go\n"); /* too early: no wait is released by it */
  session_expect(session, "nothing holds");
  answer_row(fd, 20);
  gather_answering(&got, fd, MADE_WAIT_OVER - 1);
  session_expect(session, "stands behind row 249, in wait");
  session_say(session, "go\n");
  gather_answering(&got, fd, MADE_SECOND_WAIT_OVER - 1); /* that was for one wait */
  session_expect(session, "stands behind row 384, in wait");
  session_say(session, "go\n");
  finish(session, &got, fd);
}

/* Released beforehand, within the wait: its least pause goes by and no more. */
static void test_released_within_the_wait(void **state) {
  struct session *session = *state;
  struct gathered got;
  session->request.release = false;
  int fd = begin_and_receive(session, &got, MADE_WAIT + 5);
  answer_row(fd, MADE_WAIT + 5);
  gather_answering(&got, fd, MADE_WAIT + 6);
  session_say(session, "go\n");
  session_expect(session, "goes on");
  gather_answering(&got, fd, MADE_SECOND_WAIT_OVER - 1);
  session_expect(session, "stands behind row 384, in wait");
  session_say(session, "go\n");
  finish(session, &got, fd);
  assert_null(strstr(session->said, "stands behind row 249"));
}

static void test_nobody_can_release(void **state) {
  struct session *session = *state;
  struct gathered got;
  session->request.release = false;
  int fd = begin_and_receive(session, &got, 20);
  session_shut_up(session);
  answer_row(fd, 20);
  gather_answering(&got, fd, MADE_LAST);
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "standard input has ended; --release goes on by itself"));
  assert_non_null(strstr(session->said, "to go on: --after-row 249\n"));
  assert_int_equal(expect_rows_in_order(&got, 0), MADE_WAIT_OVER);
}

static void test_stops(void **state) {
  struct session *session = *state;
  static const struct {
    int row;
    const char *stop, *said;
  } CASES[] = {
      {15, "\n# stop row 15 arc 0\n", "to go on: --after-row 14, or 15 if the receiver has it\n"},
      {MADE_PREFLOW + 9, "\n# stop row 59 arc 0\n", "to go on: --after-row 49\n"},
      {MADE_ARC, "\n# stop row 70 arc 1\n", "wire out, arc out"},
      {MADE_ARC + 50, "\n# stop row 120 arc 1\n", "--row 119`"},
      {MADE_POSTFLOW, "\n# stop row 210 arc 1\n", "--row 209`"}, /* in doubt: it counts as on */
      {MADE_POSTFLOW + 1, "\n# stop row 211 arc 0\n",
       "to go on: --after-row 210, or 211 if the receiver has it\n"}};
  for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
    struct gathered got;
    int fd = begin_and_receive(session, &got, CASES[i].row);
    session_say(session, "stop\n");
    gather_all(&got, fd);
    close(fd);
    session_end(session, PLAY_ENDED_EARLY);
    assert_non_null(strstr(got.bytes, CASES[i].stop));
    if (!strstr(session->said, CASES[i].said))
      print_error("%s\n", session->said);
    assert_non_null(strstr(session->said, CASES[i].said));
    assert_int_equal(expect_rows_in_order(&got, 0), CASES[i].row + 1);
  }
}

static void test_signals_stop(void **state) {
  static const int SIGNALS[] = {SIGINT, SIGTERM};
  struct session *session = *state;
  for (size_t i = 0; i < 2; i++) {
    struct gathered got;
    int fd = begin_and_receive(session, &got, 15);
    assert_int_equal(kill(session->pid, SIGNALS[i]), 0);
    gather_all(&got, fd);
    close(fd);
    session_end(session, PLAY_ENDED_EARLY);
    assert_non_null(strstr(got.bytes, "\n# stop row 15 arc 0\n"));
  }
}

static void test_stop_before_a_receiver_comes(void **state) {
  struct session *session = *state;
  session_begin(session);
  session_expect(session, "waits for a receiver");
  session_say(session, "stop\n");
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "no row is sent"));
}

static void test_unknown_words(void **state) {
  struct session *session = *state;
  struct gathered got;
  int fd = begin_and_receive(session, &got, 15);
  session_say(session, "halt\n\nhold on\r\n");
  session_expect(session, "`halt` is not a word here; hold, go and stop are");
  session_expect(session, "`hold on` is not a word here");
  for (int i = 0; i < 40; i++)
    session_say(session, "a line without an end ");
  session_say(session, "\nhold\ngo\n");
  session_expect(session, "goes on");
  answer_row(fd, 15);
  finish(session, &got, fd);
}

/* -- refusals ------------------------------------------------------------------------------- */

static void expect_refused(struct session *session, enum play_end end, const char *text) {
  session_begin(session);
  session_end(session, end);
  if (!strstr(session->said, text))
    print_error("wanted: %s\nsaid: %s\n", text, session->said);
  assert_non_null(strstr(session->said, text));
}

static void test_a_weld_must_be_meant(void **state) {
  struct session *session = *state;
  session->request.stream = session->weld;
  expect_refused(session, PLAY_ENDED_EARLY, "the stream's rows light an arc");
  session->request.weld = true;
  session->request.times = 2;
  expect_refused(session, PLAY_ENDED_EARLY, "--times is for rehearsals");
}

static void test_rows_to_go_on_behind(void **state) {
  static const struct {
    uint64_t row;
    const char *said;
  } CASES[] = {{MADE_ARC, "the arc is on there"},
               {MADE_POSTFLOW - 1, "the arc is on there"},
               {MADE_PREFLOW, "go on behind row 49, where the head stands already"},
               {MADE_ARC - 1, "go on behind row 49, where the head stands already"},
               {MADE_LAST, "no row follows it"},
               {MADE_ROWS, "no row follows it"}};
  struct session *session = *state;
  session->request.stream = session->weld;
  session->request.weld = session->request.has_after = true;
  for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
    session->request.after_row = CASES[i].row;
    expect_refused(session, PLAY_ENDED_EARLY, CASES[i].said);
  }
}

/* A rehearsal lights no arc: it may go on anywhere. */
static void test_a_rehearsal_goes_on_anywhere(void **state) {
  struct session *session = *state;
  struct gathered got;
  session->request.has_after = true;
  session->request.after_row = MADE_ARC + 10;
  session->request.times = 20;
  session->request.to = session->place;
  session_begin(session);
  session_end(session, PLAY_DONE);
  gather_file(&got, session->place);
  assert_int_equal(expect_rows_in_order(&got, MADE_ARC + 11), MADE_LAST - MADE_ARC - 10);
}

static void test_places_that_are_none(void **state) {
  struct session *session = *state;
  static const struct {
    const char *to, *said;
  } CASES[] = {{"tcp:", "neither tcp:PORT nor a named pipe nor a new file"},
               {"tcp:65536", "neither tcp:PORT nor a named pipe nor a new file"},
               {"tcp:80x", "neither tcp:PORT nor a named pipe nor a new file"},
               {"tcp:10.0.0.1:80", "neither tcp:PORT nor a named pipe nor a new file"},
               {"/dev/full", "neither tcp:PORT nor a named pipe nor a new file"},
               {"/tmp", "neither tcp:PORT nor a named pipe nor a new file"},
               {"/proc/nowhere", "cannot play to /proc/nowhere: No such file"}};
  for (size_t i = 0; i < sizeof CASES / sizeof CASES[0]; i++) {
    session->request.to = CASES[i].to;
    expect_refused(session, PLAY_FILE_FAILED, CASES[i].said);
  }
  session->request.to = session->weld; /* never over what is there */
  expect_refused(session, PLAY_FILE_FAILED, "File exists");
}

/* A damaged stream is found before its first row is played, and no file is made. */
static void test_damaged_stream(void **state) {
  struct session *session = *state;
  struct gathered got;
  gather_file(&got, session->dry);
  got.bytes[got.length - 3] ^= 1; /* in the checksum of the last line */
  FILE *file = fopen(session->dry, "w");
  assert_non_null(file);
  fwrite(got.bytes, 1, got.length, file);
  assert_int_equal(fclose(file), 0);
  session->request.to = session->place;
  expect_refused(session, PLAY_ENDED_EARLY, "error: ");
  assert_int_equal(access(session->place, F_OK), -1);
  session->request.stream = "/nowhere/at/all.csv";
  expect_refused(session, PLAY_FILE_FAILED, "cannot read /nowhere/at/all.csv");
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, session_setup, session_teardown)
  const struct CMUnitTest tests[] = {
      TEST(test_holds_in_a_touch),
      TEST(test_holds_in_a_move),
      TEST(test_hold_is_taken_back),
      TEST(test_hold_before_the_arc),
      TEST(test_hold_with_the_arc_on),
      TEST(test_waits_until_released),
      TEST(test_released_within_the_wait),
      TEST(test_nobody_can_release),
      TEST(test_stops),
      TEST(test_signals_stop),
      TEST(test_stop_before_a_receiver_comes),
      TEST(test_unknown_words),
      TEST(test_a_weld_must_be_meant),
      TEST(test_rows_to_go_on_behind),
      TEST(test_a_rehearsal_goes_on_anywhere),
      TEST(test_places_that_are_none),
      TEST(test_damaged_stream),
  };
  return cmocka_run_group_tests_name("play words", tests, NULL, NULL);
}
