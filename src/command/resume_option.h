/* resume_option.h - the value of --resume. */
#ifndef BORELAY_RESUME_OPTION_H
#define BORELAY_RESUME_OPTION_H

#include "borelay/pipeline.h"

/* false: `why` says what is wrong, in at most `size` bytes. */
bool resume_option_read(const char *text, struct resume_option *option, char *why, size_t size);

#endif
