/* Every row once and in order, whatever the receiver does. */
#include "play/session.h"

#include <sys/resource.h>

/* -- places --------------------------------------------------------------------------------- */

static void play_to_file(struct session *session, const char *stream, const char *same_as) {
  struct gathered got;
  session->request.stream = stream;
  session->request.to = session->place;
  session_begin(session);
  session_end(session, PLAY_DONE);
  gather_file(&got, session->place);
  expect_whole(&got, same_as);
  assert_int_equal(unlink(session->place), 0);
}

static void test_file(void **state) {
  struct session *session = *state;
  session->request.times = 50;
  play_to_file(session, session->dry, session->dry);
  play_to_file(session, session->binary, session->dry);
  session->request.times = 1;
  session->request.weld = true;
  play_to_file(session, session->weld, session->weld);
}

/* Before anything moves; of an arc even where no other word is wanted. */
static void test_cautions(void **state) {
  struct session *session = *state;
  session->request.times = 50;
  play_to_file(session, session->dry, session->dry);
  assert_non_null(strstr(session->said, "robot and head move: keep out of their reach"));
  assert_null(strstr(session->said, "lights an arc:"));
  session->request.quiet = true;
  play_to_file(session, session->dry, session->dry);
  assert_null(strstr(session->said, "robot and head"));
  session->request.times = 1;
  session->request.weld = true;
  play_to_file(session, session->weld, session->weld);
  static const char *const words[] = {"lights an arc", "eyes and skin", "fume",
                                      "oxygen",        "looks cold",    "robot and head move",
                                      "local codes",   "licensed",      "qualified procedure"};
  for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
    assert_non_null(strstr(session->said, words[i]));
}

static void test_pipe(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.to = session->place;
  session->request.times = 20;
  assert_int_equal(mkfifo(session->place, 0600), 0);
  session_begin(session);
  session_expect(session, "waits for a reader of ");
  int fd = open(session->place, O_RDONLY | O_CLOEXEC);
  gather_all(&got, fd);
  close(fd);
  session_end(session, PLAY_DONE);
  expect_whole(&got, session->dry);
}

/* It is told which rows the pipe took; the reader has a beginning of them. */
static void test_pipe_reader_dies(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.to = session->place;
  assert_int_equal(mkfifo(session->place, 0600), 0);
  session_begin(session);
  int fd = open(session->place, O_RDONLY | O_CLOEXEC);
  while (gather_line(&got, fd) && gathered_row(&got) != 100)
    ;
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "stopped: the receiver has gone"));
  assert_non_null(strstr(session->said, "only the receiver can tell"));
  assert_int_equal(expect_rows_in_order(&got, 0), 101);
}

/* No row comes before its time, on the receiver's own clock. */
static void test_paced(void **state) {
  static const double TIMES[] = {1, 4};
  struct session *session = *state;
  for (size_t i = 0; i < sizeof TIMES / sizeof TIMES[0]; i++) {
    struct gathered got = {.length = 0};
    session->request.times = TIMES[i];
    session_begin(session);
    int fd = session_connect(session);
    while (gather_line(&got, fd)) {
      int row = gathered_row(&got);
      if (row >= 0)
        assert_true(clock_s() - session->joined_s >= row * 1e-6 * MADE_TICK_US / TIMES[i]);
    }
    close(fd);
    session_end(session, PLAY_DONE);
    expect_whole(&got, session->dry);
  }
}

/* -- slow receivers ------------------------------------------------------------------------- */

/* Without answers: the system's buffers fill, the play waits, nothing is lost. */
static void test_slow_receiver(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.times = 100;
  session_begin(session);
  int fd = session_connect(session);
  for (int lines = 0; gather_line(&got, fd); lines++)
    if (lines % 40 == 0)
      sleep_s(0.1);
  close(fd);
  session_end(session, PLAY_DONE);
  expect_whole(&got, session->dry);
}

/* A receiver that stands still with the arc out is waited for, longer than the slack. */
static void test_stands_with_the_arc_out(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.stream = session->weld;
  session->request.weld = true;
  session->request.slack_s = 1;
  session_begin(session);
  int fd = session_connect(session);
  gather_answering(&got, fd, 20);
  sleep_s(1.2);
  gather_answering(&got, fd, MADE_LAST);
  gather_all(&got, fd); /* the end line */
  close(fd);
  session_end(session, PLAY_DONE);
  expect_whole(&got, session->weld);
}

