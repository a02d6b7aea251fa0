/* flat.h - a block with everything that `like` brings worked in.
 *
 * Every key and inner block in it is known to the block's table; what is not was told.
 * Each item keeps the statement as written and the scope whose names it uses, so that a
 * copied value is worked out where it stands and messages point to it there. */
#ifndef RESOLVE_FLAT_H
#define RESOLVE_FLAT_H

#include "resolve/keys.h"

struct flat_item {
  const struct syn_statement *statement;
  struct scope *scope;
  const struct key *key;    /* of a property; NULL for an inner block */
  size_t place;             /* of the key among all that the block may have */
  const struct flat *block; /* an inner block; NULL for a property */
};

struct flat {
  const struct block_kind *kind;
  const struct syn_statement *statement;
  struct scope *scope;
  const char *name;            /* as written; NULL where it has none */
  const struct flat *copied;   /* what `like` copied: it was told already what that lacks */
  const struct flat *replaced; /* the nameless one of a copied block whose place this one takes */
  struct flat_item *items;
  size_t item_count;
  bool is_broken;        /* parts of it were lost and that was told: nothing more is missed in it */
  const char **misspelt; /* keys and blocks that an unknown word probably meant: not missed */
  size_t misspelt_count;
};

bool flat_is_misspelt(const struct flat *flat, const char *word);
/* Of `layer N`; false where the text is not a whole number of sensible size. */
bool layer_number(const char *text, size_t *number);

/* The declared block, NULL where its kind is not handled or a cycle was told. */
const struct flat *flat_get(struct resolver *r, struct decl *decl, span wanted_at);

#endif
