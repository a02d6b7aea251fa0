/* words.h - the words of a sound file, as its layout looks at them. */
#ifndef TIDY_WORDS_H
#define TIDY_WORDS_H

#include "borelay/source.h"
#include "borelay/token.h"

struct words {
  const struct source *source;
  const struct token *tokens; /* the last is YYEOF; no fault was told of them */
};

int word_kind(const struct words *words, size_t index);
/* What comes between statements: newlines and semicolons. */
bool word_separates(const struct words *words, size_t index);

/* The comment between a word and the one before it, from its `#`, without blanks at its end;
 * empty: none.  Comments stand before newlines and the end of the file only. */
span comment_before(const struct words *words, size_t index);
/* Where it begins on its line, from 0, with tabs spread. */
size_t comment_column(const struct words *words, span comment);

struct statement {
  size_t first, last; /* its words; last is the `}` of a block */
  size_t brace;       /* the `{` of a block (or of a use's settings), or 0 */
  bool is_empty;      /* a block with nothing in it, no comment either */
  bool is_spread;     /* the author put it on several lines, and it is not empty */
};

/* The statement that begins with the word. */
struct statement statement_at(const struct words *words, size_t first);
/* From index on, the first word that does not separate. */
size_t statement_next(const struct words *words, size_t index);

/* Does a blank stand before the word, which is not the first of its statement? */
bool word_has_blank(const struct words *words, const struct statement *statement, size_t index);

#endif
