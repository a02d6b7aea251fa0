/* words.c - lines gather until they are whole; what is longer than any word is no word. */
#include "play/words.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/signalfd.h>
#include <unistd.h>

bool words_open(struct words *words) {
  sigset_t both;
  *words = (struct words){.signals = -1};
  sigemptyset(&both);
  sigaddset(&both, SIGINT);
  sigaddset(&both, SIGTERM);
  if (sigprocmask(SIG_BLOCK, &both, &words->before) != 0)
    return false;
  words->signals = signalfd(-1, &both, SFD_CLOEXEC | SFD_NONBLOCK);
  return words->signals >= 0;
}

void words_read(struct words *words) {
  if (words->used == sizeof words->text) /* one endless line */
    words->used = 0;
  ssize_t got = read(STDIN_FILENO, words->text + words->used, sizeof words->text - words->used);
  if (got > 0)
    words->used += (size_t)got;
  else if (got == 0 || (errno != EINTR && errno != EAGAIN))
    words->ended = true;
}

void words_read_signal(struct words *words) {
  struct signalfd_siginfo told;
  if (read(words->signals, &told, sizeof told) == (ssize_t)sizeof told)
    words->killed = true;
}

static enum word word_find(struct words *words, const char *text, size_t length) {
  static const struct {
    const char *text;
    enum word word;
  } WORDS[] = {{"hold", WORD_HOLD}, {"go", WORD_GO}, {"stop", WORD_STOP}, {"", WORD_NONE}};
  for (size_t i = 0; i < sizeof WORDS / sizeof WORDS[0]; i++)
    if (length == strlen(WORDS[i].text) && memcmp(text, WORDS[i].text, length) == 0)
      return WORDS[i].word;
  int shown = (int)(length < sizeof words->unknown ? length : sizeof words->unknown - 1);
  snprintf(words->unknown, sizeof words->unknown, "%.*s", shown, text);
  return WORD_UNKNOWN;
}

enum word words_next(struct words *words) {
  if (words->killed) {
    words->killed = false;
    return WORD_STOP;
  }
  enum word word = WORD_NONE;
  char *newline = NULL;
  while (word == WORD_NONE && (newline = memchr(words->text, '\n', words->used)) != NULL) {
    size_t length = (size_t)(newline - words->text);
    size_t end = length > 0 && words->text[length - 1] == '\r' ? length - 1 : length;
    word = word_find(words, words->text, end);
    words->used -= length + 1;
    memmove(words->text, newline + 1, words->used);
  }
  return word;
}

void words_close(struct words *words) {
  if (words->signals < 0)
    return;
  close(words->signals);
  words->signals = -1;
  sigprocmask(SIG_SETMASK, &words->before, NULL);
}
