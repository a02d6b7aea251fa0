/* receiver.h - the one who gets the rows: whoever connects on loopback, a named pipe, or a file.
 *
 * Nothing here waits; the caller polls the descriptors. */
#ifndef PLAY_RECEIVER_H
#define PLAY_RECEIVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum receiver_kind { RECEIVER_TCP, RECEIVER_PIPE, RECEIVER_FILE };

struct receiver {
  enum receiver_kind kind;
  const char *path; /* of a pipe or a file */
  uint16_t port;    /* the one that it listens on, also where 0 was asked for */
  int listener;     /* -1: none, or a receiver has come */
  int fd;           /* -1: none yet */
  int error;        /* errno of what failed */
  bool is_gone;     /* it has closed or died */
  char answer[32];  /* what it said and nobody has looked at */
  size_t answered;
};

enum answer { ANSWER_NONE, ANSWER_RIGHT, ANSWER_WRONG };

/* Opens the place; a file is there at once, the others once somebody has joined.  False: error is
 * set, or 0 where `to` is no place that rows may go to. */
bool receiver_open(struct receiver *receiver, const char *to);
/* True: somebody is there.  False with error 0: nobody yet. */
bool receiver_join(struct receiver *receiver);
/* How many bytes it took, 0 where it takes none now.  Sets is_gone or error. */
size_t receiver_send(struct receiver *receiver, const char *bytes, size_t length);
/* Takes in what it said.  Sets is_gone. */
void receiver_hear(struct receiver *receiver);
enum answer receiver_answer(struct receiver *receiver, uint64_t row);
/* No more will be sent. */
void receiver_finish(struct receiver *receiver);
/* Whether all is surely out of the system's hands: read from the pipe, on the disk, or the
 * receiver closed after the end; where it answered every row it need not close. */
bool receiver_has_all(struct receiver *receiver, bool acknowledged);
void receiver_close(struct receiver *receiver);

#endif
