/* key_field.h - where in a draft a key's value lands: offsets count from 1, 0 is none. */
#ifndef RESOLVE_KEY_FIELD_H
#define RESOLVE_KEY_FIELD_H

#include <stdbool.h>
#include <stddef.h>

static inline void *field(void *target, size_t at) {
  return (char *)target + at - 1;
}

static inline void land_bool(void *target, size_t at, bool flag) {
  if (at)
    *(bool *)field(target, at) = flag;
}

#endif
