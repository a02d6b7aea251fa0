/* findings.h - what a command found, for who gathers findings, and failures that are told in both
 * ways. */
#ifndef BORELAY_FINDINGS_H
#define BORELAY_FINDINGS_H

#include "borelay/sarif.h"
#include "command/command.h"

/* "borelay: cannot write out.html: ..." on standard error, and to the findings; "-" is standard
 * output where it is written. */
enum status tell_failure(struct sarif *sarif, const char *doing, const char *path, int error);

/* Writes them to path, NULL: nowhere, as those of a run that ends with `status`, and gives that; or
 * STATUS_FILE_FAILED, told. */
enum status findings_give(const struct sarif *sarif, const char *path, enum status status);

#endif
