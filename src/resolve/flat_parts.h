/* flat_parts.h - the steps of making a flat block, between the files that take them. */
#ifndef RESOLVE_FLAT_PARTS_H
#define RESOLVE_FLAT_PARTS_H

#include "resolve/flat.h"

/* flat.c: the statement's block over a copy (NULL: none). */
struct flat *flat_make(struct resolver *r, const struct syn_statement *statement,
                       struct scope *scope, const struct block_kind *kind,
                       const struct flat *copied);

/* flat_misfit.c: what the block's kind does not hold is told. */
void flat_block_unknown(struct resolver *r, struct flat *flat,
                        const struct syn_statement *statement);
void flat_property_unknown(struct resolver *r, struct flat *flat,
                           const struct syn_statement *statement);
/* Does an inner block's head fit its kind?  Tells otherwise. */
bool flat_head_suits(struct resolver *r, const struct block_kind *kind,
                     const struct syn_statement *statement);
/* The key or block of that name is not missed; word may be NULL. */
void flat_misspelt_add(struct resolver *r, struct flat *flat, const char *word);

#endif
