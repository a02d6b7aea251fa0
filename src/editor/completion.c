/* What may stand at the cursor: keys and blocks where a statement begins; words, names, units
 * behind a key. */
#include <string.h>

#include "borelay/arena.h"
#include "editor/names.h"
#include "editor/session.h"
#include "job_parse.h"

/* Kinds of the protocol. */
enum {
  ITEM_FUNCTION = 3,
  ITEM_VARIABLE = 6,
  ITEM_PROPERTY = 10,
  ITEM_UNIT = 11,
  ITEM_KEYWORD = 14,
  ITEM_REFERENCE = 18,
  ITEM_WORD = 20,
  ITEM_BLOCK = 22
};

struct completion {
  struct session *session;
  const struct document *document;
  const struct cursor *cursor;
  size_t before; /* the last word in front of the one that is being written; `first` - 1: none */
  json_t *items;
};

static void offer(json_t *items, const char *label, int kind, const char *detail) {
  json_t *item = json_object();
  json_put(item, "label", json_text(label));
  json_put(item, "kind", json_integer(kind));
  if (detail && *detail)
    json_put(item, "detail", json_text(detail));
  json_append(items, item);
}

static void offer_words(json_t *items, const char *words, const char *detail) {
  for (const char *at = words; at && *at; at += *at == ' ') {
    char word[CURSOR_TEXT];
    size_t end = strcspn(at, " ");
    snprintf(word, sizeof word, "%.*s", (int)end, at);
    offer(items, word, ITEM_WORD, detail);
    at += end;
  }
}

/* -- where a statement begins ----------------------------------------------------------------- */

/* Another statement of the block has that first word already. */
static bool is_given(const struct cursor *cursor, const char *key) {
  size_t i = cursor->open == SIZE_MAX ? 0 : cursor->open + 1;
  for (; i < cursor->count; i = cursor_next_first(cursor, i)) {
    char word[CURSOR_TEXT];
    cursor_word(cursor, i, word);
    if (i != cursor->at && strcmp(word, key) == 0)
      return true;
  }
  return false;
}

static bool is_listed(const json_t *items, const char *label) {
  for (size_t i = 0; i < json_array_size(items); i++) {
    const json_t *listed = json_object_get(json_array_get(items, i), "label");
    if (strcmp(json_string_value(listed), label) == 0)
      return true;
  }
  return false;
}

static void offer_statements(const struct completion *completion) {
  const struct cursor *cursor = completion->cursor;
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (strcmp(info.block, cursor->block) == 0 && (info.recurs || !is_given(cursor, info.key)) &&
        !is_listed(completion->items, info.key))
      offer(completion->items, info.key, info.opens ? ITEM_BLOCK : ITEM_PROPERTY, info.help);
  }
  static const char *const RESERVED[] = {"use", "param", "let"};
  for (size_t i = 0; *cursor->block == '\0' && i < 3; i++)
    offer(completion->items, RESERVED[i], ITEM_KEYWORD, "");
}

/* -- behind the first word -------------------------------------------------------------------- */

static void offer_names(const struct completion *completion, const char *kind, int item) {
  uint32_t file;
  const struct view *view = view_of(completion->session, completion->document, &file);
  const char *name;
  for (size_t k = 0; view && view->outcome.resolver &&
                     (name = name_info_list(view->outcome.resolver, file, kind, k)) != NULL;
       k++)
    offer(completion->items, name, item, kind);
}

/* `use "..." as w { | }`: what may be set in the used file. */
static void offer_settings(const struct completion *completion) {
  uint32_t file;
  char used[CURSOR_TEXT];
  struct name_info info;
  const struct view *view = view_of(completion->session, completion->document, &file);
  struct resolver *resolver = view ? view->outcome.resolver : NULL;
  used_as(completion->cursor, used);
  size_t length = strlen(used), k = 0;
  for (const char *name; resolver && (name = name_info_list(resolver, file, "value", k)); k++) {
    bool is_inside = length > 0 ? strncmp(name, used, length) == 0 && name[length] == '.'
                                : strchr(name, '.') == NULL;
    if (is_inside && name_info_find(resolver, file, "value", name, &info) &&
        strcmp(info.kind, "param") == 0)
      offer(completion->items, name + (length > 0 ? length + 1 : 0), ITEM_VARIABLE, info.value);
  }
}

