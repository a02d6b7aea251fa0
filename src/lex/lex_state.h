/* lex_state.h - shared by the files of this room. */
#ifndef LEX_LEX_STATE_H
#define LEX_LEX_STATE_H

#include "borelay/diag.h"
#include "borelay/token.h"
#include "lex/scanner.h"

/* Words recur, and mostly in the same order: one is looked for where the last one was followed when
 * it stood there before, then where those that hash alike were kept, the latest first. */
struct ends { /* a word's first and last eight bytes; of a shorter one all of them and zero */
  uint64_t first, last;
};
struct word {
  const char *text; /* NULL: none yet */
  struct ends ends;
  uint32_t length;   /* 0: none, or a faulty one */
  int kind;          /* NAME or a keyword */
  struct word *next; /* what stood behind it last, or NULL; its place may hold another now */
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
  bool is_unread;     /* not UTF-8 at all: passed over */
  struct word (*kept)[KEPT_THERE];
  size_t kept_places;  /* a power of two, by the length of the text */
  struct word *last;   /* the one that lexer_plain_word() found last */
  struct word before;  /* stands for it before the first */
  uint32_t last_begin; /* where */
};

static inline bool is_letter_or_digit(uint8_t c) {
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || (c >= '0' && c <= '9') || c == '_';
}

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
