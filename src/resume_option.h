/* resume_option.h - the value of --resume. */
#ifndef BORELAY_RESUME_OPTION_H
#define BORELAY_RESUME_OPTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

struct resume_option {
  char overlay[128]; /* as the job reaches it */
  int64_t layer, lap;
  bool has_along;
  double along; /* mm on the shape */
};

/* false: `why` says what is wrong, in at most `size` bytes. */
bool resume_option_read(const char *text, struct resume_option *option, char *why, size_t size);

#endif
