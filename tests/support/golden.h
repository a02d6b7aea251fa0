/* golden.h - cases in a file: a source and the whole text that it must give.
 *
 *   ==== name of the case
 *   source
 *   ---- expect
 *   text
 *
 * With BLESS in the environment the file is written anew from what the program gives;
 * `git diff` then shows what changed. */
#ifndef TESTS_SUPPORT_GOLDEN_H
#define TESTS_SUPPORT_GOLDEN_H

#include "support/told.h"

enum { MOST_CASES = 200 };

struct golden {
  char *name, *source, *want;
  char *got; /* set by the test */
};

struct goldens {
  const char *path;
  char *text, *preface; /* preface: what stands before the first case */
  struct golden cases[MOST_CASES];
  size_t count;
};

static inline char *golden_file_text(const char *path) {
  FILE *from = fopen(path, "rb");
  if (!from) {
    perror(path);
    exit(1);
  }
  char *text = calloc(1, 1 << 20);
  size_t length = fread(text, 1, (1 << 20) - 1, from);
  text[length] = '\0';
  fclose(from);
  return text;
}

/* Cuts text at the line that begins with mark; returns the rest of that line. */
static inline char *golden_cut(char *text, const char *mark) {
  size_t length = strlen(mark);
  for (char *line = text; line; line = strchr(line, '\n') ? strchr(line, '\n') + 1 : NULL)
    if (strncmp(line, mark, length) == 0) {
      *line = '\0';
      return line + length;
    }
  return NULL;
}

static inline char *golden_after_line(char *text) {
  char *end = strchr(text, '\n');
  *end = '\0';
  return end + 1;
}

static inline struct goldens goldens_read(const char *path) {
  struct goldens goldens = {.path = path, .text = golden_file_text(path)};
  goldens.preface = goldens.text;
  char *next = golden_cut(goldens.text, "==== ");
  while (next && goldens.count < MOST_CASES) {
    struct golden *one = &goldens.cases[goldens.count++];
    one->name = next;
    one->source = golden_after_line(next);
    one->want = golden_cut(one->source, "---- expect\n");
    next = golden_cut(one->want, "==== ");
  }
  return goldens;
}

static inline void golden_compare(struct golden *one, char *got) {
  one->got = got;
  if (!getenv("BLESS"))
    assert_string_equal(got, one->want);
}

/* Runs test with each case as its state. */
static inline int goldens_run(struct goldens *goldens, CMUnitTestFunction test) {
  static struct CMUnitTest tests[MOST_CASES];
  for (size_t i = 0; i < goldens->count; i++)
    tests[i] = (struct CMUnitTest){goldens->cases[i].name, test, NULL, NULL, &goldens->cases[i]};
  /* The macro cmocka_run_group_tests() counts the whole array. */
  int failed = _cmocka_run_group_tests(goldens->path, tests, goldens->count, NULL, NULL);
  FILE *to = getenv("BLESS") ? fopen(goldens->path, "wb") : NULL;
  if (to)
    fputs(goldens->preface, to);
  for (size_t i = 0; i < goldens->count; i++) {
    const struct golden *one = &goldens->cases[i];
    if (to)
      fprintf(to, "==== %s\n%s---- expect\n%s", one->name, one->source,
              one->got ? one->got : one->want);
    free(one->got);
  }
  if (to)
    fclose(to);
  free(goldens->text);
  return failed;
}

#endif
