/* text_block.h - many rows of the text stream at once. */
#ifndef EMIT_TEXT_BLOCK_H
#define EMIT_TEXT_BLOCK_H

#include "emit/setpoint.h"
#include "emit/text_row.h"

enum { TEXT_BLOCK_ROOM = POSES_MOST * TEXT_ROW_ROOM };

/* The rows of a block's ticks, the same as setpoint_make() and text_row_put() would make of each.
 * each: what each says; NULL: all say what the block says.  Writes to *to (TEXT_BLOCK_ROOM bytes)
 * and moves it to their end.  False: a figure that no stream can carry. */
bool text_block_put(struct text_row *text, struct setpoint *setpoint, struct tick_block *ticks,
                    const struct tick_values *each, char **to);

#endif
