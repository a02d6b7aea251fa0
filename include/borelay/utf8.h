/* utf8.h - code points of a text that need not be UTF-8. */
#ifndef BORELAY_UTF8_H
#define BORELAY_UTF8_H

#include <stddef.h>
#include <stdint.h>

/* Reads the code point at text, of which limit - text >= 1 bytes may be read.  Returns
 * its length in bytes, or 0 when the bytes are not UTF-8 (as RFC 3629 has it: nothing
 * overlong, no surrogates, nothing above U+10FFFF). */
size_t utf8_read(const uint8_t *text, const uint8_t *limit, uint32_t *code);

/* The first byte that is not UTF-8; limit when all is. */
const uint8_t *utf8_check(const uint8_t *text, const uint8_t *limit);

#endif
