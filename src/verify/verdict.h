/* verdict.h - what the judge says: a table for people, or JSON. */
#ifndef VERIFY_VERDICT_H
#define VERIFY_VERDICT_H

#include <stdio.h>

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

#endif
