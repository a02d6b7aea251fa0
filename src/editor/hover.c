/* What stands under the cursor: a key, a block, a unit and the like as `explain` tells it; a param,
 * a let or another name as it was declared, with its value. */
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/explain.h"
#include "editor/names.h"
#include "editor/session.h"
#include "job_parse.h"

/* Prints about a name of the job.  False: it means nothing. */
static bool tell_name(struct session *session, const struct document *document,
                      const struct cursor *cursor, FILE *to) {
  struct meant meant;
  if (!meant_find(session, document, cursor, &meant))
    return false;
  fprintf(to, "%s %s", meant.info.kind, meant.info.name);
  if (meant.info.value)
    fprintf(to, " = %s", meant.info.value);
  const struct source *source = source_get(meant.sources, meant.info.at.file);
  struct source_place place =
      source_place_get(meant.sources, meant.info.at.file, meant.info.at.begin);
  fprintf(to, "\n  in %s, line %lu\n", source->base_name, (unsigned long)place.line);
  return true;
}

static bool tell_first(const struct cursor *cursor, const char *word, FILE *to) {
  size_t open;
  if (cursor_opens(cursor, cursor->first, &open)) {
    const char *opened = cursor_block(cursor, cursor->block, cursor->first, open);
    return opened ? explain_block(opened, to) : explain_reserved(word, to);
  }
  return cursor->block && explain_key(cursor->block, word, to);
}

/* A word of the key's table. */
static bool tell_word(const struct cursor *cursor, const char *word, FILE *to) {
  char first[CURSOR_TEXT];
  struct key_info info;
  cursor_word(cursor, cursor->first, first);
  return cursor->block && key_takes(cursor->block, first, word, &info) &&
         explain_key(info.block, info.key, to);
}

/* The kind of a shape, or which axis; a function. */
static bool tell_other(const struct cursor *cursor, const char *word, FILE *to) {
  size_t open;
  if (!cursor_opens(cursor, cursor->first, &open))
    return cursor_kind_is(cursor, cursor->at + 1, TOKEN_OPEN_ROUND) && explain_reserved(word, to);
  const char *opened = cursor_block(cursor, cursor->block, cursor->first, open);
  const char *variant = opened ? strchr(opened, ' ') : NULL;
  return variant && strcmp(variant + 1, word) == 0 && explain_block(opened, to);
}

static bool tell(struct session *session, const struct document *document,
                 const struct cursor *cursor, FILE *to) {
  char word[CURSOR_TEXT];
  cursor_word(cursor, cursor->at, word);
  if (cursor_kind_is(cursor, cursor->at, TOKEN_UNIT))
    return explain_unit(word, to);
  if (cursor_kind_is(cursor, cursor->at, TOKEN_JOB))
    return explain_block("job", to);
  if (cursor_kind_is(cursor, cursor->at, TOKEN_NAME)) {
    bool is_setting = strcmp(cursor->block_word, "use") == 0;
    if (cursor->at == cursor->first && !is_setting)
      return tell_first(cursor, word, to);
    return tell_word(cursor, word, to) || tell_name(session, document, cursor, to) ||
           tell_other(cursor, word, to);
  }
  return explain_reserved(word, to);
}

json_t *hover_answer(struct session *session, const json_t *params) {
  const struct document *document = asked_document(session, params);
  size_t offset, length = 0;
  char *text = NULL;
  if (!document || !asked_offset(session, params, document, &offset))
    return NULL;
  struct arena *arena = arena_new();
  struct cursor cursor = cursor_find(arena, document->text, document->length, offset);
  json_t *result = json_null();
  FILE *to = open_memstream(&text, &length);
  bool is_told = to && cursor.is_on_word && tell(session, document, &cursor, to);
  if (to && fclose(to) == 0 && is_told) {
    struct lines lines = lines_find(document->text, document->length);
    span at = cursor.tokens[cursor.at].at;
    json_t *contents = json_object();
    json_put(contents, "kind", json_text("plaintext"));
    json_put(contents, "value", json_text(text));
    result = json_object();
    json_put(result, "contents", contents);
    json_put(result, "range", range_of_lines(&lines, at.begin, at.end, session->unit));
    lines_free(&lines);
  }
  free(text);
  arena_free(arena);
  return result;
}
