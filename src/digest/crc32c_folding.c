/* crc32c_folding.c - with products without carries of eight words at a time (VPCLMULQDQ with
 * AVX-512, 2019).
 *
 * 256 bytes are held as a polynomial that leaves the same remainder as all bytes so far.  To take
 * the next 256 in, each word of 64 bits is multiplied by the power of x that carries it over them,
 * modulo the polynomial, and added.  In reflected words the lower half of 128 bits has the higher
 * powers: x^(2048 + 32) for it, x^(2048 - 32) for the upper half, each shifted by the bit that a
 * reflected product lies low.  At the end the first 64 held bytes are carried over the second,
 * those over the third and the fourth likewise, and what is left is read as if it were the text.
 * Source: Gopal et al., "Fast CRC computation for generic polynomials using PCLMULQDQ instruction",
 * Intel 2009 (from memory); tests/digest/test_crc32c.c holds it to three others. */
#include "borelay/processor.h"
#include "digest/crc32c_ways.h"

#if defined __x86_64__ && defined __GNUC__

#include <immintrin.h>

enum { WIDTH = 64, HELD = 4 * WIDTH, WORTH_WHILE = 1024 };

/* x^(8n + 32) and x^(8n - 32), shifted, n being HELD and WIDTH. */
static const int64_t HELD_LOWER = 0xdcb17aa4, HELD_UPPER = 0xb9e02b86;
static const int64_t WIDTH_LOWER = 0x740eef02, WIDTH_UPPER = 0x9e4addf8;

bool crc32c_has_folding(void) {
  return crc32c_has_instruction() && PROCESSOR_HAS(AVX512F, "avx512f") &&
         PROCESSOR_HAS(VPCLMULQDQ, "vpclmulqdq");
}

#define FOLDING __attribute__((target("avx512f,vpclmulqdq")))

FOLDING static inline __m512i carry(__m512i held, __m512i powers, __m512i next) {
  enum { SUM_OF_THREE = 0x96 };
  return _mm512_ternarylogic_epi64(_mm512_clmulepi64_epi128(held, powers, 0x00),
                                   _mm512_clmulepi64_epi128(held, powers, 0x11), next,
                                   SUM_OF_THREE);
}

FOLDING static inline __m512i load(const uint8_t *bytes) {
  return _mm512_loadu_si512(bytes);
}

/* length: a multiple of HELD, and not none.  Leaves what has that remainder. */
FOLDING static void fold(uint32_t rest, const uint8_t *bytes, size_t length, uint8_t left[WIDTH]) {
  const __m512i far = _mm512_set4_epi64(HELD_UPPER, HELD_LOWER, HELD_UPPER, HELD_LOWER);
  const __m512i near = _mm512_set4_epi64(WIDTH_UPPER, WIDTH_LOWER, WIDTH_UPPER, WIDTH_LOWER);
  __m512i first = _mm512_zextsi128_si512(_mm_cvtsi32_si128((int)rest));
  __m512i a = _mm512_xor_si512(load(bytes), first), b = load(bytes + WIDTH);
  __m512i c = load(bytes + 2 * WIDTH), d = load(bytes + 3 * WIDTH);
  for (size_t at = HELD; at < length; at += HELD) {
    a = carry(a, far, load(bytes + at));
    b = carry(b, far, load(bytes + at + WIDTH));
    c = carry(c, far, load(bytes + at + 2 * WIDTH));
    d = carry(d, far, load(bytes + at + 3 * WIDTH));
  }
  _mm512_storeu_si512(left, carry(carry(carry(a, near, b), near, c), near, d));
}

/* The odd bytes first: their chain of instructions runs beside the products. */
uint32_t crc32c_by_folding(uint32_t rest, const uint8_t *bytes, size_t length) {
  uint8_t left[WIDTH];
  if (length < WORTH_WHILE)
    return crc32c_by_instruction(rest, bytes, length);
  size_t odd = length % HELD;
  fold(crc32c_by_instruction(rest, bytes, odd), bytes + odd, length - odd, left);
  return crc32c_by_instruction(0, left, WIDTH);
}

#else

bool crc32c_has_folding(void) {
  return false;
}

uint32_t crc32c_by_folding(uint32_t rest, const uint8_t *bytes, size_t length) {
  return crc32c_by_table(rest, bytes, length);
}

#endif
