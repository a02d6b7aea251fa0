/* sha256.h - SHA-256 (FIPS 180-4) as text. */
#ifndef BORELAY_SHA256_H
#define BORELAY_SHA256_H

#include <stddef.h>

#include <nettle/sha2.h>

enum { SHA256_TEXT_SIZE = 2 * SHA256_DIGEST_SIZE + 1 };

struct sha256 {
  struct sha256_ctx context;
};

void sha256_begin(struct sha256 *sha);
void sha256_add(struct sha256 *sha, const void *bytes, size_t length);
void sha256_add_text(struct sha256 *sha, const char *text);
/* 64 hexadecimal digits in lower case, and a NUL. */
void sha256_end(struct sha256 *sha, char text[SHA256_TEXT_SIZE]);

#endif
