/* sha256.c - a thin coat over the library, so that callers see text only. */
#include "borelay/sha256.h"

#include <string.h>

void sha256_begin(struct sha256 *sha) {
  sha256_init(&sha->context);
}

void sha256_add(struct sha256 *sha, const void *bytes, size_t length) {
  sha256_update(&sha->context, length, bytes);
}

void sha256_add_text(struct sha256 *sha, const char *text) {
  sha256_add(sha, text, strlen(text));
}

void sha256_end(struct sha256 *sha, char text[SHA256_TEXT_SIZE]) {
  static const char HEX[] = "0123456789abcdef";
  uint8_t digest[SHA256_DIGEST_SIZE];
  sha256_digest(&sha->context, sizeof digest, digest);
  for (size_t i = 0; i < sizeof digest; i++) {
    text[2 * i] = HEX[digest[i] >> 4];
    text[2 * i + 1] = HEX[digest[i] & 15];
  }
  text[SHA256_TEXT_SIZE - 1] = '\0';
}