/* The same with the arc on ends the stream: the receiver is told, and so is the one who runs it. */
static void test_stands_with_the_arc_on(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.stream = session->weld;
  session->request.weld = true;
  session->request.slack_s = 0.5;
  session_begin(session);
  int fd = session_connect(session);
  gather_answering(&got, fd, 72);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "too slow while the arc was on"));
  assert_non_null(strstr(session->said, "the last row acknowledged is 72, t 0.072000 s: upslope, "
                                        "overlay bore_wall, layer 1, lap 1, arc on\n"));
  assert_non_null(strstr(session->said, "row 73 was under way"));
  assert_non_null(strstr(session->said, "wire out, arc out, motion stops, gas for the postflow"));
  assert_non_null(strstr(session->said, "locate "));
  assert_non_null(strstr(session->said, "--row 72`"));
  gather_all(&got, fd);
  close(fd);
  assert_int_equal(expect_rows_in_order(&got, 0), 74);
  assert_non_null(strstr(got.bytes, "\n# stop row 73 arc 1\n"));
}

/* -- receivers that die --------------------------------------------------------------------- */

/* A process of its own: keeps each row in a file before it answers, and is killed behind `last`. */
static void run_and_be_killed(struct session *session, int fd, int last, bool answers_last) {
  struct gathered got = {.length = 0};
  int keep = open(session->place, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
  while (gather_line(&got, fd)) {
    int row = gathered_row(&got);
    size_t length = got.length - got.line;
    if (write(keep, got.bytes + got.line, length) != (ssize_t)length)
      _exit(1);
    if (row >= 0 && (row != last || answers_last))
      answer_row(fd, row);
    if (row == last)
      kill(getpid(), SIGKILL);
  }
  _exit(2);
}

static void play_to_the_killed(struct session *session, int last, bool answers_last) {
  int status;
  session_begin(session);
  int fd = session_connect(session);
  pid_t child = fork();
  if (child == 0)
    run_and_be_killed(session, fd, last, answers_last);
  close(fd);
  assert_int_equal(waitpid(child, &status, 0), child);
  assert_true(WIFSIGNALED(status) && WTERMSIG(status) == SIGKILL);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "stopped: the receiver has gone"));
}

/* Both receivers together have every byte of the stream, once. */
static void test_goes_on_behind_a_dead_receiver(void **state) {
  static const int LAST[] = {5, 35, 228, 245, 255, 398};
  struct session *session = *state;
  session->request.stream = session->weld;
  session->request.weld = true;
  for (size_t i = 0; i < sizeof LAST / sizeof LAST[0]; i++) {
    struct gathered got, rest = {.length = 0};
    char text[80];
    session->request.has_after = false;
    play_to_the_killed(session, LAST[i], true);
    snprintf(text, sizeof text, "the last row acknowledged is %d,", LAST[i]);
    assert_non_null(strstr(session->said, text));
    snprintf(text, sizeof text, "to go on: --after-row %d", LAST[i]);
    assert_non_null(strstr(session->said, text));
    session->request.has_after = true;
    session->request.after_row = (uint64_t)LAST[i];
    session_begin(session);
    int fd = session_connect(session);
    gather_answering(&rest, fd, MADE_LAST);
    gather_all(&rest, fd);
    close(fd);
    session_end(session, PLAY_DONE);
    gather_file(&got, session->place);
    memcpy(got.bytes + got.length, rest.bytes, rest.length + 1);
    got.length += rest.length;
    expect_whole(&got, session->weld);
    assert_int_equal(unlink(session->place), 0);
  }
}

/* At most one row is in doubt. */
static void test_dies_before_it_answers(void **state) {
  struct session *session = *state;
  session->request.acknowledged = true;
  play_to_the_killed(session, 100, false);
  assert_non_null(strstr(session->said, "the last row acknowledged is 99,"));
  assert_non_null(strstr(session->said, "row 100 was under way: whether it came through is not"));
  assert_non_null(strstr(session->said, "--after-row 99, or 100 if the receiver has it\n"));
  assert_int_equal(unlink(session->place), 0);
}

static void test_dies_with_the_arc_on(void **state) {
  struct session *session = *state;
  session->request.stream = session->weld;
  session->request.weld = true;
  play_to_the_killed(session, 120, true);
  assert_non_null(strstr(session->said, "the last row acknowledged is 120,"));
  assert_non_null(strstr(session->said, "wire out, arc out"));
  assert_null(strstr(session->said, "--after-row"));
  assert_int_equal(unlink(session->place), 0);
}

