/* key_meant.h - which key a word that is none was probably meant for. */
#ifndef RESOLVE_KEY_MEANT_H
#define RESOLVE_KEY_MEANT_H

#include "borelay/diag.h"
#include "resolve/flat.h"

/* Gives the message its help: the key or inner block meant, those that share a word with it, or all
 * that there are.  Returns the one meant, or NULL. */
const char *key_meant_help(struct resolver *r, const struct block_kind *kind, const char *word,
                           struct diag *diag);

#endif
