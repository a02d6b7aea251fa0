/* crc32c_instruction.c - with the instruction of x86-64 processors (SSE4.2, 2008).
 *
 * It takes three cycles, but a new one may begin at each, so long texts are read at three places at
 * once.  A remainder is then carried over the bytes that the others have read: multiplied by x^(8n)
 * modulo the polynomial.  A product without carries (PCLMULQDQ, 2010) of two reflected words of 32
 * bits lies one bit low, and the instruction itself multiplies by x^32 while it reduces; so the
 * factors are x^(8n - 33).
 * Source: Gopal et al., "Fast CRC computation for iSCSI polynomial using CRC32 instruction", Intel
 * 2011 (from memory); tests/digest/test_crc32c.c holds it to two others. */
#include "borelay/processor.h"
#include "digest/crc32c_ways.h"

#if defined __x86_64__ && defined __GNUC__

#include <immintrin.h>
#include <string.h>

enum { STRETCH = 256 }; /* bytes at each of the three places; longer ones gain little */

static const int64_t OVER_ONE = 0xb9e02b86, OVER_TWO = 0xdd7e3b0c; /* x^(8n - 33), n in stretches */

bool crc32c_has_instruction(void) {
  return PROCESSOR_HAS(SSE4_2, "sse4.2") && PROCESSOR_HAS(PCLMULQDQ, "pclmul");
}

static uint64_t eight_at(const uint8_t *bytes) {
  uint64_t eight;
  memcpy(&eight, bytes, sizeof eight);
  return eight;
}

__attribute__((target("sse4.2,pclmul"))) static uint64_t times(uint64_t rest, int64_t factor) {
  __m128i product =
      _mm_clmulepi64_si128(_mm_cvtsi64_si128((int64_t)rest), _mm_cvtsi64_si128(factor), 0);
  return _mm_crc32_u64(0, (uint64_t)_mm_cvtsi128_si64(product));
}

__attribute__((target("sse4.2,pclmul"))) static uint64_t three_stretches(uint64_t rest,
                                                                         const uint8_t *bytes) {
  uint64_t first = rest, second = 0, third = 0;
  for (const uint8_t *end = bytes + STRETCH; bytes < end; bytes += 8) {
    first = _mm_crc32_u64(first, eight_at(bytes));
    second = _mm_crc32_u64(second, eight_at(bytes + STRETCH));
    third = _mm_crc32_u64(third, eight_at(bytes + 2 * STRETCH));
  }
  return times(first, OVER_TWO) ^ times(second, OVER_ONE) ^ third;
}

__attribute__((target("sse4.2,pclmul"))) uint32_t
crc32c_by_instruction(uint32_t rest, const uint8_t *bytes, size_t length) {
  uint64_t wide = rest;
  for (; length >= 3 * STRETCH; length -= 3 * STRETCH, bytes += 3 * STRETCH)
    wide = three_stretches(wide, bytes);
  for (; length >= 8; length -= 8, bytes += 8)
    wide = _mm_crc32_u64(wide, eight_at(bytes));
  if (length >= 4) {
    uint32_t four;
    memcpy(&four, bytes, sizeof four);
    wide = _mm_crc32_u32((uint32_t)wide, four);
    length -= 4;
    bytes += 4;
  }
  for (; length > 0; length--)
    wide = _mm_crc32_u8((uint32_t)wide, *bytes++);
  return (uint32_t)wide;
}

#else

bool crc32c_has_instruction(void) {
  return false;
}

uint32_t crc32c_by_instruction(uint32_t rest, const uint8_t *bytes, size_t length) {
  return crc32c_by_table(rest, bytes, length);
}

#endif
