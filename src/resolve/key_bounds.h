/* key_bounds.h - what values a key allows. */
#ifndef RESOLVE_KEY_BOUNDS_H
#define RESOLVE_KEY_BOUNDS_H

#include "resolve/flat.h"

/* The value is of the key's kind and dimension.  False: it is told what is allowed. */
bool key_allows(struct resolver *r, const struct key *key, const struct value *value);
/* The same of a number in base units, without a word; false also where only a closer look tells. */
bool key_allows_plain(const struct key *key, double x);

#endif
