/* session.h - a play in a process of its own, with its words and messages at hand, and receivers
 * for it.  An alarm ends a test that hangs. */
#ifndef TESTS_PLAY_SESSION_H
#define TESTS_PLAY_SESSION_H

#include "play/made_stream.h"

#include <arpa/inet.h>
#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <netinet/in.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "borelay/play.h"
#include "borelay_reader.h"

enum { PATIENCE_S = 60 };

struct session {
  char folder[256];
  char weld[300], dry[300], binary[300], whole[300], place[300]; /* paths */
  struct play_request request;
  pid_t pid;
  int words, messages; /* descriptors */
  char said[8192];     /* on standard error */
  size_t said_length;
  double joined_s; /* just before the receiver connected */
};

static inline double clock_s(void) {
  struct timespec now;
  clock_gettime(CLOCK_MONOTONIC, &now);
  return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static inline void sleep_s(double seconds) {
  struct timespec time = {(time_t)seconds, (long)((seconds - (double)(time_t)seconds) * 1e9)};
  nanosleep(&time, NULL);
}

static inline int session_setup(void **state) {
  struct session *session = calloc(1, sizeof *session);
  const char *base = getenv("TMPDIR");
  *state = session;
  snprintf(session->folder, 200, "%s/borelay-XXXXXX", base ? base : "/tmp");
  if (!mkdtemp(session->folder))
    return -1;
  snprintf(session->weld, 300, "%s/weld.csv", session->folder);
  snprintf(session->dry, 300, "%s/dry.csv", session->folder);
  snprintf(session->binary, 300, "%s/dry.spt", session->folder);
  snprintf(session->place, 300, "%s/place", session->folder);
  made_write(session->weld, "weld");
  made_write(session->dry, "rehearsal");
  made_write(session->binary, "rehearsal");
  session->request = (struct play_request){
      .stream = session->dry, .to = "tcp:0", .times = 1, .slack_s = 10, .release = true};
  session->pid = session->words = session->messages = -1;
  signal(SIGPIPE, SIG_IGN);
  alarm(PATIENCE_S);
  return 0;
}

static inline int session_teardown(void **state) {
  struct session *session = *state;
  alarm(0);
  if (session->pid > 0) {
    kill(session->pid, SIGKILL);
    waitpid(session->pid, NULL, 0);
  }
  close(session->words);
  close(session->messages);
  DIR *folder = opendir(session->folder);
  for (struct dirent *entry; folder && (entry = readdir(folder)) != NULL;) {
    char path[600];
    snprintf(path, sizeof path, "%s/%s", session->folder, entry->d_name);
    if (entry->d_name[0] != '.')
      unlink(path);
  }
  closedir(folder);
  int result = rmdir(session->folder);
  free(session);
  return result;
}

static inline void session_begin(struct session *session) {
  int words[2], messages[2];
  session->said_length = 0;
  session->said[0] = '\0';
  close(session->words);
  close(session->messages);
  assert_int_equal(pipe2(words, O_CLOEXEC), 0);
  assert_int_equal(pipe2(messages, O_CLOEXEC), 0);
  fflush(NULL);
  session->pid = fork();
  if (session->pid == 0) {
    alarm(PATIENCE_S);
    dup2(words[0], STDIN_FILENO);
    dup2(messages[1], STDERR_FILENO);
    close(words[1]);
    close(messages[0]);
    exit((int)play_stream(&session->request)); /* a leak is looked for on the way out */
  }
  assert_true(session->pid > 0);
  close(words[0]);
  close(messages[1]);
  session->words = words[1];
  session->messages = messages[0];
}

static inline bool session_listen(struct session *session) {
  size_t room = sizeof session->said - 1 - session->said_length;
  ssize_t got = read(session->messages, session->said + session->said_length, room);
  if (got <= 0)
    return false;
  session->said_length += (size_t)got;
  session->said[session->said_length] = '\0';
  return true;
}

static inline void session_expect(struct session *session, const char *text) {
  while (!strstr(session->said, text))
    if (!session_listen(session)) {
      print_error("wanted: %s\nsaid:\n%s", text, session->said);
      fail();
    }
}

static inline void session_say(struct session *session, const char *word) {
  assert_int_equal(write(session->words, word, strlen(word)), (ssize_t)strlen(word));
}

static inline void session_shut_up(struct session *session) {
  close(session->words);
  session->words = -1;
}

/* Waits for its end. */
static inline void session_end(struct session *session, enum play_end want) {
  int status = -1;
  while (session_listen(session))
    ;
  assert_int_equal(waitpid(session->pid, &status, 0), session->pid);
  session->pid = -1;
  if (!WIFEXITED(status) || WEXITSTATUS(status) != (int)want)
    print_error("said:\n%s", session->said);
  assert_true(WIFEXITED(status));
  assert_int_equal(WEXITSTATUS(status), want);
  assert_null(strstr(session->said, "Sanitizer")); /* its status may be the one wanted */
}

/* Connects to the port that the play told. */
static inline int session_connect(struct session *session) {
  static const char HEAD[] = "waits for a receiver at 127.0.0.1:";
  session_expect(session, HEAD);
  while (!strchr(strstr(session->said, HEAD), '\n'))
    assert_true(session_listen(session));
  struct sockaddr_in address = {.sin_family = AF_INET, .sin_addr.s_addr = htonl(INADDR_LOOPBACK)};
  address.sin_port = htons((uint16_t)strtoul(strstr(session->said, HEAD) + strlen(HEAD), NULL, 10));
  int fd = socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0);
  int size = 2048; /* little room: a slow receiver is soon felt */
  setsockopt(fd, SOL_SOCKET, SO_RCVBUF, &size, sizeof size);
  session->joined_s = clock_s();
  assert_int_equal(connect(fd, (struct sockaddr *)&address, sizeof address), 0);
  return fd;
}

