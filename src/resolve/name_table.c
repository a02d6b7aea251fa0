/* A number for each of many names: found by hash, in the first place from there on that is its own
 * or free. */
#include "resolve/name_table.h"

#include <string.h>

#include "resolve/resolver.h"

enum { FIRST_ROOM = 16 };

static struct numbered_name *place_of(const struct name_table *table, const char *name,
                                      uint32_t hash) {
  for (size_t i = hash;; i++) {
    struct numbered_name *place = &table->places[i & (table->room - 1)];
    if (!place->name || (place->hash == hash && strcmp(place->name, name) == 0))
      return place;
  }
}

uint32_t name_table_find(const struct name_table *table, const char *name) {
  return table->room > 0 ? place_of(table, name, name_hash(name, 0))->number : 0;
}

static void grow(struct arena *arena, struct name_table *table) {
  struct name_table grown = {.count = table->count,
                             .room = table->room > 0 ? 2 * table->room : FIRST_ROOM};
  grown.places = arena_alloc(arena, grown.room, sizeof *grown.places);
  for (size_t i = 0; i < table->room; i++)
    if (table->places[i].name)
      *place_of(&grown, table->places[i].name, table->places[i].hash) = table->places[i];
  *table = grown;
}

void name_table_add(struct arena *arena, struct name_table *table, const char *name,
                    uint32_t number) {
  if (2 * (table->count + 1) > table->room)
    grow(arena, table);
  uint32_t hash = name_hash(name, 0);
  *place_of(table, name, hash) =
      (struct numbered_name){.name = name, .hash = hash, .number = number};
  table->count++;
}
