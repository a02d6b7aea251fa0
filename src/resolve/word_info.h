/* word_info.h - functions as help reads them, from their own table. */
#ifndef RESOLVE_WORD_INFO_H
#define RESOLVE_WORD_INFO_H

#include "borelay/resolve.h"

size_t function_info_count(void);
struct word_info function_info_get(size_t index);

#endif
