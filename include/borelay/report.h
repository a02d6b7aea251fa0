/* report.h - one page for the reviewer who signs a revision: HTML that holds everything it shows.
 *
 * The page opens from a disk, without a network, and shows a job that was gone through to its
 * verdict, whether it passed or not.  docs/report.md tells what stands on it.  Same source, same
 * bytes: nothing of the time, the machine or the folder goes in. */
#ifndef BORELAY_REPORT_H
#define BORELAY_REPORT_H

#include <stddef.h>

#include "borelay/emit.h"

struct arena;

/* The whole page, UTF-8, `length` bytes and a NUL; the caller frees.  outcome->verdict is there;
 * the arena is for work under way. Without memory the process ends with status 3: no output file
 * may be open then. */
char *report_page(struct arena *arena, const struct outcome *outcome, size_t *length);

#endif
