/* declared.h (resolve) - shared by the files that make the view of what is declared. */
#ifndef RESOLVE_DECLARED_H
#define RESOLVE_DECLARED_H

#include "borelay/declared.h"
#include "resolve/flat.h"

/* The value of a key as its statement gives it. */
struct declared_value declared_value_of(struct resolver *r, const struct flat_item *item);
/* Of an expression that was worked out to `value`. */
struct declared_value declared_value_from(struct resolver *r, struct scope *scope,
                                          const struct syn_expr *expr, const struct value *value,
                                          enum quantity usual);
/* What a key comes to that is not given; false: nothing.  block: its other keys, given ones
 * first. */
bool declared_default(struct resolver *r, const struct key *key, const struct declared_block *block,
                      struct declared_value *value);

/* What a param's value is worked out from, and with which names: a setting, or its default. */
const struct syn_expr *declared_param_source(const struct decl *decl, struct scope **scope);

/* Sets is_used; flats[i]: of blocks[i], NULL for a param. */
void declared_mark_used(struct resolver *r, struct declared *view, const struct flat *const *flats);

/* "procedure"; NULL where the key names nothing. */
const char *declared_refers(const struct key *key);

#endif
