/* play.h - a rehearsal controller: a stream fed to a receiver at its own pace.
 *
 * What goes over, how a receiver answers and what ends a play: docs/play.md. */
#ifndef BORELAY_PLAY_H
#define BORELAY_PLAY_H

#include <stdbool.h>
#include <stdint.h>

struct play_request {
  const char *stream; /* a file of either kind; it is read twice */
  const char *to;     /* "tcp:PORT" on loopback, a named pipe, or a file that is not there yet */
  double times;       /* > 0: programme seconds in a second */
  double slack_s;     /* how late a row may be while the arc burns */
  bool has_after;     /* go on behind after_row */
  uint64_t after_row;
  bool acknowledged; /* tcp: the receiver answers each row with its number */
  bool release;      /* no standing at waits */
  bool weld;         /* a stream whose rows light an arc may be played */
  bool quiet;        /* nothing on success, and no progress */
};

enum play_end {
  PLAY_DONE,        /* every row is with the receiver */
  PLAY_ENDED_EARLY, /* refused or stopped; told where and why */
  PLAY_FILE_FAILED  /* the stream could not be read, the place not opened or written */
};

/* Words come from standard input; messages and, on a terminal, the progress go to standard
 * error.  SIGINT and SIGTERM are taken as the word `stop` while rows are played. */
enum play_end play_stream(const struct play_request *request);

#endif
