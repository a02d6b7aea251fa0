/* crc32c.c - the library counts in int and works on the complemented remainder; callers need not
 * know. */
#include "emit/crc32c.h"

#include <isa-l/crc.h>

enum { STEP = 1 << 30 };

uint32_t crc32c_more(uint32_t crc, const void *bytes, size_t length) {
  union { /* the library's prototype forgets const; it only reads */
    const void *given;
    unsigned char *wanted;
  } at = {.given = bytes};
  uint32_t rest = ~crc;
  for (; length > STEP; length -= STEP, at.wanted += STEP)
    rest = crc32_iscsi(at.wanted, STEP, rest);
  return ~(uint32_t)crc32_iscsi(at.wanted, (int)length, rest);
}
