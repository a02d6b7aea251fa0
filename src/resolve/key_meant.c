/* Which key a word that is none was probably meant for: one that is called so elsewhere, a misspelt
 * one, one that has the word in its name; else all keys of the block, where a line holds them. */
#include "resolve/key_meant.h"

#include <stdio.h>
#include <string.h>

#include "borelay/resolve.h"
#include "borelay/suggest.h"

/* What keys are called in shops, or shortened to; common practice, no source. */
static const struct {
  const char *word, *key;
} CALLED[] = {{"amperage", "current"},       {"amps", "current"},
              {"dia", "diameter"},           {"feed_speed", "wire_feed_speed"},
              {"rotation", "turned"},        {"step_over", "pitch"},
              {"stepover", "pitch"},         {"stick_out", "electrode_extension"},
              {"velocity", "speed"},         {"stickout", "electrode_extension"},
              {"volts", "voltage"},          {"wfs", "wire_feed_speed"},
              {"weld_speed", "travel_speed"}};

/* Keys and inner blocks one after the other; NULL behind the last. */
static const char *name_at(const struct block_kind *kind, size_t index) {
  for (size_t p = 0; p < KEY_PARTS && kind->parts[p].table; p++) {
    if (index < kind->parts[p].table->count)
      return kind->parts[p].table->keys[index].name;
    index -= kind->parts[p].table->count;
  }
  for (size_t i = 0; kind->inner && kind->inner[i]; i++)
    if (index-- == 0)
      return kind->inner[i]->word;
  return NULL;
}

const char *key_called(const char *word) {
  for (size_t i = 0; i < sizeof CALLED / sizeof CALLED[0]; i++)
    if (strcmp(CALLED[i].word, word) == 0)
      return CALLED[i].key;
  return NULL;
}

static const char *misspelt(const struct block_kind *kind, const char *word) {
  struct suggest near = suggest_begin(word);
  const char *name;
  for (size_t i = 0; (name = name_at(kind, i)); i++)
    suggest_offer(&near, name);
  return near.best;
}

/* `feed` in `wire_feed_speed`, between underscores; `patt` of `pattern`. */
static bool has_word(const char *name, const char *word) {
  size_t length = strlen(word);
  if (length >= 3 && strncmp(name, word, length) == 0)
    return true;
  for (const char *at = name; (at = strstr(at, word)); at++)
    if ((at == name || at[-1] == '_') && (at[length] == '_' || at[length] == '\0'))
      return true;
  return false;
}

enum { MOST_SHARING = 3, LINE = 76 };

/* "`a`, `b`, `c`"; *only where there is one alone.  NULL: none, or so many that no one is meant. */
static const char *sharing(struct resolver *r, const struct block_kind *kind, const char *word,
                           const char **only) {
  const char *text = NULL, *name;
  size_t count = 0;
  for (size_t i = 0; (name = name_at(kind, i)); i++) {
    if (!has_word(name, word))
      continue;
    *only = count++ == 0 ? name : NULL;
    text = text ? arena_format(r->arena, "%s or `%s`", text, name)
                : arena_format(r->arena, "`%s`", name);
  }
  return count <= MOST_SHARING ? text : NULL;
}

static void help_all(const struct block_kind *kind, struct diag *diag) {
  char text[LINE + 1] = "";
  size_t length = 0;
  const char *name;
  for (size_t i = 0; (name = name_at(kind, i)) && length <= LINE; i++)
    length += (size_t)snprintf(text + length, sizeof text - length, " %s", name);
  const char *word = strncmp(kind->name, "shape ", 6) == 0 ? kind->name + 6 : kind->name;
  if (length <= LINE)
    diag_help(diag, "%s:%s", kind->inner && kind->inner[0] ? "keys and blocks" : "keys", text);
  else
    diag_help(diag, "`borelay explain %.*s` tells its keys", (int)strcspn(word, " "), word);
}

const char *key_meant_help(struct resolver *r, const struct block_kind *kind, const char *word,
                           struct diag *diag) {
  const char *meant = key_called(word), *several = NULL;
  if (!meant || !key_find(kind, meant))
    meant = misspelt(kind, word);
  if (!meant)
    several = sharing(r, kind, word, &meant);
  if (meant)
    diag_help(diag, "did you mean `%s`?", meant);
  else if (several)
    diag_help(diag, "did you mean %s?", several);
  else
    help_all(kind, diag);
  return meant;
}
