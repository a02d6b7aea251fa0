/* crc32c_table.c - eight bytes at a time: what each of them leaves behind once the others have
 * followed it, looked up and added.
 *
 * What a byte leaves is the sum of what its bits leave, so eight words tell a slice of 256.  Bit 7
 * of the last byte leaves the polynomial, and each bit before it what one more step of the division
 * makes of that. */
#include "digest/crc32c_ways.h"

/* All sums with x of the words given, in the order of the bits that choose them. */
#define SUMS_1(x, a)                (x), (x) ^ (a)
#define SUMS_2(x, a, b)             SUMS_1(x, a), SUMS_1((x) ^ (b), a)
#define SUMS_3(x, a, b, c)          SUMS_2(x, a, b), SUMS_2((x) ^ (c), a, b)
#define SUMS_4(x, a, b, c, d)       SUMS_3(x, a, b, c), SUMS_3((x) ^ (d), a, b, c)
#define SUMS_5(x, a, b, c, d, e)    SUMS_4(x, a, b, c, d), SUMS_4((x) ^ (e), a, b, c, d)
#define SUMS_6(x, a, b, c, d, e, f) SUMS_5(x, a, b, c, d, e), SUMS_5((x) ^ (f), a, b, c, d, e)
#define SUMS_7(x, a, b, c, d, e, f, g)                                                             \
  SUMS_6(x, a, b, c, d, e, f), SUMS_6((x) ^ (g), a, b, c, d, e, f)
#define SLICE(a, b, c, d, e, f, g, h)                                                              \
  { SUMS_7(0U, a, b, c, d, e, f, g), SUMS_7(0U ^ (h), a, b, c, d, e, f, g) }

/* SLICES[k][byte]: the byte, and k bytes after it. */
static const uint32_t SLICES[8][256] = {
    SLICE(0xf26b8303, 0xe13b70f7, 0xc79a971f, 0x8ad958cf, 0x105ec76f, 0x20bd8ede, 0x417b1dbc,
          0x82f63b78),
    SLICE(0x13a29877, 0x274530ee, 0x4e8a61dc, 0x9d14c3b8, 0x3fc5f181, 0x7f8be302, 0xff17c604,
          0xfbc3faf9),
    SLICE(0xa541927e, 0x4f6f520d, 0x9edea41a, 0x38513ec5, 0x70a27d8a, 0xe144fb14, 0xc76580d9,
          0x8b277743),
    SLICE(0xdd45aab8, 0xbf672381, 0x7b2231f3, 0xf64463e6, 0xe964b13d, 0xd725148b, 0xaba65fe7,
          0x52a0c93f),
    SLICE(0x38116fac, 0x7022df58, 0xe045beb0, 0xc5670b91, 0x8f2261d3, 0x1ba8b557, 0x37516aae,
          0x6ea2d55c),
    SLICE(0xef306b19, 0xdb8ca0c3, 0xb2f53777, 0x6006181f, 0xc00c303e, 0x85f4168d, 0x0e045beb,
          0x1c08b7d6),
    SLICE(0x68032cc8, 0xd0065990, 0xa5e0c5d1, 0x4e2dfd53, 0x9c5bfaa6, 0x3d5b83bd, 0x7ab7077a,
          0xf56e0ef4),
    SLICE(0x493c7d27, 0x9278fa4e, 0x211d826d, 0x423b04da, 0x847609b4, 0x0d006599, 0x1a00cb32,
          0x34019664),
};

uint32_t crc32c_by_table(uint32_t rest, const uint8_t *bytes, size_t length) {
  for (; length >= 8; length -= 8, bytes += 8) {
    rest ^= (uint32_t)bytes[0] | (uint32_t)bytes[1] << 8 | (uint32_t)bytes[2] << 16 |
            (uint32_t)bytes[3] << 24;
    rest = SLICES[7][rest & 0xff] ^ SLICES[6][rest >> 8 & 0xff] ^ SLICES[5][rest >> 16 & 0xff] ^
           SLICES[4][rest >> 24] ^ SLICES[3][bytes[4]] ^ SLICES[2][bytes[5]] ^ SLICES[1][bytes[6]] ^
           SLICES[0][bytes[7]];
  }
  for (; length > 0; length--)
    rest = rest >> 8 ^ SLICES[0][(rest ^ *bytes++) & 0xff];
  return rest;
}
