/* crc32c_folding.c - with products without carries of eight words at a time (VPCLMULQDQ with
 * AVX-512, 2019).
 *
 * 256 bytes are held as a polynomial that leaves the same remainder as all bytes so far.  To take
 * the next 256 in, each word of 64 bits is multiplied by the power of x that carries it over them,
 * modulo the polynomial, and added.  In reflected words the lower half of 128 bits has the higher
 * powers: x^(2048 + 32) for it, x^(2048 - 32) for the upper half, each shifted by the bit that a
 * reflected product lies low.  What is held at the end is read as if it were the text.
 * Source: Gopal et al., "Fast CRC computation for generic polynomials using PCLMULQDQ instruction",
 * Intel 2009 (from memory); tests/digest/test_crc32c.c holds it to three others. */
#include "digest/crc32c_ways.h"

#if defined __x86_64__ && defined __GNUC__

#include <immintrin.h>

enum { WIDTH = 64, HELD = 4 * WIDTH, WORTH_WHILE = 1024 };

static const int64_t CARRY_LOWER = 0xdcb17aa4, CARRY_UPPER = 0xb9e02b86;

bool crc32c_has_folding(void) {
  return crc32c_has_instruction() && __builtin_cpu_supports("avx512f") &&
         __builtin_cpu_supports("vpclmulqdq");
}

#define FOLDING __attribute__((target("avx512f,vpclmulqdq")))

FOLDING static inline __m512i carry(__m512i held, __m512i carries, const uint8_t *bytes) {
  enum { SUM_OF_THREE = 0x96 };
  return _mm512_ternarylogic_epi64(_mm512_clmulepi64_epi128(held, carries, 0x00),
                                   _mm512_clmulepi64_epi128(held, carries, 0x11),
                                   _mm512_loadu_si512(bytes), SUM_OF_THREE);
}

/* length >= HELD.  How much of it has been read: less than HELD is left. */
FOLDING static size_t fold(uint32_t rest, const uint8_t *bytes, size_t length, uint8_t held[HELD]) {
  const __m512i carries = _mm512_set4_epi64(CARRY_UPPER, CARRY_LOWER, CARRY_UPPER, CARRY_LOWER);
  __m512i first = _mm512_zextsi128_si512(_mm_cvtsi32_si128((int)rest));
  __m512i a = _mm512_xor_si512(_mm512_loadu_si512(bytes), first);
  __m512i b = _mm512_loadu_si512(bytes + WIDTH), c = _mm512_loadu_si512(bytes + 2 * WIDTH);
  __m512i d = _mm512_loadu_si512(bytes + 3 * WIDTH);
  size_t at = HELD;
  for (; length - at >= HELD; at += HELD) {
    a = carry(a, carries, bytes + at);
    b = carry(b, carries, bytes + at + WIDTH);
    c = carry(c, carries, bytes + at + 2 * WIDTH);
    d = carry(d, carries, bytes + at + 3 * WIDTH);
  }
  _mm512_storeu_si512(held, a);
  _mm512_storeu_si512(held + WIDTH, b);
  _mm512_storeu_si512(held + 2 * WIDTH, c);
  _mm512_storeu_si512(held + 3 * WIDTH, d);
  return at;
}

uint32_t crc32c_by_folding(uint32_t rest, const uint8_t *bytes, size_t length) {
  uint8_t held[HELD];
  if (length < WORTH_WHILE)
    return crc32c_by_instruction(rest, bytes, length);
  size_t read = fold(rest, bytes, length, held);
  rest = crc32c_by_instruction(0, held, HELD);
  return crc32c_by_instruction(rest, bytes + read, length - read);
}

#else

bool crc32c_has_folding(void) {
  return false;
}

uint32_t crc32c_by_folding(uint32_t rest, const uint8_t *bytes, size_t length) {
  return crc32c_by_table(rest, bytes, length);
}

#endif
