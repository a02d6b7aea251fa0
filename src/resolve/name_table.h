/* name_table.h - a number for each of many names. */
#ifndef RESOLVE_NAME_TABLE_H
#define RESOLVE_NAME_TABLE_H

#include <stddef.h>
#include <stdint.h>

struct arena;

/* Begins zeroed.  Names are kept by their address. */
struct numbered_name {
  const char *name; /* NULL: a free place */
  uint32_t hash, number;
};
struct name_table {
  struct numbered_name *places;
  size_t count, room; /* room: 0 or a power of two, at most half of it taken */
};

/* 0: it has none. */
uint32_t name_table_find(const struct name_table *table, const char *name);
/* Of a name that has none yet; number > 0. */
void name_table_add(struct arena *arena, struct name_table *table, const char *name,
                    uint32_t number);

#endif
