/* words.h - what the one at the keyboard says: words on standard input, a line each. */
#ifndef PLAY_WORDS_H
#define PLAY_WORDS_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

enum word { WORD_NONE, WORD_HOLD, WORD_GO, WORD_STOP, WORD_UNKNOWN };

struct words {
  int signals; /* a descriptor that tells SIGINT and SIGTERM; -1: none */
  sigset_t before;
  bool ended;  /* standard input has ended */
  bool killed; /* a signal came */
  char text[128];
  size_t used;
  char unknown[32]; /* of the last WORD_UNKNOWN, cut off where it is long */
};

/* False: errno is set. */
bool words_open(struct words *words);
/* Standard input has something to read, or its end. */
void words_read(struct words *words);
/* The signals' descriptor has something to read. */
void words_read_signal(struct words *words);
/* The next word that was read, a signal being `stop`. */
enum word words_next(struct words *words);
void words_close(struct words *words);

#endif
