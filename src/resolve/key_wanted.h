/* key_wanted.h - what a key wants, in words. */
#ifndef RESOLVE_KEY_WANTED_H
#define RESOLVE_KEY_WANTED_H

#include "resolve/flat.h"

/* "a speed", "a range of length, or the word endless" */
const char *key_wanted(struct resolver *r, const struct key *key);
/* Tells that the key wants something else than what is found, and what to write.  Gives false. */
bool key_wrong(struct resolver *r, const struct flat_item *item, enum diag_code code,
               const struct value *value, const char *found);

#endif
