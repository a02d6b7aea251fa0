/* By its place a name is one of a kind: behind `procedure` in an overlay, of a procedure; in a
 * value, of a param or let. */
#include "editor/names.h"

#include <string.h>

#include "job_parse.h"

bool key_of(const char *block, const char *key, struct key_info *info) {
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    *info = key_info_get(i);
    if (!info->opens && strcmp(info->block, block) == 0 && strcmp(info->key, key) == 0)
      return true;
  }
  return false;
}

bool key_takes(const char *block, const char *key, const char *word, struct key_info *info) {
  char listed[160], wanted[CURSOR_TEXT + 2];
  if (!key_of(block, key, info) || !info->words)
    return false;
  snprintf(listed, sizeof listed, " %s ", info->words);
  snprintf(wanted, sizeof wanted, " %s ", word);
  return strstr(listed, wanted) != NULL;
}

/* What the name in a block's head names: the block itself, what it is like, or a shape. */
static const char *kind_in_head(const struct cursor *cursor, size_t open) {
  char word[CURSOR_TEXT];
  const char *opened = cursor_block(cursor, cursor->block, cursor->first, open);
  bool follows =
      cursor->at == cursor->first + 1 || cursor_kind_is(cursor, cursor->at - 1, TOKEN_LIKE);
  cursor_word(cursor, cursor->first, word);
  for (size_t i = 0, count = key_info_count(); follows && i < count; i++) {
    struct key_info info = key_info_get(i);
    if (!info.opens || strcmp(info.key, word) != 0)
      continue;
    if (*info.block == '\0' && *cursor->block == '\0')
      return info.key;
    if (opened && strcmp(info.opens, opened) == 0 && info.refers)
      return info.refers;
  }
  return NULL;
}

/* "value" for params and lets; NULL: the place takes no name. */
static const char *kind_at(const struct cursor *cursor) {
  char first[CURSOR_TEXT];
  struct key_info info;
  size_t open;
  if (!cursor->block)
    return "value"; /* settings of a used file, and blocks that nobody knows */
  if (cursor_kind_is(cursor, cursor->first, TOKEN_USE))
    return "value";
  if (cursor_opens(cursor, cursor->first, &open) && cursor->at < open)
    return kind_in_head(cursor, open);
  cursor_word(cursor, cursor->first, first);
  if (key_of(cursor->block, first, &info) && info.refers)
    return info.refers;
  return "value";
}

void used_as(const struct cursor *cursor, char name[CURSOR_TEXT]) {
  name[0] = '\0';
  if (strcmp(cursor->block_word, "use") == 0 && cursor->open != SIZE_MAX && cursor->open >= 2 &&
      cursor_kind_is(cursor, cursor->open - 2, TOKEN_AS))
    cursor_word(cursor, cursor->open - 1, name);
}

/* The param that `NAME = VALUE` of a `use` sets is the used file's. */
static void full_name(const struct cursor *cursor, char name[2 * CURSOR_TEXT]) {
  char word[CURSOR_TEXT], used[CURSOR_TEXT] = "";
  cursor_word(cursor, cursor->at, word);
  if (cursor->at == cursor->first)
    used_as(cursor, used);
  snprintf(name, 2 * CURSOR_TEXT, "%s%s%s", used, *used ? "." : "", word);
}

bool meant_find(struct session *session, const struct document *document,
                const struct cursor *cursor, struct meant *meant) {
  uint32_t file;
  char name[2 * CURSOR_TEXT];
  const struct view *view = view_of(session, document, &file);
  const char *kind = kind_at(cursor);
  if (!view || !view->outcome.resolver || !kind)
    return false;
  full_name(cursor, name);
  meant->sources = view->sources;
  return name_info_find(view->outcome.resolver, file, kind, name, &meant->info);
}
