/* The source files of one run, whole in memory, and how many lines stand before a place. */
#include "borelay/source.h"

#include <assert.h>
#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/arena.h"

enum { LARGEST_FILE = 256 * 1024 * 1024, READ_STEP = 64 * 1024, NULS = 8 };

/* Worked out when a place is first asked for.  A place is then counted from the stretch that it is
 * in: a table of all lines would take more than a tenth of the text. */
enum { STRETCH = 1024 };
struct line_table {
  uint32_t *before; /* newlines before each stretch of so many bytes; NULL: not yet */
};

struct loaded {
  struct source source;
  struct line_table *lines;
};

struct unsaved {
  const char *path, *text;
  size_t length;
};

struct source_set {
  struct arena *arena;
  struct loaded *files;
  uint32_t count;
  uint32_t room;
  const char *stood_for, *stand_in; /* paths; NULL: none */
  struct unsaved *unsaved;
  size_t unsaved_count;
};

struct source_set *source_set_new(struct arena *arena) {
  struct source_set *set = arena_alloc(arena, 1, sizeof *set);
  set->arena = arena;
  return set;
}

/* In a stretch at most. */
static uint32_t newlines(const uint8_t *text, uint32_t length) {
  uint16_t count = 0;
  for (uint32_t i = 0; i < length; i++)
    count = (uint16_t)(count + (text[i] == '\n'));
  return count;
}

static const struct line_table *lines_of(const struct source_set *set, const struct loaded *file) {
  struct line_table *lines = file->lines;
  if (lines->before)
    return lines;
  uint32_t stretches = file->source.length / STRETCH;
  lines->before = arena_alloc(set->arena, stretches + 1, sizeof *lines->before);
  for (uint32_t i = 0; i < stretches; i++)
    lines->before[i + 1] =
        lines->before[i] + newlines(file->source.text + (size_t)i * STRETCH, STRETCH);
  return lines;
}

static uint32_t add(struct source_set *set, const char *path, const char *text, uint32_t length,
                    bool is_file) {
  if (set->count == set->room) {
    uint32_t room = set->room ? set->room * 2 : 8;
    set->files = arena_grow(set->arena, set->files, set->count, room, sizeof *set->files);
    set->room = room;
  }
  struct loaded *file = &set->files[set->count++];
  const char *slash = strrchr(path, '/');
  file->source.path = arena_text(set->arena, path, strlen(path));
  file->source.base_name = file->source.path + (slash ? slash + 1 - path : 0);
  file->source.text = (const uint8_t *)text;
  file->source.length = length;
  file->source.is_file = is_file;
  file->lines = arena_alloc(set->arena, 1, sizeof *file->lines);
  return set->count;
}

/* One byte more than the file has, so that its end is met before the room's. */
static size_t first_room(const struct stat *status) {
  off_t size = S_ISREG(status->st_mode) ? status->st_size : 0;
  return size > 0 && size <= LARGEST_FILE ? (size_t)size + 1 : READ_STEP;
}

/* Reads to the end, whatever the size said before: a pipe has none.  NULL: errno tells why. */
static char *read_whole(struct arena *arena, int from, size_t *length, struct source_identity *is) {
  struct stat status;
  if (fstat(from, &status) != 0)
    return NULL;
  *is = (struct source_identity){status.st_dev, status.st_ino};
  size_t room = first_room(&status), used = 0;
  char *text = arena_alloc(arena, room + NULS, 1);
  for (;;) {
    ssize_t got = read(from, text + used, room - used);
    if (got < 0 && errno != EINTR)
      return NULL;
    if (got == 0)
      break;
    used += got > 0 ? (size_t)got : 0;
    if (used > LARGEST_FILE) {
      errno = EFBIG;
      return NULL;
    }
    if (used < room)
      continue;
    text = arena_grow(arena, text, used, room * 2 + NULS, 1);
    room *= 2;
  }
  *length = used;
  return text;
}

static uint32_t add_text(struct source_set *set, const char *path, const char *text, size_t length,
                         bool is_file) {
  if (length > LARGEST_FILE) {
    errno = EFBIG;
    return 0;
  }
  return add(set, path, arena_copy(set->arena, text, length, length + NULS, 1), (uint32_t)length,
             is_file);
}

void source_stand_in(struct source_set *set, const char *path, const char *from) {
  set->stood_for = path;
  set->stand_in = from;
}

