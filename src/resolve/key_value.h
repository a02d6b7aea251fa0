/* key_value.h - one key's value: does it suit, and where does it land? */
#ifndef RESOLVE_KEY_VALUE_H
#define RESOLVE_KEY_VALUE_H

#include "resolve/flat.h"

/* Works out the property's value, checks it against its key and puts it into target
 * (NULL: only checks).  False once told, or told before. */
bool key_value_read(struct resolver *r, const struct flat_item *item, void *target);
/* The key's default, where it is a plain value or word. */
void key_default_land(struct resolver *r, const struct key *key, void *target);

#endif
