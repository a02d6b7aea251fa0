/* SHA-256 against published vectors. */
#include "support/close.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/sha256.h"

static void expect_sha256(const void *bytes, size_t length, size_t step, const char *want) {
  struct sha256 sha;
  char got[SHA256_TEXT_SIZE];
  const char *at = bytes;
  sha256_begin(&sha);
  for (; length > step; length -= step, at += step)
    sha256_add(&sha, at, step);
  sha256_add(&sha, at, length);
  sha256_end(&sha, got);
  assert_string_equal(got, want);
}

/* NIST, example values for FIPS 180-4. */
static void test_sha256_of_texts(void **state) {
  (void)state;
  static const char *const ROWS[][2] = {
      {"", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"},
      {"abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"},
      {"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
       "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"},
      {"abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmn"
       "opq"
       "rsmnopqrstnopqrstu",
       "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1"}};
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++)
    for (size_t step = 1; step < 70; step += 23)
      expect_sha256(ROWS[i][0], strlen(ROWS[i][0]), step, ROWS[i][1]);
}

/* NIST: one million times "a"; and the lengths at which padding changes (recomputed elsewhere). */
static void test_sha256_of_runs(void **state) {
  (void)state;
  enum { MILLION = 1000000 };
  char *bytes = malloc(MILLION);
  assert_non_null(bytes);
  memset(bytes, 'a', MILLION);
  expect_sha256(bytes, MILLION, 4096,
                "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
  memset(bytes, 0, MILLION);
  expect_sha256(bytes, 55, 64, "02779466cdec163811d078815c633f21901413081449002f24aa3e80f0b88ef7");
  expect_sha256(bytes, 56, 64, "d4817aa5497628e7c77e6b606107042bbba3130888c5f47a375e6179be789fbb");
  expect_sha256(bytes, 64, 64, "f5a5fd42d16a20302798ef6ed309979b43003d2320d9f0e8ea9831a92759fb4b");
  free(bytes);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_sha256_of_texts),
      cmocka_unit_test(test_sha256_of_runs),
  };
  return cmocka_run_group_tests_name("digest sha256", tests, NULL, NULL);
}
