/* What does not belong into a block: told with what was probably meant, and that is then
 * not missed besides. */
#include <stdlib.h>
#include <string.h>

#include "borelay/suggest.h"
#include "resolve/flat_parts.h"
#include "resolve/key_meant.h"

void flat_misspelt_add(struct resolver *r, struct flat *flat, const char *word) {
  if (word)
    flat->misspelt =
        list_append(r->arena, flat->misspelt, &flat->misspelt_count, &word, sizeof(word));
}

bool flat_is_misspelt(const struct flat *flat, const char *word) {
  for (size_t i = 0; i < flat->misspelt_count; i++)
    if (strcmp(flat->misspelt[i], word) == 0)
      return true;
  return false;
}

static void key_unknown(struct resolver *r, struct flat *flat,
                        const struct syn_statement *statement) {
  const struct block_kind *kind = flat->kind;
  struct diag *diag = diag_error(r->diags, DIAG_KEY_UNKNOWN, syn_key_at(statement),
                                 "`%s` has no key `%s`", kind->name, statement->key);
  flat_misspelt_add(r, flat, key_meant_help(r, kind, statement->key, diag));
}

void flat_block_unknown(struct resolver *r, struct flat *flat,
                        const struct syn_statement *statement) {
  const struct block_kind *kind = flat->kind;
  const char *word = statement->key;
  flat_misspelt_add(r, flat, word);
  if (key_find(kind, word) && !inner_word_exists(kind, word)) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->head, "%s takes a value, not a block",
               word);
    return;
  }
  if (inner_word_exists(kind, word)) { /* of fixed names: the name does not fit */
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->head,
               "`%s` wants one of the names x y z head", word);
    return;
  }
  struct suggest near = suggest_begin(word);
  for (size_t i = 0; kind->inner && kind->inner[i]; i++)
    suggest_offer(&near, kind->inner[i]->word);
  struct diag *diag = diag_error(r->diags, DIAG_BLOCK_UNKNOWN, syn_key_at(statement),
                                 "`%s` holds no block `%s`", kind->name, word);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  flat_misspelt_add(r, flat, near.best);
}

void flat_property_unknown(struct resolver *r, struct flat *flat,
                           const struct syn_statement *statement) {
  const char *word = statement->key;
  if (!inner_word_exists(flat->kind, word)) {
    key_unknown(r, flat, statement);
    return;
  }
  flat_misspelt_add(r, flat, word);
  struct diag *diag = diag_error(r->diags, DIAG_BLOCK_FORM, syn_key_at(statement),
                                 "%s is a block, not a value", word);
  diag_help(diag, "write `%s { ... }`", word);
}

bool layer_number(const char *text, size_t *number) {
  size_t length = strlen(text);
  if (length == 0 || length > 6 || strspn(text, "0123456789") != length)
    return false;
  *number = (size_t)strtoul(text, NULL, 10);
  return true;
}

static bool name_suits(struct resolver *r, const struct block_kind *kind,
                       const struct syn_statement *statement) {
  const char *name = statement->block->name.text;
  size_t number;
  switch (kind->naming) {
  case NAMING_NONE:
    if (!name)
      return true;
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->name.at, "`%s` takes no name",
               kind->word);
    return false;
  case NAMING_NUMBER:
    if (name && layer_number(name, &number))
      return true;
    diag_help(diag_error(r->diags, DIAG_LAYER_NUMBER, statement->block->head,
                         "`%s` wants the number of a layer", kind->word),
              "write `layer 2 {`");
    return false;
  case NAMING_REQUIRED:
  case NAMING_SHAPE:
    if (name)
      return true;
    diag_help(diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->head, "this `%s` has no name",
                         kind->word),
              kind->naming == NAMING_SHAPE ? "write `%s some_shape {`" : "write `%s some_name {`",
              kind->word);
    return false;
  case NAMING_OPTIONAL:
  case NAMING_FIXED:
  case NAMING_TITLE:
    return true;
  }
  return true;
}

bool flat_head_suits(struct resolver *r, const struct block_kind *kind,
                     const struct syn_statement *statement) {
  if (statement->block->variant.text) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->variant.at, "`%s` takes one name only",
               kind->word);
    return false;
  }
  if (statement->block->like.text) {
    struct diag *diag = diag_error(r->diags, DIAG_LIKE_WRONG, statement->block->like.at,
                                   "an inner block is like no other");
    diag_help(diag, "write `like` in the head of the outer block");
    return false;
  }
  return name_suits(r, kind, statement);
}
