/* table_buildup.h - the part of the table for people that tells what lies on the wall. */
#ifndef EMIT_TABLE_BUILDUP_H
#define EMIT_TABLE_BUILDUP_H

#include "borelay/emit.h"

/* Of one overlay (from 0): bead, layer, build-up and bore layer by layer; then least, mean, most.
 */
void buildup_print(const struct outcome *outcome, size_t overlay, FILE *to);

#endif
