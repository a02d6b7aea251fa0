/* cursor.h - what stands at a place of a document: the word, its statement, the block around it.
 *
 * Found from the words of the file alone, so that it is there while a line is half written and
 * braces are not closed yet. */
#ifndef EDITOR_CURSOR_H
#define EDITOR_CURSOR_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/resolve.h"
#include "borelay/token.h"

enum { CURSOR_TEXT = 128 };

struct cursor {
  struct arena *arena;
  const char *text;
  const struct token *tokens; /* the last one is the end of the file */
  size_t count;
  size_t at;       /* the word that holds or touches the place; of a place between words the next */
  bool is_on_word; /* the place touches it */
  size_t first;    /* word of the statement */
  size_t open;     /* brace of the innermost block; SIZE_MAX: top level */
  const char *block; /* its name, as struct key_info has it; "" at the top level; NULL: unknown */
  const char *block_word; /* its first word: "use" of settings; "" at the top level */
};

/* at: the number of bytes before the place.  Nothing outlives the arena. */
struct cursor cursor_find(struct arena *arena, const char *text, size_t length, size_t at);

/* Is what stands there no code? */
bool cursor_is_in_comment(const struct cursor *cursor, size_t at);

/* A word as it is written, or what of it fits. */
void cursor_word(const struct cursor *cursor, size_t index, char word[CURSOR_TEXT]);
bool cursor_kind_is(const struct cursor *cursor, size_t index, int kind);
/* Does the statement that begins at `first` open a block?  *open: its brace. */
bool cursor_opens(const struct cursor *cursor, size_t first, size_t *open);
/* The name, as struct key_info has it, of the block that the head first .. open-1 opens in block
 * `outer`; NULL: there is no such. */
const char *cursor_block(const struct cursor *cursor, const char *outer, size_t first, size_t open);
/* First words of the statements right in the innermost block, one by one: the next behind `index`;
 * `count` behind the last.  Begin with `open` + 1, or 0 at the top level. */
size_t cursor_next_first(const struct cursor *cursor, size_t index);

#endif
