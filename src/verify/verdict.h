/* verdict.h - what the judge says: a table for people, or JSON. */
#ifndef VERIFY_VERDICT_H
#define VERIFY_VERDICT_H

#include <stdio.h>

#include "borelay/sarif.h"
#include "borelay/verify.h"
#include "verify/finding.h"

struct verdict_head {
  const char *stream, *job_title, *mode;
  uint64_t rows;
  double duration;
};
void verdict_table(const struct findings *findings, const struct verdict_head *head, FILE *to);
/* false: no memory. */
bool verdict_json(const struct findings *findings, const struct verdict_head *head, FILE *to);
/* Faults, at most five of each check, and how many more. */
void verdict_faults(const struct findings *findings, const char *stream, FILE *to);
/* The same as findings for programs, those that are shown.  row_0: line of the file on which row 0
 * stands; 0: the rows of a binary stream stand on none. */
void verdict_sarif(const struct findings *findings, const char *stream, uint64_t row_0,
                   struct sarif *sarif);

#endif
