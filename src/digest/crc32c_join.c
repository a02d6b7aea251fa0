/* crc32c_join.c - the CRC of two texts one behind the other, from the CRC of each.
 *
 * A remainder is a polynomial over two numbers, reflected: its highest bit is the power 0.  n bytes
 * behind the first text multiply its remainder by x^(8n) modulo the polynomial; that the start and
 * the end are complemented cancels out.  The power is put together from those of 2^k bytes.
 * tests/digest/test_crc32c.c. */
#include "borelay/crc32c.h"

static const uint32_t POLYNOMIAL = 0x82F63B78, ONE = 0x80000000;

/* x^(8 2^k), each the square of the one before; the square of the last is the first again. */
enum { POWERS = 31 };
static const uint32_t BYTES[POWERS] = {
    0x00800000, 0x00008000, 0x82f63b78, 0x6ea2d55c, 0x18b8ea18, 0x510ac59a, 0xb82be955, 0xb8fdb1e7,
    0x88e56f72, 0x74c360a4, 0xe4172b16, 0x0d65762a, 0x35d73a62, 0x28461564, 0xbf455269, 0xe2ea32dc,
    0xfe7740e6, 0xf946610b, 0x3c204f8f, 0x538586e3, 0x59726915, 0x734d5309, 0xbc1ac763, 0x7d0722cc,
    0xd289cabe, 0xe94ca9bc, 0x05b74f3f, 0xa51e1f42, 0x40000000, 0x20000000, 0x08000000};

static uint32_t times(uint32_t a, uint32_t b) {
  uint32_t product = 0;
  for (uint32_t power = ONE; power; power >>= 1) {
    product ^= a & power ? b : 0;
    b = b >> 1 ^ (b & 1 ? POLYNOMIAL : 0);
  }
  return product;
}

uint32_t crc32c_join(uint32_t first, uint32_t second, size_t length) {
  for (int k = 0; length > 0; length >>= 1, k = k + 1 < POWERS ? k + 1 : 0)
    if (length & 1)
      first = times(first, BYTES[k]);
  return first ^ second;
}