static void offer_units(const struct completion *completion, const struct key_info *info) {
  bool is_either = strcmp(info->dimension, "length or angle") == 0;
  for (size_t i = 0; i < unit_info_count(); i++) {
    struct unit_info unit = unit_info_get(i);
    if ((info->measures && strcmp(unit.measures, info->measures) == 0) ||
        (is_either && strcmp(unit.measures, "angle") == 0))
      offer(completion->items, unit.name, ITEM_UNIT, unit.words);
  }
}

/* Params, lets and functions, of which a value may be made. */
static void offer_values(const struct completion *completion) {
  offer_names(completion, "value", ITEM_VARIABLE);
  for (size_t i = 0; i < word_info_count(); i++)
    if (word_info_get(i).is_function)
      offer(completion->items, word_info_get(i).word, ITEM_FUNCTION, word_info_get(i).help);
}

static void offer_for_key(const struct completion *completion, const struct key_info *info) {
  if (cursor_kind_is(completion->cursor, completion->before, TOKEN_NUMBER)) {
    offer_units(completion, info);
    return;
  }
  offer_words(completion->items, info->words, info->help);
  if (info->refers)
    offer_names(completion, info->refers, ITEM_REFERENCE);
  else if (info->measures || strcmp(info->dimension, "whole number") == 0)
    offer_values(completion);
}

/* `axis |`, `shape bore |`, `free |`, `overlay b like |`. */
static void offer_for_head(const struct completion *completion, const char *word) {
  const struct cursor *cursor = completion->cursor;
  bool is_like = cursor_kind_is(cursor, completion->before, TOKEN_LIKE);
  size_t written = completion->before - cursor->first; /* words behind the first */
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (!info.opens || strcmp(info.block, cursor->block) != 0 || strcmp(info.key, word) != 0)
      continue;
    const char *variant = *info.block == '\0' ? strchr(info.opens, ' ') : NULL;
    if (variant && written == 1)
      offer(completion->items, variant + 1, ITEM_WORD, info.help);
    else if (written == 0)
      offer_words(completion->items, info.words, info.help);
    if (info.refers && written == 0)
      offer_names(completion, info.refers, ITEM_REFERENCE);
  }
  if (is_like && *cursor->block == '\0')
    offer_names(completion, word, ITEM_REFERENCE);
}

static void offer_all(struct completion *completion) {
  const struct cursor *cursor = completion->cursor;
  char word[CURSOR_TEXT];
  struct key_info info;
  cursor_word(cursor, cursor->first, word);
  if (strcmp(cursor->block_word, "use") == 0 && cursor->at == cursor->first)
    offer_settings(completion);
  else if (!cursor->block)
    offer_values(completion);
  else if (cursor->at == cursor->first)
    offer_statements(completion);
  else if (cursor_kind_is(cursor, cursor->first, TOKEN_PARAM) ||
           cursor_kind_is(cursor, cursor->first, TOKEN_LET))
    offer_values(completion);
  else if (key_of(cursor->block, word, &info))
    offer_for_key(completion, &info);
  else
    offer_for_head(completion, word);
}

json_t *completion_answer(struct session *session, const json_t *params) {
  const struct document *document = asked_document(session, params);
  size_t offset;
  if (!document || !asked_offset(session, params, document, &offset))
    return NULL;
  struct arena *arena = arena_new();
  struct cursor cursor = cursor_find(arena, document->text, document->length, offset);
  struct completion completion = {.session = session,
                                  .document = document,
                                  .cursor = &cursor,
                                  .before = cursor.at > 0 ? cursor.at - 1 : 0,
                                  .items = json_array()};
  if (!cursor_is_in_comment(&cursor, offset) &&
      !(cursor.is_on_word && cursor_kind_is(&cursor, cursor.at, TOKEN_STRING)))
    offer_all(&completion);
  arena_free(arena);
  return completion.items;
}