/* The row that lights the arc may have come through: it counts as lit. */
static void test_dies_as_the_arc_is_lit(void **state) {
  struct session *session = *state;
  session->request.stream = session->weld;
  session->request.weld = true;
  play_to_the_killed(session, MADE_ARC, false);
  assert_non_null(strstr(session->said, "the last row acknowledged is 69,"));
  assert_non_null(strstr(session->said, "wire out, arc out"));
}

static void test_wrong_answers(void **state) {
  static const char *const ANSWERS[] = {
      "8\n", "07\n", "7 \n", "6\n", "seven\n", "7777777777777777777777777777777777777777"};
  struct session *session = *state;
  session->request.acknowledged = true;
  session->request.times = 20;
  for (size_t i = 0; i < sizeof ANSWERS / sizeof ANSWERS[0]; i++) {
    struct gathered got = {.length = 0};
    session_begin(session);
    int fd = session_connect(session);
    gather_answering(&got, fd, 6);
    assert_true(write(fd, ANSWERS[i], strlen(ANSWERS[i])) > 0);
    gather_all(&got, fd);
    close(fd);
    session_end(session, PLAY_ENDED_EARLY);
    assert_non_null(strstr(session->said, "answered with another row"));
  }
}

/* Closing before the end line is going away, even behind the last row. */
static void test_goes_before_the_end(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.acknowledged = true;
  session->request.times = 20;
  session_begin(session);
  int fd = session_connect(session);
  gather_answering(&got, fd, 200);
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "the last row acknowledged is 200,"));
}

/* One that answered every row is not waited for; another is, and a word ends that. */
static void test_receiver_that_never_closes(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0}, again = {.length = 0};
  session->request.times = 20;
  session->request.acknowledged = true;
  session_begin(session);
  int fd = session_connect(session);
  gather_answering(&got, fd, MADE_LAST);
  session_end(session, PLAY_DONE);
  gather_all(&got, fd);
  close(fd);
  expect_whole(&got, session->dry);
  session->request.acknowledged = false;
  session_begin(session);
  fd = session_connect(session);
  gather_all(&again, fd);
  session_expect(session, "all rows are sent; waits until the receiver closes");
  session_say(session, "stop\n");
  session_end(session, PLAY_ENDED_EARLY);
  close(fd);
  expect_whole(&again, session->dry);
}

/* Without answers: everything is sent, and the last rows lie unread as the receiver dies. */
static void test_dies_behind_the_last_row(void **state) {
  struct session *session = *state;
  struct gathered got = {.length = 0};
  session->request.times = 20;
  session_begin(session);
  int fd = session_connect(session);
  while (gather_line(&got, fd) && gathered_row(&got) != MADE_LAST - 4)
    ;
  sleep_s(0.3);
  close(fd);
  session_end(session, PLAY_ENDED_EARLY);
  assert_non_null(strstr(session->said, "stopped: the receiver has gone"));
  assert_non_null(strstr(session->said, "only the receiver can tell"));
}

/* -- a disk that is full -------------------------------------------------------------------- */

static void test_full_disk(void **state) {
  struct session *session = *state;
  struct rlimit before, limit;
  session->request.to = session->place;
  session->request.times = 100;
  assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
  limit = (struct rlimit){8000, before.rlim_max};
  signal(SIGXFSZ, SIG_IGN);
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &limit), 0);
  session_begin(session);
  assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
  session_end(session, PLAY_FILE_FAILED);
  assert_non_null(strstr(session->said, "the place could not be written"));
  assert_non_null(strstr(session->said, "place: File too large"));
  struct gathered got;
  gather_file(&got, session->place);
  assert_int_equal(got.length, 8000);
}

int main(void) {
#define TEST(name) cmocka_unit_test_setup_teardown(name, session_setup, session_teardown)
  const struct CMUnitTest tests[] = {
      TEST(test_file),
      TEST(test_cautions),
      TEST(test_pipe),
      TEST(test_pipe_reader_dies),
      TEST(test_paced),
      TEST(test_slow_receiver),
      TEST(test_stands_with_the_arc_out),
      TEST(test_stands_with_the_arc_on),
      TEST(test_goes_on_behind_a_dead_receiver),
      TEST(test_dies_before_it_answers),
      TEST(test_dies_with_the_arc_on),
      TEST(test_dies_as_the_arc_is_lit),
      TEST(test_wrong_answers),
      TEST(test_goes_before_the_end),
      TEST(test_receiver_that_never_closes),
      TEST(test_dies_behind_the_last_row),
      TEST(test_full_disk),
  };
  return cmocka_run_group_tests_name("play receivers", tests, NULL, NULL);
}
