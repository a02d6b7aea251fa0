/* Memory with one lifetime: objects are cut from big chunks, and all chunks go at once.
 *
 * Under AddressSanitizer every object is a chunk of its own, so that a step past its
 * end is seen. */
#include "borelay/arena.h"

#include <assert.h>
#include <stdalign.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>

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

/* The first chunk is enough for what is soon forgotten, the second one for a small job, and the C
 * library still has it lie beside others: memory that it asks the system for apart takes some
 * microseconds.  Each further one is four times as big as the one before, up to the last: a big job
 * does not pay the system for every few objects.  A chunk is cleared a step ahead of its objects:
 * what none of them reaches is not touched, and so takes neither time nor memory. */
enum {
  CHUNK_FIRST = 16 * 1024,
  CHUNK_SECOND = 96 * 1024,
  CHUNK_LAST = 4 * 1024 * 1024,
  ALONE_FROM = 64 * 1024,
  CLEAR_STEP = 1024,
  BIG_PAGE = 2 * 1024 * 1024,
  STATUS_MACHINE_FAILED = 3
};

struct chunk {
  struct chunk *next;
  size_t mapped; /* bytes to unmap from here on; 0: from the heap */
  alignas(max_align_t) unsigned char bytes[];
};

struct arena {
  struct chunk *chunks; /* newest first; objects are cut from the newest */
  size_t used;          /* of the newest chunk */
  size_t cleared;       /* as far as objects may be cut */
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

static void chunks_free(struct chunk *chunk) {
  while (chunk) {
    struct chunk *next = chunk->next;
    if (chunk->mapped > 0)
      munmap(chunk, chunk->mapped);
    else
      free(chunk);
    chunk = next;
  }
}

void arena_free(struct arena *arena) {
  if (!arena)
    return;
  chunks_free(arena->chunks);
  free(arena);
}

void arena_adopt(struct arena *arena, struct arena *other) {
  if (!arena->chunks) {
    *arena = *other;
  } else if (other->chunks) {
    struct chunk *last = other->chunks;
    while (last->next)
      last = last->next;
    last->next = arena->chunks->next; /* objects are still cut from the newest */
    arena->chunks->next = other->chunks;
  }
  free(other);
}

void arena_clear(struct arena *arena) {
  struct chunk *kept = arena->room > 0 ? arena->chunks : NULL; /* that objects are cut from */
  chunks_free(kept ? kept->next : arena->chunks);
  arena->chunks = kept;
  if (!kept)
    return;
  kept->next = NULL;
  arena->used = arena->cleared = 0;
}

struct arena_mark arena_mark(const struct arena *arena) {
  return (struct arena_mark){arena->chunks, arena->used};
}

/* What was begun in another chunk stays there for nothing. */
void arena_back(struct arena *arena, struct arena_mark mark) {
  if (!mark.chunk || arena->chunks != mark.chunk || arena->used <= mark.used)
    return;
  memset(arena->chunks->bytes + mark.used, 0, arena->used - mark.used);
  arena->used = mark.used;
}

/* Whole big pages, which the system gives and clears at once where it can: of small ones each first
 * touch costs as much as a hundred objects.  NULL: there is no memory. */
static struct chunk *chunk_map(size_t bytes) {
  size_t length = (bytes + BIG_PAGE - 1) / BIG_PAGE * BIG_PAGE;
  size_t reserved = length + BIG_PAGE;
  unsigned char *begin =
      mmap(NULL, reserved, PROT_READ | PROT_WRITE, MAP_PRIVATE | MAP_ANONYMOUS, -1, 0);
  if (begin == MAP_FAILED)
    return NULL;
  size_t before = (BIG_PAGE - (uintptr_t)begin % BIG_PAGE) % BIG_PAGE;
  if (before > 0)
    munmap(begin, before);
  munmap(begin + before + length, reserved - before - length);
  struct chunk *chunk = (struct chunk *)(void *)(begin + before);
#ifdef MADV_HUGEPAGE
  madvise(chunk, length, MADV_HUGEPAGE); /* refused: small ones do */
#endif
  chunk->mapped = length;
  return chunk;
}

/* All of it cleared where `all` is so; else perhaps nothing but its head, unless it is mapped. */
static struct chunk *chunk_new(size_t bytes, bool all) {
  if (bytes > SIZE_MAX / 2)
    no_memory();
  size_t whole = sizeof(struct chunk) + bytes;
  bool maps = whole >= CHUNK_LAST && !EACH_OBJECT_ALONE;
  struct chunk *chunk = maps ? chunk_map(whole) : all ? calloc(1, whole) : malloc(whole);
  if (!chunk)
    no_memory();
  if (!maps)
    *chunk = (struct chunk){0};
  return chunk;
}

/* A big object gets its own chunk behind the newest, which keeps its free room. */
static void *take_alone(struct arena *arena, size_t bytes, bool cleared) {
  struct chunk *chunk = chunk_new(bytes, cleared);
  if (arena->chunks) {
    chunk->next = arena->chunks->next;
    arena->chunks->next = chunk;
  } else {
    arena->chunks = chunk;
  }
  return chunk->bytes;
}

/* At least as far as `end`. */
static void clear_on(struct arena *arena, size_t end) {
  size_t to = arena->room - end > CLEAR_STEP ? end + CLEAR_STEP : arena->room;
  memset(arena->chunks->bytes + arena->cleared, 0, to - arena->cleared);
  arena->cleared = to;
}

/* Whole pages, with its head. */
static size_t next_chunk(const struct arena *arena) {
  size_t last = arena->room > 0 ? arena->room + sizeof(struct chunk) : 0;
  return last == 0               ? CHUNK_FIRST
         : last < CHUNK_SECOND   ? CHUNK_SECOND
         : last < CHUNK_LAST / 4 ? last * 4
                                 : CHUNK_LAST;
}

/* Of what the newest chunk has no room for: a small object begins the next one, a big one does not.
 */
static bool stands_alone(const struct arena *arena, size_t bytes) {
  return EACH_OBJECT_ALONE || bytes > ALONE_FROM || bytes > next_chunk(arena) / 4;
}

static void chunk_begin(struct arena *arena) {
  size_t room = next_chunk(arena) - sizeof(struct chunk);
  struct chunk *chunk = chunk_new(room, false);
  chunk->next = arena->chunks;
  arena->chunks = chunk;
  arena->used = 0;
  arena->room = room;
  arena->cleared = chunk->mapped > 0 ? room : 0;
}

static bool fits(const struct arena *arena, size_t begin, size_t bytes) {
  return !EACH_OBJECT_ALONE && begin <= arena->room && bytes <= arena->room - begin;
}

/* Where the newest chunk is not cleared so far, or has no such room.  Apart, so that the usual way
 * saves no registers. */
__attribute__((noinline)) static void *take_further(struct arena *arena, size_t begin,
                                                    size_t bytes) {
  if (!fits(arena, begin, bytes)) {
    if (stands_alone(arena, bytes))
      return take_alone(arena, bytes, true);
    chunk_begin(arena);
    begin = 0;
  }
  arena->used = begin + bytes;
  if (arena->cleared < arena->used)
    clear_on(arena, arena->used);
  return arena->chunks->bytes + begin;
}

/* Where the next object of that alignment, a power of two, would begin. */
static inline size_t next_begin(const struct arena *arena, size_t align) {
  return (arena->used + align - 1) & ~(align - 1);
}

static inline void *take(struct arena *arena, size_t bytes, size_t align) {
  size_t begin = next_begin(arena, align);
  if (begin > arena->cleared || bytes > arena->cleared - begin)
    return take_further(arena, begin, bytes);
  arena->used = begin + bytes;
  return arena->chunks->bytes + begin;
}

/* Never 0: each object has a place of its own. */
static size_t bytes_of(size_t count, size_t size) {
  if (size != 0 && count > SIZE_MAX / size)
    no_memory();
  return count * size > 0 ? count * size : 1;
}

void *arena_alloc(struct arena *arena, size_t count, size_t size) {
  return take(arena, bytes_of(count, size), alignof(max_align_t));
}

void *arena_room(struct arena *arena, size_t count, size_t size) {
  size_t bytes = bytes_of(count, size), begin = next_begin(arena, alignof(max_align_t));
  if (bytes <= CHUNK_FIRST / 4) /* a page or so */
    return take(arena, bytes, alignof(max_align_t));
  if (!fits(arena, begin, bytes)) {
    if (stands_alone(arena, bytes))
      return take_alone(arena, bytes, false);
    chunk_begin(arena);
    begin = 0;
  }
  arena->used = begin + bytes;
  if (arena->cleared < arena->used)
    arena->cleared = arena->used;
  return arena->chunks->bytes + begin;
}

/* Where old is the newest object, of old_bytes: true if it was given so many instead. */
static bool grow_there(struct arena *arena, const void *old, size_t old_bytes, size_t new_bytes) {
  if (EACH_OBJECT_ALONE || !old || old_bytes == 0 || arena->used < old_bytes)
    return false;
  size_t begin = arena->used - old_bytes;
  if (arena->chunks->bytes + begin != old || !fits(arena, begin, new_bytes))
    return false;
  arena->used = begin + new_bytes;
  if (arena->cleared < arena->used)
    clear_on(arena, arena->used);
  return true;
}

void *arena_grow(struct arena *arena, void *old, size_t old_count, size_t new_count, size_t size) {
  size_t bytes = bytes_of(new_count, size);
  if (new_count > old_count && grow_there(arena, old, old_count * size, bytes))
    return old;
  return arena_copy(arena, old, old_count, new_count, size);
}

void *arena_copy(struct arena *arena, const void *old, size_t old_count, size_t new_count,
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
  char *copy = take(arena, length + 1, 1);
  if (length > 0)
    memcpy(copy, text, length);
  return copy;
}

/* Most texts are short: those are formatted once. */
char *arena_format_list(struct arena *arena, const char *format, va_list arguments) {
  assert(format); /* seen by the compiler, whose check of the format is else led astray */
  char shown[256];
  va_list first;
  va_copy(first, arguments);
  int length = vsnprintf(shown, sizeof shown, format, first);
  va_end(first);
  if (length < 0)
    no_memory();
  if ((size_t)length < sizeof shown)
    return arena_text(arena, shown, (size_t)length);
  char *text = take(arena, (size_t)length + 1, 1);
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
