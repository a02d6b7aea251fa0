/* digest.h - what a stream was made from, as SHA-256: docs/stream-format.md, "Digests". */
#ifndef BORELAY_DIGEST_H
#define BORELAY_DIGEST_H

#include "borelay/job.h"
#include "borelay/sha256.h"

/* Over, for each file in job->files order, its length in decimal, a newline, its bytes; then each
 * --set text with a newline. */
void digest_source(const struct source_set *sources, const struct job *job,
                   char text[SHA256_TEXT_SIZE]);
/* Over the resolved values of the cell as digest_cell_text() lays them out.  False: no memory. */
bool digest_cell(const struct cell *cell, char text[SHA256_TEXT_SIZE]);
/* That layout, a key a line; the caller frees.  NULL: no memory. */
char *digest_cell_text(const struct cell *cell);

#endif