/* -- receivers ------------------------------------------------------------------------------ */

struct gathered {
  char bytes[1 << 17];
  size_t length;
  size_t line; /* where the last line begins */
};

/* One more line; false: the end. */
static inline bool gather_line(struct gathered *gathered, int fd) {
  gathered->line = gathered->length;
  while (gathered->length < sizeof gathered->bytes - 1) {
    char *to = gathered->bytes + gathered->length;
    if (read(fd, to, 1) != 1)
      return false;
    gathered->length++;
    to[1] = '\0';
    if (*to == '\n')
      return true;
  }
  return false;
}

/* Number of the row on the last line, or -1. */
static inline int gathered_row(const struct gathered *gathered) {
  unsigned s, us;
  if (sscanf(gathered->bytes + gathered->line, "%u.%6u,", &s, &us) != 2)
    return -1;
  return (int)((s * 1000000 + us) / MADE_TICK_US);
}

static inline void answer_row(int fd, int row) {
  char text[20];
  int length = snprintf(text, sizeof text, "%d\n", row);
  assert_int_equal(write(fd, text, (size_t)length), length);
}

/* Answers every row, up to and with `last`. */
static inline void gather_answering(struct gathered *gathered, int fd, int last) {
  for (int row = -1; row != last && gather_line(gathered, fd);) {
    row = gathered_row(gathered);
    if (row >= 0)
      answer_row(fd, row);
  }
}

static inline void gather_all(struct gathered *gathered, int fd) {
  while (gather_line(gathered, fd))
    ;
}

static inline void gather_file(struct gathered *gathered, const char *path) {
  int fd = open(path, O_RDONLY | O_CLOEXEC);
  assert_true(fd >= 0);
  gathered->length = (size_t)read(fd, gathered->bytes, sizeof gathered->bytes - 1);
  gathered->bytes[gathered->length] = '\0';
  close(fd);
}

/* What came is the file at path, byte for byte, and the reader library takes it. */
static inline void expect_whole(const struct gathered *gathered, const char *path) {
  struct gathered want;
  struct borelay_reader reader;
  const uint8_t *bytes = (const uint8_t *)gathered->bytes;
  size_t length = gathered->length;
  enum borelay_event event;
  gather_file(&want, path);
  assert_int_equal(gathered->length, want.length);
  assert_memory_equal(gathered->bytes, want.bytes, want.length);
  borelay_reader_begin(&reader);
  do
    event = borelay_reader_next(&reader, &bytes, &length);
  while (event != BORELAY_END && event != BORELAY_ERROR && event != BORELAY_MORE);
  assert_int_equal(event, BORELAY_END);
  assert_int_equal(reader.row.index, MADE_LAST);
}

/* The rows from `first` on, each once, and nothing but them; returns how many. */
static inline int expect_rows_in_order(struct gathered *gathered, int first) {
  int count = 0;
  for (gathered->line = 0; gathered->line < gathered->length;) {
    int row = gathered_row(gathered);
    if (row >= 0)
      assert_int_equal(row, first + count++);
    gathered->line += strcspn(gathered->bytes + gathered->line, "\n") + 1;
  }
  return count;
}

#endif
