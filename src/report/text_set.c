/* A lap is much like the lap before.  What recurs is found by its text. */
#include "report/text_set.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "report/parts.h"

enum { FIRST_SLOTS = 256 };

/* FNV-1a (Fowler, Noll, Vo; RFC 9923). */
static size_t hash(const char *text) {
  uint64_t h = UINT64_C(14695981039346656037);
  for (; *text; text++)
    h = (h ^ (unsigned char)*text) * UINT64_C(1099511628211);
  return (size_t)h;
}

static size_t slot_find(const struct text_set *set, const char *text) {
  size_t at = hash(text) % set->slot_count;
  while (set->slots[at] && strcmp(set->texts[set->slots[at] - 1], text) != 0)
    at = (at + 1) % set->slot_count;
  return at;
}

static void slots_grow(struct text_set *set) {
  free(set->slots);
  set->slot_count = set->slot_count ? 2 * set->slot_count : FIRST_SLOTS;
  set->slots = report_alloc(set->slot_count, sizeof *set->slots);
  for (size_t i = 0; i < set->count; i++)
    set->slots[slot_find(set, set->texts[i])] = i + 1;
}

size_t text_set_index(struct text_set *set, const char *text) {
  if (2 * set->count >= set->slot_count)
    slots_grow(set);
  size_t slot = slot_find(set, text);
  if (set->slots[slot])
    return set->slots[slot] - 1;
  if (set->count == set->room) {
    set->room = set->room ? 2 * set->room : FIRST_SLOTS;
    set->texts = report_grow(set->texts, set->room, sizeof *set->texts);
  }
  set->texts[set->count] = strdup(text);
  if (!set->texts[set->count])
    report_no_memory();
  set->slots[slot] = ++set->count;
  return set->count - 1;
}

void text_set_put(FILE *to, const struct text_set *set) {
  fputc('[', to);
  for (size_t i = 0; i < set->count; i++)
    fprintf(to, "%s%s", i > 0 ? ",\n" : "", set->texts[i]);
  fputc(']', to);
}

void text_set_release(struct text_set *set) {
  for (size_t i = 0; i < set->count; i++)
    free(set->texts[i]);
  free(set->texts);
  free(set->slots);
  *set = (struct text_set){.count = 0};
}
