/* sarif.h - what a run found, as SARIF 2.1.0 (docs/messages.md, "For programs"): a log of one run,
 * for programs that gather findings.
 *
 * Without memory the process ends with status 3, as an arena does. */
#ifndef BORELAY_SARIF_H
#define BORELAY_SARIF_H

#include <stddef.h>
#include <stdint.h>

#include "borelay/diag.h"
#include "borelay/source.h"

struct sarif;
struct sarif *sarif_new(void);
/* NULL is none. */
void sarif_free(struct sarif *sarif);

/* Every message told, in its order, without a limit on their number: who reads it is no person at a
 * terminal.  Columns count code points, as the messages themselves do.  where: at which values of
 * params, "size=160mm"; NULL: no matter. */
void sarif_add_diags(struct sarif *sarif, const struct source_set *sources,
                     const struct diag_list *diags, const char *where);

/* An error in a file that is no source. */
struct sarif_finding {
  const char *rule, *about; /* "tip-path", and what that is in a line */
  const char *message;
  const char *path; /* of the file; NULL: of none */
  uint64_t line;    /* of the file, from 1; 0: none */
  const char *name; /* of the place: "row 17"; NULL: none */
};
void sarif_add(struct sarif *sarif, const struct sarif_finding *finding);

/* What kept the run from its end: "cannot write out.csv: No space left on device". */
void sarif_fail(struct sarif *sarif, const char *text);

/* All of the other behind what is there.  What is the same but for its `where` becomes one, that
 * tells how often it occurred and where first. */
void sarif_join(struct sarif *sarif, struct sarif *other);

/* JSON and a newline; the caller frees.  exit_status: of the program. */
char *sarif_text(const struct sarif *sarif, int exit_status);

#endif
