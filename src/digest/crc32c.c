/* crc32c.c - the fastest way that this machine has. */
#include "borelay/crc32c.h"

#include "digest/crc32c_ways.h"

static uint32_t by_fastest(uint32_t rest, const uint8_t *bytes, size_t length) {
  if (crc32c_has_folding())
    return crc32c_by_folding(rest, bytes, length);
  return crc32c_has_instruction() ? crc32c_by_instruction(rest, bytes, length)
                                  : crc32c_by_table(rest, bytes, length);
}

uint32_t crc32c_more(uint32_t crc, const void *bytes, size_t length) {
  return ~by_fastest(~crc, bytes, length);
}
