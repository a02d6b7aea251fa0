/* findings.h - what a command found, for who gathers findings, and failures that are told in both
 * ways. */
#ifndef BORELAY_FINDINGS_H
#define BORELAY_FINDINGS_H

#include "borelay/emit.h"
#include "borelay/sarif.h"
#include "command/command.h"

/* "borelay: cannot write out.html: ..." on standard error, and to the findings; "-" is standard
 * output where it is written. */
enum status tell_failure(struct sarif *sarif, const char *doing, const char *path, int error);

/* Writes them to path, NULL: nowhere, as those of a run that ends with `status`, and gives that.
 * The others appear together with them, or none does; where one cannot be written, that is told,
 * the findings come alone, and it gives STATUS_FILE_FAILED. */
enum status findings_give(struct sarif *sarif, const char *path, const struct output *others,
                          size_t count, enum status status);

#endif
