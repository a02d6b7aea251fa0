/* memory.h - memory of the editor's session that outlives an arena; without any left the process
 * ends with status 3, as an arena does. */
#ifndef EDITOR_MEMORY_H
#define EDITOR_MEMORY_H

#include <stddef.h>

void *memory_grow(void *old, size_t bytes);
/* A copy with a NUL behind it. */
char *memory_text(const char *text, size_t length);

#endif
