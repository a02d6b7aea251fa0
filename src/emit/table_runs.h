/* table_runs.h - the parts of the table for people that go run by run and lap by lap. */
#ifndef EMIT_TABLE_RUNS_H
#define EMIT_TABLE_RUNS_H

#include "borelay/emit.h"

/* Starts and stops of every layer: how many, and where each lies. */
void runs_print(const struct outcome *outcome, FILE *to);
/* Lengths that stay bare: sums for every layer by what keeps them bare, and each lap's own. */
void bare_print(const struct outcome *outcome, FILE *to);

/* Why a length stays bare, in one word: also in the summary. */
const char *bare_why(enum bare_kind kind);

#endif
