/* records.h - records of the binary stream whose rows differ in time and pose alone. */
#ifndef EMIT_RECORDS_H
#define EMIT_RECORDS_H

#include "borelay/steady.h"
#include "emit/setpoint.h"

enum {
  PROCESS_SIZE = BORELAY_RECORD_SIZE - 26, /* what follows the pose in a record */
  PROCESS_MOVE = 16,                       /* bytes in one move */
  RECORDS_SPARE = STEADY_LANES - 1         /* that much behind the last one may be written, too */
};

void records_put(uint8_t *at, const struct row_block *rows, size_t from, size_t count,
                 const uint8_t process[PROCESS_MOVE]);
/* Of ticks from number i on.  False: what stands there may be wrong in a last digit. */
bool records_put_steady(uint8_t *at, const struct steady_rows *rows, size_t i, size_t count,
                        const uint8_t process[PROCESS_MOVE]);

#endif
