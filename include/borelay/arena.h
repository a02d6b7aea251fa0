/* arena.h - memory with one lifetime.
 *
 * Every stage puts its output into an arena that the pipeline owns; nothing is
 * freed one by one.  When the machine has no memory left, arena_alloc() tells
 * so on standard error and ends the process with status 3: no stage can do
 * anything sensible then, and no output file is open while arenas grow. */
#ifndef BORELAY_ARENA_H
#define BORELAY_ARENA_H

#include <stdarg.h>
#include <stddef.h>

struct arena;

struct arena *arena_new(void);
void arena_free(struct arena *arena); /* NULL is allowed */
/* The objects of `other`, which is gone, last as long as `arena`. */
void arena_adopt(struct arena *arena, struct arena *other);
/* All objects go, and their memory serves the next ones. */
void arena_clear(struct arena *arena);

/* Where objects are cut from now. */
struct arena_mark {
  const void *chunk;
  size_t used;
};
struct arena_mark arena_mark(const struct arena *arena);
/* What was made since then goes, as far as its memory can serve the next objects. */
void arena_back(struct arena *arena, struct arena_mark mark);

/* Zeroed memory aligned for any type; never NULL.  The product count * size is
 * checked for overflow. */
void *arena_alloc(struct arena *arena, size_t count, size_t size);
/* The same but not zeroed, for what is written before it is read: of much room of which little is
 * used the rest takes neither time nor memory. */
void *arena_room(struct arena *arena, size_t count, size_t size);
/* old's objects with room for more, zeroed; old, which may be NULL when old_count is 0, is not to
 * be used any more.  It stays where it is if nothing was made since and there is room behind it. */
void *arena_grow(struct arena *arena, void *old, size_t old_count, size_t new_count, size_t size);
/* A copy of old, which stays. */
void *arena_copy(struct arena *arena, const void *old, size_t old_count, size_t new_count,
                 size_t size);
char *arena_text(struct arena *arena, const char *text, size_t length); /* NUL is added */
char *arena_format(struct arena *arena, const char *format, ...)
    __attribute__((format(printf, 2, 3)));
char *arena_format_list(struct arena *arena, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

#endif
