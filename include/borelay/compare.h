/* compare.h - what changed between two jobs, and what that changes on the part.
 *
 * Two outcomes go in; nothing of them is changed.  docs/compare.md says what counts as a difference
 * and what the figures mean. */
#ifndef BORELAY_COMPARE_H
#define BORELAY_COMPARE_H

#include <stdbool.h>
#include <stdio.h>

#include "borelay/emit.h"
#include "borelay/sarif.h"

struct comparison;

/* One of the two jobs.  The outcome of a file that was read; a refused one is compared as far as it
 * goes. */
struct compare_side {
  const char *path; /* as given */
  struct outcome outcome;
};

/* All of it in the arena.  only_declared: leave out what the differences do to the part; outcomes
 * need not have gone farther than the job then. */
const struct comparison *comparison_make(struct arena *arena, const struct compare_side sides[2],
                                         bool only_declared);

enum comparison_result {
  COMPARISON_SAME,
  COMPARISON_DIFFERENT,
  COMPARISON_OPEN /* nothing differs in what could be read, but faults hide the rest */
};
enum comparison_result comparison_result(const struct comparison *comparison);

/* "passed", "refused", "no job": a file of declarations alone; "not judged": only_declared. */
const char *comparison_verdict(const struct comparison *comparison, int side);

/* Text for people. */
void comparison_print(const struct comparison *comparison, FILE *to);
/* JSON and a newline (docs/compare.md); the caller frees.  Without memory the process ends with
 * status 3. */
char *comparison_json(const struct comparison *comparison);

/* One self-contained page with both drawn over each other; no scripts.  The caller frees.  NULL: no
 * memory. */
char *comparison_page(const struct comparison *comparison, size_t *length);

/* -- streams ------------------------------------------------------------------------------- */

enum streams_end {
  STREAMS_SAME,
  STREAMS_DIFFERENT,
  STREAMS_FAILED /* one of them could not be read, or is none: told on standard error */
};

/* Two streams, text or binary, by what they say: text for people to `words`, JSON to `json`, either
 * of which may be NULL; why one could not be read also to the findings. */
enum streams_end compare_streams(const char *before, const char *after, FILE *words, FILE *json,
                                 struct sarif *findings);

#endif
