/* The three ways to a CRC-32C: half bytes, bytes, the machine's instruction.  The library has the
 * first, the program one of the others; here all are compiled. */
#include "small.h"

uint32_t crc_small(uint32_t crc, const uint8_t *bytes, size_t length);
uint32_t crc_fast(uint32_t crc, const uint8_t *bytes, size_t length);

#define TABLE           TABLE_SMALL
#define borelay_own_crc crc_small
#include "reader/crc.c" /* NOLINT(bugprone-suspicious-include) */
#undef TABLE
#undef borelay_own_crc

#define BORELAY_READER_FAST
#define borelay_own_crc crc_fast
#include "reader/crc.c" /* NOLINT(bugprone-suspicious-include) */
#undef borelay_own_crc

static uint32_t crc_table(uint32_t crc, const uint8_t *bytes, size_t length) {
  return ~crc_by_table(~crc, bytes, length);
}

static uint32_t (*const WAYS[])(uint32_t, const uint8_t *, size_t) = {crc_small, crc_fast,
                                                                      crc_table};
enum { WAY_COUNT = sizeof WAYS / sizeof WAYS[0] };

/* RFC 3720 (iSCSI), appendix B.4, "CRC Examples", given there as bytes, least first; "123456789" is
 * the customary check value of CRC-32C, from memory. */
static void test_known(void **state) {
  (void)state;
  uint8_t zeros[32] = {0}, ones[32], rising[32], falling[32];
  for (unsigned i = 0; i < 32; i++) {
    ones[i] = 0xff;
    rising[i] = (uint8_t)i;
    falling[i] = (uint8_t)(31 - i);
  }
  for (int i = 0; i < WAY_COUNT; i++) {
    assert_int_equal(WAYS[i](0, zeros, 32), 0x8a9136aa);
    assert_int_equal(WAYS[i](0, ones, 32), 0x62a8ab43);
    assert_int_equal(WAYS[i](0, rising, 32), 0x46dd794e);
    assert_int_equal(WAYS[i](0, falling, 32), 0x113fdb5c);
    assert_int_equal(WAYS[i](0, (const uint8_t *)"123456789", 9), 0xe3069283);
  }
}

/* Any length, from any address, in two parts: as the definition has it, bit by bit. */
static void test_lengths(void **state) {
  (void)state;
  uint8_t bytes[200];
  uint64_t seed = 99;
  for (size_t i = 0; i < sizeof bytes; i++)
    bytes[i] = (uint8_t)(small_random(&seed) >> 56);
  for (size_t from = 0; from < 9; from++)
    for (size_t length = 0; length + from <= sizeof bytes; length++) {
      uint32_t want = small_crc(bytes + from, length);
      size_t part = length * 3 / 7;
      for (int i = 0; i < WAY_COUNT; i++)
        assert_int_equal(
            WAYS[i](WAYS[i](0, bytes + from, part), bytes + from + part, length - part), want);
    }
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_known), cmocka_unit_test(test_lengths)};
  return cmocka_run_group_tests_name("reader crc", tests, NULL, NULL);
}
