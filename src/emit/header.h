/* header.h - the header lines, which both kinds of stream share. */
#ifndef EMIT_HEADER_H
#define EMIT_HEADER_H

#include "borelay/emit.h"

/* From `# borelay setpoints 1` to the newline of the last `# file`, of a job that passed; the
 * caller frees.  NULL: no memory. */
char *header_text(const struct outcome *outcome, size_t *length);

#endif
