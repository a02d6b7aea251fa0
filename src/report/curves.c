/* A lap is much like the lap before: the same lines and arcs, a turn further and a little less
 * deep.  What they share is written once. */
#include "report/curves.h"

#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "report/parts.h"

enum { TEXT_ROOM = 512, FIRST_SLOTS = 256 };

/* Ten digits: 1e-7 mm of a metre. */
static void text_make(char *text, const struct curve *c) {
  double a = c->is_line ? c->direction.x : c->radius, b = c->is_line ? c->direction.y : 0;
  snprintf(text, TEXT_ROOM,
           "[%d,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,%.10g,"
           "%.10g]",
           c->is_line, c->centre.x, c->centre.y, a, b, c->rho, c->turn.c1, c->turn.c2, c->turn.c3,
           c->head.c1, c->head.c2, c->head.c3, c->z.c1, c->z.c2, c->z.c3);
}

/* FNV-1a (Fowler, Noll, Vo; RFC 9923). */
static size_t hash(const char *text) {
  uint64_t h = UINT64_C(14695981039346656037);
  for (; *text; text++)
    h = (h ^ (unsigned char)*text) * UINT64_C(1099511628211);
  return (size_t)h;
}

static size_t slot_find(const struct curve_set *set, const char *text) {
  size_t at = hash(text) % set->slot_count;
  while (set->slots[at] && strcmp(set->texts[set->slots[at] - 1], text) != 0)
    at = (at + 1) % set->slot_count;
  return at;
}

static void slots_grow(struct curve_set *set) {
  free(set->slots);
  set->slot_count = set->slot_count ? 2 * set->slot_count : FIRST_SLOTS;
  set->slots = report_alloc(set->slot_count, sizeof *set->slots);
  for (size_t i = 0; i < set->count; i++)
    set->slots[slot_find(set, set->texts[i])] = i + 1;
}

size_t curve_set_index(struct curve_set *set, const struct curve *curve) {
  char text[TEXT_ROOM];
  text_make(text, curve);
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

void curve_set_put(FILE *to, const struct curve_set *set) {
  fputc('[', to);
  for (size_t i = 0; i < set->count; i++)
    fprintf(to, "%s%s", i > 0 ? ",\n" : "", set->texts[i]);
  fputc(']', to);
}

void curve_set_release(struct curve_set *set) {
  for (size_t i = 0; i < set->count; i++)
    free(set->texts[i]);
  free(set->texts);
  free(set->slots);
  *set = (struct curve_set){.count = 0};
}
