/* tidy.h - the one canonical layout of a source file.
 *
 * Only blanks, line ends and semicolons change; words, their order and comments stay.  What the
 * layout is: docs/tidy.md. */
#ifndef BORELAY_TIDY_H
#define BORELAY_TIDY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct arena;
struct diag_list;
struct source_set;

/* Bytes, any of which may be NUL (a comment may hold one); in the arena that made them. */
struct tidy_text {
  const char *bytes;
  size_t length;
};

/* The layout of a whole file.  False: the file has faults of form, which are told; what stands
 * behind a fault cannot be laid out.  Names and values are not looked at, nor are files that it
 * uses. */
bool tidy_make(struct arena *arena, const struct source_set *sources, uint32_t file,
               struct diag_list *diags, struct tidy_text *made);

/* The first line, from 1, in which the file differs from `made`; 0: it is the same. */
uint32_t tidy_difference(const struct source_set *sources, uint32_t file,
                         const struct tidy_text *made);

#endif
