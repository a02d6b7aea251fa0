/* crc32c_ways.h - the ways to the same CRC-32C, for crc32c.c and the tests.
 *
 * All take and give the remainder as it stands between bytes, not complemented. */
#ifndef DIGEST_CRC32C_WAYS_H
#define DIGEST_CRC32C_WAYS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* On any machine, eight bytes at a time. */
uint32_t crc32c_by_table(uint32_t rest, const uint8_t *bytes, size_t length);

/* Whether this machine has the instructions of another way. */
bool crc32c_has_instruction(void);
/* Only where it has. */
uint32_t crc32c_by_instruction(uint32_t rest, const uint8_t *bytes, size_t length);

/* Both instructions and wider ones that multiply without carries; likewise. */
bool crc32c_has_folding(void);
uint32_t crc32c_by_folding(uint32_t rest, const uint8_t *bytes, size_t length);

#endif
