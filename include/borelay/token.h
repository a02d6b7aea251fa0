/* token.h - the words of one source file, in order.
 *
 * The kinds are those of the grammar (job_parse.h, generated).  Newlines and
 * semicolons are tokens of their own here; which of them end a statement is
 * decided by the parser, which sees the brackets. */
#ifndef BORELAY_TOKEN_H
#define BORELAY_TOKEN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/source.h"

struct arena;
struct diag_list;
struct lexer;

struct token {
  span at;
  int16_t kind;       /* enum job_tokentype */
  bool is_incomplete; /* CLOSE_BRACE, set by the parser: statements of the block were left out */
  union {
    double number;    /* NUMBER: always finite */
    const char *text; /* NAME, keyword: in lower case; STRING: escapes resolved; UNIT: an entry of
                         the table, NULL after an unknown one was told */
  };
};

struct token_list {
  struct token *items; /* the last one is YYEOF, at the end of the file */
  size_t count;
};

/* Never fails: what cannot be read is told and becomes a BROKEN token. */
struct token_list tokens_read(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags);

/* The same as they are wanted.  Texts of tokens are in `arena`; what else the lexer needs, itself
 * too, is in `aside`, which may be the same. */
struct lexer *lexer_new(struct arena *arena, struct arena *aside, const struct source_set *sources,
                        uint32_t file, struct diag_list *diags);
/* Whether the file was found to be another encoding altogether, which was told: it gives no
 * tokens. */
bool lexer_is_unread(const struct lexer *lexer);
/* Room that the tokens of the whole file do not exceed. */
size_t lexer_room(const struct lexer *lexer);
/* Writes the next tokens up to a NEWLINE, SEMICOLON, brace or YYEOF, that one too, and returns how
 * many; behind YYEOF none. */
size_t lexer_read_on(struct lexer *lexer, struct token *tokens);

/* For who reads text past the tokens: where the next ones would be read from, and to go on from
 * elsewhere, which is the start of a word or blanks before one. */
const uint8_t *lexer_place(const struct lexer *lexer);
void lexer_pass(struct lexer *lexer, const uint8_t *to);
/* The name or keyword that stands there; tells of a name that has the wrong form. */
struct token lexer_word(struct lexer *lexer, uint32_t begin, uint32_t end);
/* The name or keyword at that place of the file's text where it is without capitals; kind 0: there
 * is none. */
struct token lexer_plain_word(struct lexer *lexer, const uint8_t *text);
/* Behind the number at the start of text, which ends in a NUL; NULL: there is none, or it has a
 * power of ten or more digits than are read here. */
const uint8_t *number_scan(const uint8_t *text, double *value);

/* Length of the longest unit at the start of text, which ends in a NUL, that no letter,
 * digit or `_` follows; 0 when there is none.  *unit is then the table's entry. */
size_t unit_fit(const char *text, const char **unit);
/* The same; where it ends.  NULL: there is none. */
const char *unit_scan(const uint8_t *text, const uint8_t **behind);
/* The words that unit_fit() knows, one by one; NULL behind the last. */
const char *unit_word(size_t index);
/* The unit meant by a misspelt one, or NULL. */
const char *unit_suggest(const char *word);

#endif