const char *source_bytes_at(const struct source_set *set, const char *path) {
  return set->stood_for && strcmp(set->stood_for, path) == 0 ? set->stand_in : path;
}

/* -- files as an editor holds them --------------------------------------------------------- */

void source_unsaved(struct source_set *set, const char *path, const char *text, size_t length) {
  size_t count = set->unsaved_count;
  set->unsaved = arena_grow(set->arena, set->unsaved, count, count + 1, sizeof *set->unsaved);
  set->unsaved[set->unsaved_count++] = (struct unsaved){path, text, length};
}

/* A file that is not on disk yet is its place in the list, of no device. */
bool source_identify(const struct source_set *set, const char *path, struct source_identity *is) {
  struct stat status;
  if (stat(source_bytes_at(set, path), &status) == 0) {
    *is = (struct source_identity){status.st_dev, status.st_ino};
    return true;
  }
  for (size_t i = 0; i < set->unsaved_count; i++)
    if (strcmp(set->unsaved[i].path, path) == 0) {
      *is = (struct source_identity){.device = 0, .inode = i + 1};
      return true;
    }
  return false;
}

static const struct unsaved *unsaved_find(const struct source_set *set, const char *path) {
  struct source_identity wanted, other;
  if (set->unsaved_count == 0 || !source_identify(set, path, &wanted))
    return NULL;
  for (size_t i = 0; i < set->unsaved_count; i++)
    if (source_identify(set, set->unsaved[i].path, &other) && other.device == wanted.device &&
        other.inode == wanted.inode)
      return &set->unsaved[i];
  return NULL;
}

static uint32_t read_from_disk(struct source_set *set, const char *path,
                               struct source_identity *is) {
  int from = open(source_bytes_at(set, path), O_RDONLY | O_CLOEXEC);
  if (from < 0)
    return 0;
  size_t length = 0;
  char *text = read_whole(set->arena, from, &length, is);
  int why = errno;
  close(from);
  if (!text) {
    errno = why;
    return 0;
  }
  return add(set, path, text, (uint32_t)length, true);
}

/* The way to the file is gone only once where it has not been read before. */
uint32_t source_read(struct source_set *set, const char *path, struct source_identity *is) {
  struct source_identity unasked;
  uint32_t number = 0;
  while (number < set->count &&
         !(set->files[number].source.is_file && strcmp(set->files[number].source.path, path) == 0))
    number++;
  const struct unsaved *unsaved = number < set->count ? NULL : unsaved_find(set, path);
  if (number == set->count && !unsaved)
    return read_from_disk(set, path, is ? is : &unasked);
  if (is && !source_identify(set, path, is))
    return 0;
  return unsaved ? add_text(set, path, unsaved->text, unsaved->length, true) : number + 1;
}

uint32_t source_add_text(struct source_set *set, const char *path, const char *text,
                         size_t length) {
  return add_text(set, path, text, length, false);
}

uint32_t source_count(const struct source_set *set) {
  return set->count;
}

const struct source *source_get(const struct source_set *set, uint32_t file) {
  assert(file >= 1 && file <= set->count);
  return &set->files[file - 1].source;
}

/* Counted from 0. */
static uint32_t line_of(const struct line_table *lines, const struct source *source,
                        uint32_t offset) {
  uint32_t rest = offset % STRETCH;
  return lines->before[offset / STRETCH] + newlines(source->text + (offset - rest), rest);
}

static uint32_t line_start(const struct source *source, uint32_t offset) {
  const uint8_t *newline = memrchr(source->text, '\n', offset);
  return newline ? (uint32_t)(newline + 1 - source->text) : 0;
}

/* A byte order mark at the start of a file takes no column. */
static uint32_t after_mark(const struct source *source, uint32_t start) {
  if (start == 0 && source->length >= 3 && memcmp(source->text, "\xEF\xBB\xBF", 3) == 0)
    return 3;
  return start;
}

struct source_place source_place_get(const struct source_set *set, uint32_t file, uint32_t offset) {
  assert(file >= 1 && file <= set->count);
  const struct loaded *loaded = &set->files[file - 1];
  const struct source *source = &loaded->source;
  if (offset > source->length)
    offset = source->length;
  const struct line_table *lines = lines_of(set, loaded);
  uint32_t line = line_of(lines, source, offset);
  uint32_t column = 1;
  for (uint32_t i = after_mark(source, line_start(source, offset)); i < offset; i++)
    column += (source->text[i] & 0xC0) != 0x80;
  return (struct source_place){.line = line + 1, .column = column};
}
