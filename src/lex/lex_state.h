/* lex_state.h - shared by the files of this room. */
#ifndef LEX_LEX_STATE_H
#define LEX_LEX_STATE_H

#include "borelay/diag.h"
#include "borelay/token.h"
#include "lex/scanner.h"

/* Words recur: most are found where those that hash alike were kept last, the latest first. */
struct ends { /* a word's first and last eight bytes; of a shorter one all of them and zero */
  uint64_t first, last;
};
struct word {
  const char *text; /* NULL: none yet */
  struct ends ends;
  uint32_t length;
  int kind; /* NAME or a keyword */
};
enum { MOST_KEPT_PLACES = 512, KEPT_THERE = 2 };

struct lexer {
  struct arena *arena;
  struct diag_list *diags;
  const struct source *source;
  uint32_t file;
  struct scanner scanner;
  struct token *next; /* where the next token goes */
  bool has_ended;     /* YYEOF was given */
  struct word (*kept)[KEPT_THERE];
  size_t kept_places; /* a power of two, by the length of the text */
};

/* Puts the next token; what its kind has besides is the caller's. */
struct token *token_put(struct lexer *lexer, int kind, uint32_t begin, uint32_t end);

/* number.c: the double nearest to a number of the language, whatever locale the process has;
 * infinite where it is too large. */
double number_read(struct arena *arena, const char *text, size_t length);

/* Text of the string that stands at `at` with its quotes (is_closed: with the closing one). */
const char *string_text(struct lexer *lexer, span at, bool is_closed);
/* Tells of a character that begins no word. */
void stray_tell(struct lexer *lexer, span at);

#endif
