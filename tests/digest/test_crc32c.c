/* CRC-32C against published vectors, against its polynomial bit by bit, and against the library
 * isa-l; each way that src/digest has. */
#include "support/close.h"

#include <stdlib.h>
#include <string.h>

#include <isa-l/crc.h>

#include "borelay/crc32c.h"
#include "digest/crc32c_ways.h"
#include "support/random.h"

static void test_crc32c_of_texts(void **state) {
  (void)state;
  /* "123456789": check value of CRC-32/ISCSI in the public catalogues of CRC parameters, which is
   * not that of plain CRC-32, CBF43926.  The others: recomputed bit by bit from the polynomial. */
  static const struct {
    const char *text;
    uint32_t want;
  } ROWS[] = {{"", 0},
              {"123456789", 0xE3069283},
              {"a", 0xC1D04330},
              {"abc", 0x364B3FB7},
              {"The quick brown fox jumps over the lazy dog", 0x22620404}};
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
    assert_int_equal(crc32c_more(0, ROWS[i].text, strlen(ROWS[i].text)), ROWS[i].want);
}

/* RFC 3720 (iSCSI), appendix B.4; the RFC prints the bytes in wire order. */
static void test_crc32c_of_rfc_3720(void **state) {
  (void)state;
  uint8_t bytes[32];
  memset(bytes, 0, sizeof bytes);
  assert_int_equal(crc32c_more(0, bytes, 32), 0x8A9136AA);
  memset(bytes, 0xFF, sizeof bytes);
  assert_int_equal(crc32c_more(0, bytes, 32), 0x62A8AB43);
  for (int i = 0; i < 32; i++)
    bytes[i] = (uint8_t)i;
  assert_int_equal(crc32c_more(0, bytes, 32), 0x46DD794E);
  for (int i = 0; i < 32; i++)
    bytes[i] = (uint8_t)(31 - i);
  assert_int_equal(crc32c_more(0, bytes, 32), 0x113FDB5C);
  static const uint8_t READ_PDU[48] = {
      0x01, 0xc0, 0, 0,    0, 0, 0, 0,    0,    0, 0, 0, 0, 0, 0, 0, 0x14, 0, 0, 0, 0, 0, 0x04, 0,
      0,    0,    0, 0x14, 0, 0, 0, 0x18, 0x28, 0, 0, 0, 0, 0, 0, 0, 0x02, 0, 0, 0, 0, 0, 0,    0};
  assert_int_equal(crc32c_more(0, READ_PDU, 48), 0xD9963A56);
}

/* A message followed by its own CRC, low byte first, leaves the same remainder always. */
static void test_crc32c_in_parts(void **state) {
  (void)state;
  static const char TEXT[] = "0.008000,100.000000,-20.500000,1050.000000,0.000000";
  size_t length = strlen(TEXT);
  uint32_t whole = crc32c_more(0, TEXT, length);
  for (size_t cut = 0; cut <= length; cut++)
    assert_int_equal(crc32c_more(crc32c_more(0, TEXT, cut), TEXT + cut, length - cut), whole);
  uint8_t own[4] = {(uint8_t)whole, (uint8_t)(whole >> 8), (uint8_t)(whole >> 16),
                    (uint8_t)(whole >> 24)};
  assert_int_equal(crc32c_more(whole, own, 4), 0x48674BC7);
}

/* -- each way against the division itself and against isa-l --------------------------------------
 */

enum { BYTES = 5000, SHORT_MOST = 300, PLACES = 16 };

static uint32_t by_division(uint32_t rest, const uint8_t *bytes, size_t length) {
  for (size_t i = 0; i < length; i++) {
    rest ^= bytes[i];
    for (int bit = 0; bit < 8; bit++)
      rest = rest >> 1 ^ (rest & 1 ? 0x82F63B78 : 0);
  }
  return rest;
}

static uint32_t by_isal(uint32_t rest, uint8_t *bytes, size_t length) {
  return crc32_iscsi(bytes, (int)length, rest);
}

static uint32_t whole_way(uint32_t rest, const uint8_t *bytes, size_t length) {
  return ~crc32c_more(~rest, bytes, length);
}

/* Those that this machine has. */
static size_t ways_get(uint32_t (*ways[4])(uint32_t, const uint8_t *, size_t)) {
  size_t count = 0;
  ways[count++] = whole_way;
  ways[count++] = crc32c_by_table;
  if (crc32c_has_instruction())
    ways[count++] = crc32c_by_instruction;
  if (crc32c_has_folding())
    ways[count++] = crc32c_by_folding;
  return count;
}

