/* crew.h - numbered pieces of work, shared among threads. */
#ifndef BORELAY_CREW_H
#define BORELAY_CREW_H

#include <stddef.h>

typedef void crew_work(void *context, size_t index);

/* Calls work(context, i) once for every i < count and comes back when all are done.  Up to `hands`
 * threads take them in order; with one, or where none can be started, the caller does them itself.
 * The pieces share what context points to, and must not write to the same things in it. */
void crew_run(size_t hands, size_t count, crew_work *work, void *context);

/* Processors that this process may use, at least 1. */
size_t crew_hands(void);

#endif
