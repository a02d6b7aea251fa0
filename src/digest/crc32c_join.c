/* crc32c_join.c - the CRC of two texts one behind the other, from the CRC of each.
 *
 * A remainder is a polynomial over two numbers, reflected: its highest bit is the power 0.  n bytes
 * behind the first text multiply its remainder by x^(8n) modulo the polynomial; that the start and
 * the end are complemented cancels out.  The power is put together from those of 2^k bytes.
 * tests/digest/test_crc32c.c. */
#include "borelay/crc32c.h"

static const uint32_t POLYNOMIAL = 0x82F63B78, ONE = 0x80000000, BYTE = 0x00800000; /* x^8 */

static uint32_t times(uint32_t a, uint32_t b) {
  uint32_t product = 0;
  for (uint32_t power = ONE; power; power >>= 1) {
    if (a & power)
      product ^= b;
    b = b >> 1 ^ (b & 1 ? POLYNOMIAL : 0);
  }
  return product;
}

uint32_t crc32c_join(uint32_t first, uint32_t second, size_t length) {
  for (uint32_t step = BYTE; length > 0; length >>= 1, step = times(step, step))
    if (length & 1)
      first = times(first, step);
  return first ^ second;
}