/* Exactly as long as asked, so that a sanitizer sees a read beyond. */
static uint8_t *bytes_make(struct random *random, size_t length) {
  uint8_t *bytes = malloc(length + 1);
  assert_non_null(bytes);
  for (size_t i = 0; i < length; i++)
    bytes[i] = (uint8_t)random_bits(random);
  return bytes;
}

static void test_short_lengths_at_each_place(void **state) {
  (void)state;
  uint32_t (*ways[4])(uint32_t, const uint8_t *, size_t);
  size_t way_count = ways_get(ways);
  struct random random = {20};
  uint8_t *bytes = bytes_make(&random, SHORT_MOST + PLACES);
  for (size_t place = 0; place < PLACES; place++)
    for (size_t length = 0; length <= SHORT_MOST; length++) {
      uint32_t rest = (uint32_t)random_bits(&random);
      uint32_t want = by_division(rest, bytes + place, length);
      assert_int_equal(by_isal(rest, bytes + place, length), want);
      for (size_t k = 0; k < way_count; k++)
        assert_int_equal(ways[k](rest, bytes + place, length), want);
    }
  free(bytes);
}

/* Around every length at which another stretch is read. */
static void test_long_lengths(void **state) {
  (void)state;
  uint32_t (*ways[4])(uint32_t, const uint8_t *, size_t);
  size_t way_count = ways_get(ways);
  struct random random = {21};
  uint8_t *bytes = bytes_make(&random, BYTES);
  for (size_t length = 500; length <= BYTES; length += length % 256 < 12 ? 1 : 7) {
    uint32_t want = by_division(0xFFFFFFFF, bytes, length);
    assert_int_equal(by_isal(0xFFFFFFFF, bytes, length), want);
    for (size_t k = 0; k < way_count; k++)
      assert_int_equal(ways[k](0xFFFFFFFF, bytes, length), want);
  }
  free(bytes);
}

/* Cut at random and read part by part, by another way each. */
static void test_random_splits(void **state) {
  (void)state;
  uint32_t (*ways[4])(uint32_t, const uint8_t *, size_t);
  size_t way_count = ways_get(ways);
  struct random random = {22};
  uint8_t *bytes = bytes_make(&random, BYTES);
  uint32_t want = by_division(0xFFFFFFFF, bytes, BYTES);
  for (int i = 0; i < 300; i++) {
    uint32_t rest = 0xFFFFFFFF;
    for (size_t at = 0, length; at < BYTES; at += length) {
      length = (size_t)random_whole(&random, 0, i % 2 ? 60 : 2500);
      length = length < BYTES - at ? length : BYTES - at;
      rest = ways[random_whole(&random, 0, (int)way_count - 1)](rest, bytes + at, length);
    }
    assert_int_equal(rest, want);
  }
  free(bytes);
}

/* The CRC of two parts is that of the whole, whatever is in them. */
static void test_join(void **state) {
  (void)state;
  struct random random = {23};
  uint8_t *bytes = bytes_make(&random, BYTES);
  for (int i = 0; i < 2000; i++) {
    size_t length = (size_t)random_whole(&random, 0, i % 2 ? 40 : BYTES);
    size_t cut = (size_t)random_whole(&random, 0, (int)length);
    uint32_t first = crc32c_more(0, bytes, cut), second = crc32c_more(0, bytes + cut, length - cut);
    assert_int_equal(crc32c_join(first, second, length - cut), crc32c_more(0, bytes, length));
  }
  free(bytes);
}

/* Twice so many bytes behind it are once as many and once as many again, however many. */
static void test_join_of_long_texts(void **state) {
  (void)state;
  struct random random = {24};
  for (size_t length = 1; length <= SIZE_MAX / 2; length *= 2) {
    uint32_t first = (uint32_t)random_bits(&random);
    uint32_t once = crc32c_join(first, 0, length), more = crc32c_join(first, 0, 2 * length - 1);
    assert_int_equal(crc32c_join(first, 0, 2 * length), crc32c_join(once, 0, length));
    assert_int_equal(crc32c_join(first, 0, 2 * length), crc32c_join(more, 0, 1));
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_join),
      cmocka_unit_test(test_join_of_long_texts),
      cmocka_unit_test(test_crc32c_of_texts),
      cmocka_unit_test(test_crc32c_of_rfc_3720),
      cmocka_unit_test(test_crc32c_in_parts),
      cmocka_unit_test(test_short_lengths_at_each_place),
      cmocka_unit_test(test_long_lengths),
      cmocka_unit_test(test_random_splits),
  };
  return cmocka_run_group_tests_name("digest crc32c", tests, NULL, NULL);
}
