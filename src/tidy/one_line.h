/* one_line.h - statements written on one line. */
#ifndef TIDY_ONE_LINE_H
#define TIDY_ONE_LINE_H

#include "tidy/lines.h"
#include "tidy/words.h"

struct one_line {
  const struct words *words;
  struct text *to;
  size_t width; /* so far, in code points */
  size_t most;  /* when it is passed, the rest is left out */
};

void one_line_put(struct one_line *line, const char *bytes, size_t length);
/* A word, with the blank before it where one belongs. */
void one_line_word(struct one_line *line, const struct statement *statement, size_t index);
/* The words of a statement up to `end`, which is left out. */
void one_line_words(struct one_line *line, const struct statement *statement, size_t end);
/* Statements from the one that begins at `first` up to the word `end`, `; ` between them. */
void one_line_statements(struct one_line *line, size_t first, size_t end);
bool one_line_fits(const struct one_line *line);

#endif
