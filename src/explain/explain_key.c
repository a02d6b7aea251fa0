/* Keys and blocks, from the tables of keys. */
#include <stdarg.h>
#include <string.h>

#include "borelay/resolve.h"
#include "explain/parts.h"

enum { TEXT = 512 };

/* A text that grows; what does not fit is cut. */
struct text {
  char at[TEXT];
  size_t used;
};

__attribute__((format(printf, 2, 3))) static void add(struct text *text, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  int length = vsnprintf(text->at + text->used, TEXT - text->used, format, arguments);
  va_end(arguments);
  text->used += length > 0 ? (size_t)length : 0;
  if (text->used >= TEXT)
    text->used = TEXT - 1;
}

static bool is_block(const struct key_info *info) {
  return info->opens != NULL;
}

static bool is_default(const struct key_info *info) {
  return strncmp(info->required, "required", 8) != 0 && strcmp(info->required, "optional") != 0;
}

/* "required", "optional", "required without pitch", "default 2 mm" */
static struct text need_of(const struct key_info *info) {
  struct text text = {.used = 0};
  add(&text, "%s%s", is_default(info) ? "default " : "", info->required);
  return text;
}

/* -- keys ------------------------------------------------------------------------------------- */

static const char *article(const char *noun) {
  return strchr("aeiou", *noun) ? "an" : "a";
}

static void add_words(struct text *text, const char *words) {
  for (const char *at = words; *at; at += *at == ' ') {
    size_t end = strcspn(at, " ");
    add(text, "%s`%.*s`", at == words ? "" : ", ", (int)end, at);
    at += end;
  }
}

static void add_figures(struct text *text, const struct key_info *info) {
  bool is_one = info->measures && (strcmp(info->measures, info->dimension) == 0 ||
                                   strstr(info->dimension, "or angle"));
  add(text, "%s %s", article(info->dimension), info->dimension);
  if (is_one && info->example)
    add(text, ", such as `%s`", info->example);
  else if (info->unit)
    add(text, ", in `%s` or another unit of %s", info->unit, info->measures);
}

/* What stands behind the key. */
static struct text value_of(const struct key_info *info) {
  struct text text = {.used = 0};
  if (strcmp(info->dimension, "word") == 0) {
    add(&text, "one of ");
    add_words(&text, info->words);
    return text;
  }
  if (info->refers && strstr(info->dimension, "list"))
    add(&text, "names of %ss, separated by commas", info->refers);
  else if (info->refers)
    add(&text, "the name of %s %s", article(info->refers), info->refers);
  else
    add_figures(&text, info);
  if (info->words) {
    add(&text, "; or the word ");
    add_words(&text, info->words);
  }
  return text;
}

bool explain_key(const char *block, const char *key, FILE *to) {
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (is_block(&info) || strcmp(info.block, block) != 0 || strcmp(info.key, key) != 0)
      continue;
    struct text value = value_of(&info), need = need_of(&info);
    fprintf(to, "`%s`, a key of %s\n", key, block);
    part_print("means", info.help, PART_COLUMN, to);
    part_print("value", value.at, PART_COLUMN, to);
    if (*info.allowed)
      part_print("allowed", info.allowed, PART_COLUMN, to);
    part_print(is_default(&info) ? "default" : "need", is_default(&info) ? info.required : need.at,
               PART_COLUMN, to);
    return true;
  }
  return false;
}

/* -- blocks ----------------------------------------------------------------------------------- */

/* "axis head" is reached by the word `axis`; "shape round" is written `shape NAME round`. */
static void print_head(const struct key_info *info, FILE *to) {
  const char *blank = strchr(info->opens, ' ');
  bool is_variant = blank && strcmp(info->block, "") == 0;
  fprintf(to, "`%s", info->key);
  if (info->words)
    fprintf(to, " %s", strchr(info->words, ' ') ? "NAME" : info->words);
  else if (*info->named)
    fprintf(to, " %s", info->named);
  fprintf(to, "%s { }`, a block\n", is_variant ? blank : "");
}

/* The blocks that it stands in; of an axis, which names it takes. */
static struct text places_of(const char *block) {
  struct text text = {.used = 0};
  const char *names = NULL;
  for (size_t i = 0, count = key_info_count(); i < count; i++) {
    struct key_info info = key_info_get(i);
    if (!is_block(&info) || strcmp(info.opens, block) != 0)
      continue;
    add(&text, "%s%s", text.used ? ", " : "", *info.block ? info.block : "top level of a file");
    names = info.words;
  }
  if (names) {
    add(&text, ", named ");
    add_words(&text, names);
  }
  return text;
}

static void print_member(const struct key_info *info, FILE *to) {
  struct text title = {.used = 0}, text = {.used = 0}, need = need_of(info);
  add(&title, "%s%s", info->key, is_block(info) ? " { }" : "");
  add(&text, "%s (%s%s%s)", info->help, need.at, *info->allowed && is_block(info) ? ", " : "",
      is_block(info) ? info->allowed : "");
  part_print(title.at, text.at, MEMBER_COLUMN, to);
}

bool explain_block(const char *block, FILE *to) {
  bool is_found = false;
  for (size_t i = 0, count = key_info_count(); i < count && !is_found; i++) {
    struct key_info info = key_info_get(i);
    if (!is_block(&info) || strcmp(info.opens, block) != 0)
      continue;
    struct text places = places_of(block);
    is_found = true;
    print_head(&info, to);
    part_print("means", info.help, PART_COLUMN, to);
    part_print("in", places.at, PART_COLUMN, to);
    fputc('\n', to);
  }
  for (size_t i = 0, count = key_info_count(); i < count && is_found; i++) {
    struct key_info info = key_info_get(i);
    if (strcmp(info.block, block) == 0)
      print_member(&info, to);
  }
  return is_found;
}
