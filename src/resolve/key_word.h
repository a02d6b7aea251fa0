/* key_word.h - keys whose value is one of a few words, or the name of a block. */
#ifndef RESOLVE_KEY_WORD_H
#define RESOLVE_KEY_WORD_H

#include "resolve/flat.h"

/* Both put it into target (NULL: only check).  False once told, or told before. */
bool key_word_read(struct resolver *r, const struct key *key, const struct syn_expr *expr,
                   void *target);
bool key_name_read(struct resolver *r, const struct flat_item *item, void *target);
/* The word at that place among the key's. */
void key_word_land(const struct key *key, int place, void *target);

/* A bare name that is no value: where a key takes a word besides, that may be meant. */
bool key_word_is_unknown(const struct flat_item *item);
/* Tells it, and gives false. */
bool key_word_or_value_unknown(struct resolver *r, const struct key *key,
                               const struct syn_expr *expr);

#endif
