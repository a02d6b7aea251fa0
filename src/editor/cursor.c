/* The way of the words up to a place. */
#include "editor/cursor.h"

#include <stdint.h>
#include <stdio.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "job_parse.h"

enum { DEEPEST = 64 };

struct level {
  size_t open;
  const char *block, *word;
};

void cursor_word(const struct cursor *cursor, size_t index, char word[CURSOR_TEXT]) {
  span at = index < cursor->count ? cursor->tokens[index].at : (span){0};
  snprintf(word, CURSOR_TEXT, "%.*s", (int)(at.end - at.begin), cursor->text + at.begin);
}

bool cursor_kind_is(const struct cursor *cursor, size_t index, int kind) {
  return index < cursor->count && cursor->tokens[index].kind == kind;
}

static bool word_is(const struct cursor *cursor, size_t index, const char *wanted) {
  char word[CURSOR_TEXT];
  cursor_word(cursor, index, word);
  return strcmp(word, wanted) == 0;
}

static bool ends_statement(int kind) {
  return kind == TOKEN_NEWLINE || kind == TOKEN_SEMICOLON || kind == TOKEN_CLOSE_BRACE ||
         kind == TOKEN_YYEOF;
}

bool cursor_opens(const struct cursor *cursor, size_t first, size_t *open) {
  size_t i = first;
  while (i < cursor->count && cursor->tokens[i].kind != TOKEN_OPEN_BRACE &&
         !ends_statement(cursor->tokens[i].kind))
    i++;
  *open = i;
  return cursor_kind_is(cursor, i, TOKEN_OPEN_BRACE);
}

/* Is one of the words behind `first` among those between blanks? */
static bool names_one(const struct cursor *cursor, size_t first, size_t open, const char *words) {
  char name[CURSOR_TEXT], listed[CURSOR_TEXT + 2], wanted[CURSOR_TEXT + 2];
  if (first + 1 >= open)
    return false;
  cursor_word(cursor, first + 1, name);
  snprintf(listed, sizeof listed, " %s ", words);
  snprintf(wanted, sizeof wanted, " %s ", name);
  return strstr(listed, wanted) != NULL;
}

/* "shape round" is opened by `shape NAME round`. */
static bool suits(const struct cursor *cursor, const struct key_info *info, size_t first,
                  size_t open) {
  const char *blank = strchr(info->opens, ' ');
  if (info->words)
    return names_one(cursor, first, open, info->words);
  if (!blank || *info->block != '\0')
    return true;
  return first + 2 < open && word_is(cursor, first + 2, blank + 1);
}

const char *cursor_block(const struct cursor *cursor, const char *outer, size_t first,
                         size_t open) {
  char word[CURSOR_TEXT];
  if (!outer || first >= open)
    return NULL;
  cursor_word(cursor, first, word);
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (info.opens && strcmp(info.block, outer) == 0 && strcmp(info.key, word) == 0 &&
        suits(cursor, &info, first, open))
      return info.opens;
  }
  return NULL;
}

static struct level level_of(struct cursor *cursor, const struct level *outer, size_t open) {
  char word[CURSOR_TEXT];
  cursor_word(cursor, cursor->first, word);
  return (struct level){.open = open,
                        .block = cursor_block(cursor, outer->block, cursor->first, open),
                        .word = arena_text(cursor->arena, word, strlen(word))};
}

bool cursor_is_in_comment(const struct cursor *cursor, size_t at) {
  size_t begin = cursor->at > 0 ? cursor->tokens[cursor->at - 1].at.end : 0;
  return begin < at && memchr(cursor->text + begin, '#', at - begin) != NULL;
}

/* Blocks and statements up to the word `at`. */
static void follow(struct cursor *cursor) {
  struct level levels[DEEPEST] = {{.open = SIZE_MAX, .block = "", .word = ""}};
  size_t depth = 0;
  for (size_t i = 0; i < cursor->at; i++) {
    int kind = cursor->tokens[i].kind;
    if (kind == TOKEN_OPEN_BRACE && depth + 1 < DEEPEST) {
      levels[depth + 1] = level_of(cursor, &levels[depth], i);
      depth++;
    } else if (kind == TOKEN_CLOSE_BRACE && depth > 0) {
      depth--;
    }
    if (kind == TOKEN_OPEN_BRACE || ends_statement(kind))
      cursor->first = i + 1;
  }
  cursor->open = levels[depth].open;
  cursor->block = levels[depth].block;
  cursor->block_word = levels[depth].word;
}

static bool is_word(int kind) {
  return kind == TOKEN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_UNIT || kind == TOKEN_STRING ||
         (kind >= TOKEN_USE && kind <= TOKEN_RANGE);
}

struct cursor cursor_find(struct arena *arena, const char *text, size_t length, size_t at) {
  struct source_set *sources = source_set_new(arena);
  uint32_t file = source_add_text(sources, "text", text, length);
  struct cursor cursor = {.arena = arena, .text = text, .block = "", .block_word = ""};
  if (file == 0)
    return cursor;
  struct token_list list = tokens_read(arena, sources, file, diag_list_new(arena, sources));
  cursor.tokens = list.items;
  cursor.count = list.count;
  while (cursor.at + 1 < cursor.count && cursor.tokens[cursor.at].at.end < at)
    cursor.at++;
  /* of two words that meet at the place the second, unless it is a mark */
  size_t next = cursor.at + 1;
  if (next < cursor.count && cursor.tokens[cursor.at].at.end == at &&
      cursor.tokens[next].at.begin == at &&
      (is_word(cursor.tokens[next].kind) || !is_word(cursor.tokens[cursor.at].kind)))
    cursor.at = next;
  else if (cursor.tokens[cursor.at].at.end == at && !is_word(cursor.tokens[cursor.at].kind) &&
           next < cursor.count)
    cursor.at = next;
  cursor.is_on_word =
      cursor.tokens[cursor.at].at.begin <= at && is_word(cursor.tokens[cursor.at].kind);
  follow(&cursor);
  return cursor;
}

size_t cursor_next_first(const struct cursor *cursor, size_t index) {
  size_t depth = 0;
  for (; index < cursor->count; index++) {
    int kind = cursor->tokens[index].kind;
    if (kind == TOKEN_CLOSE_BRACE && depth == 0)
      return cursor->count;
    depth += kind == TOKEN_OPEN_BRACE;
    depth -= kind == TOKEN_CLOSE_BRACE;
    if (depth == 0 && ends_statement(kind) && index + 1 < cursor->count &&
        !ends_statement(cursor->tokens[index + 1].kind))
      return index + 1;
  }
  return cursor->count;
}
