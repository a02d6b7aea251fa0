/* crc32c.c - the fastest way that this machine has. */
#include "borelay/crc32c.h"

#include "digest/crc32c_ways.h"

uint32_t crc32c_more(uint32_t crc, const void *bytes, size_t length) {
  return ~(crc32c_has_instruction() ? crc32c_by_instruction(~crc, bytes, length)
                                    : crc32c_by_table(~crc, bytes, length));
}
