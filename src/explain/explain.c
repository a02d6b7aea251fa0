/* From a word to everything that bears it.
 *
 * Nothing is known here: the tables of keys, units, words, checks and codes are asked, in the order
 * in which an author meets them. */
#include "borelay/explain.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/emit.h"
#include "borelay/resolve.h"
#include "borelay/suggest.h"
#include "borelay/wrap.h"
#include "explain/parts.h"

enum { WIDTH = 100 };

void part_print(const char *title, const char *text, int column, FILE *to) {
  char *line = NULL;
  size_t length = 0;
  FILE *lines = open_memstream(&line, &length);
  if (!lines)
    return;
  wrap_print(text, column, WIDTH, lines);
  if (fclose(lines) == 0)
    fprintf(to, "  %-*s%s", column - 2, title, line + column);
  free(line);
}

/* -- what bears a word ------------------------------------------------------------------------ */

/* What was printed before is kept apart by a blank line. */
struct answers {
  FILE *to;
  size_t count;
};

static FILE *next_answer(struct answers *answers) {
  if (answers->count++ > 0)
    fputc('\n', answers->to);
  return answers->to;
}

static bool is_block(const struct key_info *info) {
  return info->opens != NULL;
}

/* `racetrack` for "shape racetrack", `axis` for "axis head". */
static bool bears(const struct key_info *info, const char *word) {
  if (strcmp(info->key, word) == 0)
    return true;
  const char *blank = is_block(info) ? strchr(info->opens, ' ') : NULL;
  return blank && strcmp(info->block, "") == 0 && strcmp(blank + 1, word) == 0;
}

/* A block that stands in several blocks is told once. */
static bool is_told(size_t index, const char *opens) {
  for (size_t i = 0; i < index; i++) {
    struct key_info info = key_info_get(i);
    if (is_block(&info) && strcmp(info.opens, opens) == 0)
      return true;
  }
  return false;
}

static void tell_blocks_and_keys(const char *word, struct answers *answers) {
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (!bears(&info, word))
      continue;
    if (!is_block(&info))
      explain_key(info.block, info.key, next_answer(answers));
    else if (!is_told(i, info.opens))
      explain_block(info.opens, next_answer(answers));
  }
}

/* Is word one of the words, which stand between blanks? */
static bool is_among(const char *words, const char *word) {
  size_t length = strlen(word);
  for (const char *at = words; at && *at; at += *at == ' ') {
    size_t end = strcspn(at, " ");
    if (end == length && memcmp(at, word, length) == 0)
      return true;
    at += end;
  }
  return false;
}

/* `gtaw`: every key that takes the word. */
static void tell_takers(const char *word, struct answers *answers) {
  bool begun = false;
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (!info.words || !is_among(info.words, word))
      continue;
    if (!begun)
      fprintf(next_answer(answers), "`%s`, a word that a key takes\n", word);
    begun = true;
    char named[128];
    snprintf(named, sizeof named, "%s of %s", info.key, info.block);
    part_print(named, info.help, TAKER_COLUMN, answers->to);
  }
}

bool explain_word(const char *word, FILE *to) {
  struct answers answers = {.to = to};
  char *text = NULL;
  size_t length = 0;
  static bool (*const TELL[])(const char *, FILE *) = {explain_unit, explain_reserved,
                                                       explain_check, explain_code};
  tell_blocks_and_keys(word, &answers);
  tell_takers(word, &answers);
  for (size_t i = 0; i < sizeof TELL / sizeof TELL[0]; i++) {
    FILE *one = open_memstream(&text, &length);
    bool is_known = one && TELL[i](word, one);
    if (one && fclose(one) == 0 && is_known)
      fputs(text, next_answer(&answers));
    free(text);
    text = NULL;
  }
  return answers.count > 0;
}

const char *explain_suggest(const char *word) {
  struct suggest near = suggest_begin(word);
  const char *called = key_called(word);
  if (called)
    return called;
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    suggest_offer(&near, info.key);
    if (is_block(&info) && strchr(info.opens, ' ') && strcmp(info.block, "") == 0)
      suggest_offer(&near, strchr(info.opens, ' ') + 1);
  }
  for (size_t i = 0; i < check_info_count(); i++)
    suggest_offer(&near, check_info_get(i).name);
  for (size_t i = 0; i < word_info_count(); i++)
    suggest_offer(&near, word_info_get(i).word);
  for (size_t i = 0; i < unit_info_count(); i++)
    suggest_offer(&near, unit_info_get(i).name);
  return near.best;
}
