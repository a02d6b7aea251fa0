/* crc32c.h - CRC-32C (Castagnoli): polynomial 0x1EDC6F41, reflected, start and end complemented. */
#ifndef BORELAY_CRC32C_H
#define BORELAY_CRC32C_H

#include <stddef.h>
#include <stdint.h>

/* CRC of what came before (0 at the start) and of `length` bytes more. */
uint32_t crc32c_more(uint32_t crc, const void *bytes, size_t length);
/* CRC of bytes with the CRC `first` and `length` bytes more, which alone have the CRC `second`. */
uint32_t crc32c_join(uint32_t first, uint32_t second, size_t length);

#endif
