/* table_heat.h - the parts of the table for people that tell of heat. */
#ifndef EMIT_TABLE_HEAT_H
#define EMIT_TABLE_HEAT_H

#include "borelay/emit.h"

/* Of one overlay of the plan, layer by layer: the energies, what starts and ends get, how fast it
 * cools, what the qualified ranges leave room for. */
void heat_print(const struct outcome *outcome, size_t overlay, FILE *to);

#endif
