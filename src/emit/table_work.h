/* table_work.h - the part of the table for people that tells what the job takes. */
#ifndef EMIT_TABLE_WORK_H
#define EMIT_TABLE_WORK_H

#include "borelay/emit.h"

/* Time, wire, gas, starts, deposition rate: in all, by overlay and by procedure. */
void work_print(const struct outcome *outcome, FILE *to);

#endif
