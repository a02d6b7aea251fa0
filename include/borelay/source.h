/* source.h - the source files of one run and places in them. */
#ifndef BORELAY_SOURCE_H
#define BORELAY_SOURCE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <sys/types.h>

struct arena;

/* A stretch of one source file: bytes begin .. end-1.  file counts from 1 in the
 * order in which files were first read; file 0 means "no place". */
typedef struct span {
  uint32_t file;
  uint32_t begin;
  uint32_t end;
} span;

struct source {
  const char *path;      /* as opened */
  const char *base_name; /* last component of path */
  const uint8_t *text;   /* length bytes, then eight NULs: up to there eight may be read at once */
  uint32_t length;
  bool is_file; /* else text that was given, of --set for instance; path is its title */
};

struct source_set;

/* Line and column count from 1; the column counts code points. */
struct source_place {
  uint32_t line;
  uint32_t column;
};

struct source_set *source_set_new(struct arena *arena);
/* What tells a file from all others, by whatever path it is reached. */
struct source_identity {
  dev_t device;
  ino_t inode;
};
/* False: errno tells why. */
bool source_identify(const struct source_set *set, const char *path, struct source_identity *is);
/* Reads a file whole.  Returns its number, or 0 with errno set when it cannot be
 * read (or is larger than 256 MiB: EFBIG).  is: what it is told by, too; NULL: not wanted. */
uint32_t source_read(struct source_set *set, const char *path, struct source_identity *is);
/* The same for text in memory (tests, --set values); the text is copied. */
uint32_t source_add_text(struct source_set *set, const char *path, const char *text, size_t length);
/* From now on what stands at `from` is read for the file at path; both are kept. */
void source_stand_in(struct source_set *set, const char *path, const char *from);
/* Where the bytes of the file at path lie: path itself, where nothing stands in for it. */
const char *source_bytes_at(const struct source_set *set, const char *path);
/* From now on `text` is read for the file at path, as if it had been saved; path need not be a file
 * on disk yet.  Both are kept by the caller. */
void source_unsaved(struct source_set *set, const char *path, const char *text, size_t length);
uint32_t source_count(const struct source_set *set);
const struct source *source_get(const struct source_set *set, uint32_t file);
struct source_place source_place_get(const struct source_set *set, uint32_t file, uint32_t offset);

#endif
