/* Memory with one lifetime: objects are cut from big chunks, and all chunks go at once.
 *
 * Under AddressSanitizer every object is a chunk of its own, so that a step past its
 * end is seen. */
#include "borelay/arena.h"

#include <assert.h>
#include <stdalign.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#if defined(__SANITIZE_ADDRESS__)
#define EACH_OBJECT_ALONE 1
#elif defined(__has_feature)
#if __has_feature(address_sanitizer)
#define EACH_OBJECT_ALONE 1
#endif
#endif
#ifndef EACH_OBJECT_ALONE
#define EACH_OBJECT_ALONE 0
#endif

/* Each chunk is twice as big as the one before, up to the last: a small job asks for little, and a
 * big one does not pay the system for every few objects. */
enum { CHUNK_FIRST = 64 * 1024, CHUNK_LAST = 4 * 1024 * 1024, STATUS_MACHINE_FAILED = 3 };

struct chunk {
  struct chunk *next;
  alignas(max_align_t) unsigned char bytes[];
};

struct arena {
  struct chunk *chunks; /* newest first; objects are cut from the newest */
  size_t used;          /* of the newest chunk */
  size_t room;
};

static _Noreturn void no_memory(void) {
  fputs("borelay: out of memory\n", stderr);
  exit(STATUS_MACHINE_FAILED);
}

struct arena *arena_new(void) {
  struct arena *arena = calloc(1, sizeof *arena);
  if (!arena)
    no_memory();
  return arena;
}

void arena_free(struct arena *arena) {
  if (!arena)
    return;
  struct chunk *chunk = arena->chunks;
  while (chunk) {
    struct chunk *next = chunk->next;
    free(chunk);
    chunk = next;
  }
  free(arena);
}

static struct chunk *chunk_new(size_t bytes) {
  if (bytes > SIZE_MAX - sizeof(struct chunk))
    no_memory();
  struct chunk *chunk = calloc(1, sizeof(struct chunk) + bytes);
  if (!chunk)
    no_memory();
  return chunk;
}

/* A big object gets its own chunk behind the newest, which keeps its free room. */
static void *take_alone(struct arena *arena, size_t bytes) {
  struct chunk *chunk = chunk_new(bytes);
  if (arena->chunks) {
    chunk->next = arena->chunks->next;
    arena->chunks->next = chunk;
  } else {
    arena->chunks = chunk;
  }
  return chunk->bytes;
}

static void *take(struct arena *arena, size_t bytes) {
  if (EACH_OBJECT_ALONE || bytes > CHUNK_FIRST / 4)
    return take_alone(arena, bytes);
  const size_t align = alignof(max_align_t);
  size_t rounded = bytes == 0 ? align : (bytes + align - 1) / align * align;
  if (arena->room - arena->used < rounded) {
    size_t room = arena->room == 0           ? CHUNK_FIRST
                  : arena->room < CHUNK_LAST ? arena->room * 2
                                             : CHUNK_LAST;
    struct chunk *chunk = chunk_new(room);
    chunk->next = arena->chunks;
    arena->chunks = chunk;
    arena->used = 0;
    arena->room = room;
  }
  void *object = arena->chunks->bytes + arena->used;
  arena->used += rounded;
  return object;
}

void *arena_alloc(struct arena *arena, size_t count, size_t size) {
  if (size != 0 && count > SIZE_MAX / size)
    no_memory();
  return take(arena, count * size);
}

void *arena_grow(struct arena *arena, const void *old, size_t old_count, size_t new_count,
                 size_t size) {
  void *grown = arena_alloc(arena, new_count, size);
  size_t kept = old_count < new_count ? old_count : new_count;
  if (kept > 0)
    memcpy(grown, old, kept * size);
  return grown;
}

char *arena_text(struct arena *arena, const char *text, size_t length) {
  if (length == SIZE_MAX)
    no_memory();
  char *copy = arena_alloc(arena, length + 1, 1);
  if (length > 0)
    memcpy(copy, text, length);
  return copy;
}

char *arena_format_list(struct arena *arena, const char *format, va_list arguments) {
  assert(format); /* seen by the compiler, whose check of the format is else led astray */
  va_list measured;
  va_copy(measured, arguments);
  int length = vsnprintf(NULL, 0, format, measured);
  va_end(measured);
  if (length < 0)
    no_memory();
  char *text = arena_alloc(arena, (size_t)length + 1, 1);
  vsnprintf(text, (size_t)length + 1, format, arguments);
  return text;
}

char *arena_format(struct arena *arena, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  char *text = arena_format_list(arena, format, arguments);
  va_end(arguments);
  return text;
}
