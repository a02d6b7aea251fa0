/* read.h - from a flat block to a filled draft, as the block's table of keys says. */
#ifndef RESOLVE_READ_H
#define RESOLVE_READ_H

#include <stdint.h>

#include "resolve/flat.h"

enum key_state {
  KEY_ABSENT,
  KEY_DEFAULT,
  KEY_GIVEN,
  KEY_BROKEN /* its error was told: what depends on it says nothing more */
};

struct key_reading {
  uint32_t item; /* of the block, counted from 1, that gives it; 0: none */
  enum key_state state;
};

/* The outcome of reading one block. */
struct reading {
  struct resolver *r;
  const struct flat *flat;
  struct key_reading *keys; /* one for each key of the block's tables, by their places */
  size_t given_count;
  bool is_whole; /* no error in the block's own keys */
};

/* Fills draft, which starts zeroed: values given, and defaults unless only_given. */
struct reading block_read(struct resolver *r, const struct flat *flat, void *draft,
                          bool only_given);

enum key_state reading_state(const struct reading *reading, const char *key);
bool reading_is_given(const struct reading *reading, const char *key);
/* Every one of the keys, of which the last is NULL, has a sound value, given or by default. */
bool reading_has(const struct reading *reading, const char *const *keys);
#define KEYS(...) ((const char *const[]){__VA_ARGS__, NULL})
/* Where the key's value was written; the block's head where it was not. */
span reading_at(const struct reading *reading, const char *key);
/* The block lacks the key (or its alternative, NULL: none), unless that was told. */
void key_missing(struct reading *reading, const char *key, const char *alternative);
/* A block that had an error is not used; the caller says nothing more. */
void reading_fail(struct reading *reading);

/* Places of all keys given, for struct origin; also further ones, of an outer block.  None for what
 * is passed (build_pass()). */
struct origin origin_make(struct resolver *r, const struct reading *reading,
                          const struct reading *further);

/* The one inner block of that word, NULL where there is none. */
const struct flat *inner_get(const struct flat *flat, const char *word, const char *name);

/* Tells that an inner block is missing, unless something of it was told. */
void inner_missing(struct reading *reading, const char *word, const char *name);

/* outline.c: the lines and bends of an outline, in order. */
bool outline_read(struct reading *reading, struct outline_part **parts, size_t *count);

/* touches.c: the touches of a shape or a datum, in order, both forms. */
bool touches_read(struct reading *reading, struct touch **touches, size_t *count);

#endif
