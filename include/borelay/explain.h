/* explain.h - what a key, a block, a check, a unit, a code of a message or a word means, as the
 * tables of the stages tell it. */
#ifndef BORELAY_EXPLAIN_H
#define BORELAY_EXPLAIN_H

#include <stdbool.h>
#include <stdio.h>

/* Everything that bears that name, one after the other with a blank line between: `current` is a
 * key of three blocks, `clearance` a key and a check.  A code is written E0312, e312 or 312. False:
 * nothing bears it, and nothing was printed. */
bool explain_word(const char *word, FILE *to);
/* The nearest word of which something is known, or NULL. */
const char *explain_suggest(const char *word);

/* One of them; lines of at most 100 columns.  False: there is none. */
bool explain_key(const char *block, const char *key, FILE *to); /* block as in struct key_info */
bool explain_block(const char *block, FILE *to);
bool explain_unit(const char *name, FILE *to);
bool explain_reserved(const char *word, FILE *to); /* reserved words and functions */

#endif
