/* lex_state.h - shared by the files of this room. */
#ifndef LEX_LEX_STATE_H
#define LEX_LEX_STATE_H

#include "borelay/diag.h"
#include "borelay/token.h"

struct lexer {
  struct arena *arena;
  struct diag_list *diags;
  const struct source *source;
  uint32_t file;
  struct token_list list;
  size_t room;
};

/* Text of the string that stands at `at` with its quotes (is_closed: with the closing one). */
const char *string_text(struct lexer *lexer, span at, bool is_closed);
/* Tells of a character that begins no word. */
void stray_tell(struct lexer *lexer, span at);

#endif
