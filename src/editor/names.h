/* names.h - what a name at the cursor means, and what a key takes. */
#ifndef EDITOR_NAMES_H
#define EDITOR_NAMES_H

#include "borelay/resolve.h"
#include "editor/cursor.h"
#include "editor/session.h"

/* A declaration, and the sources in which it stands. */
struct meant {
  struct name_info info;
  const struct source_set *sources;
};

/* False: it names nothing, or no job that is open reads the document. */
bool meant_find(struct session *session, const struct document *document,
                const struct cursor *cursor, struct meant *meant);

/* The name under which the file of the `use ... as NAME {` around the cursor is reached; "": none.
 */
void used_as(const struct cursor *cursor, char name[CURSOR_TEXT]);

/* The key of a block; false: there is none. */
bool key_of(const char *block, const char *key, struct key_info *info);
/* The same where `word` is one of the words that it takes. */
bool key_takes(const char *block, const char *key, const char *word, struct key_info *info);

#endif
