/* Working in `like`: the block's own statements are laid over a copy of the other's
 * (language.md, section 1). */
#include "resolve/flat.h"

#include <stdlib.h>
#include <string.h>

#include "borelay/suggest.h"

static struct flat *flat_make(struct resolver *r, const struct syn_statement *statement,
                              struct scope *scope, const struct block_kind *kind,
                              const struct flat *copied);

/* -- what does not belong here ---------------------------------------------- */

static void offer_inner(struct suggest *near, const struct block_kind *kind) {

  for (size_t i = 0; kind->inner && kind->inner[i]; i++)
    suggest_offer(near, kind->inner[i]->word);
}

static void misspelt_add(struct resolver *r, struct flat *flat, const char *word) {
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

static void key_unknown(struct resolver *r, struct flat *flat, const struct syn_name *key) {
  const struct block_kind *kind = flat->kind;
  struct suggest near = suggest_begin(key->text);
  for (size_t p = 0; p < KEY_PARTS && kind->parts[p].table; p++)
    for (size_t i = 0; i < kind->parts[p].table->count; i++)
      suggest_offer(&near, kind->parts[p].table->keys[i].name);
  offer_inner(&near, kind);
  struct diag *diag = diag_error(r->diags, DIAG_KEY_UNKNOWN, key->at, "`%s` has no key `%s`",
                                 kind->name, key->text);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  misspelt_add(r, flat, near.best);
}

static void block_unknown(struct resolver *r, struct flat *flat,
                          const struct syn_statement *statement) {
  const struct block_kind *kind = flat->kind;
  const char *word = statement->key.text;
  misspelt_add(r, flat, word);
  if (key_find(kind, word) && !inner_word_exists(kind, word)) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->head, "%s takes a value, not a block", word);
    return;
  }
  if (inner_word_exists(kind, word)) { /* of fixed names: the name does not fit */
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->head, "`%s` wants one of the names x y z head",
               word);
    return;
  }
  struct suggest near = suggest_begin(word);
  offer_inner(&near, kind);
  struct diag *diag = diag_error(r->diags, DIAG_BLOCK_UNKNOWN, statement->key.at,
                                 "`%s` holds no block `%s`", kind->name, word);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  misspelt_add(r, flat, near.best);
}

static void property_unknown(struct resolver *r, struct flat *flat,
                             const struct syn_statement *statement) {
  const char *word = statement->key.text;
  if (!inner_word_exists(flat->kind, word)) {
    key_unknown(r, flat, &statement->key);
    return;
  }
  misspelt_add(r, flat, word);
  struct diag *diag =
      diag_error(r->diags, DIAG_BLOCK_FORM, statement->key.at, "%s is a block, not a value", word);
  diag_help(diag, "write `%s { ... }`", word);
}

/* -- heads ------------------------------------------------------------------- */

bool layer_number(const char *text, size_t *number) {
  size_t length = strlen(text);
  if (length == 0 || length > 6 || strspn(text, "0123456789") != length)
    return false;
  *number = (size_t)strtoul(text, NULL, 10);
  return true;
}

static bool name_suits(struct resolver *r, const struct block_kind *kind,
                       const struct syn_statement *statement) {
  const char *name = statement->name.text;
  size_t number;
  switch (kind->naming) {
  case NAMING_NONE:
    if (!name)
      return true;
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->name.at, "`%s` takes no name", kind->word);
    return false;
  case NAMING_NUMBER:
    if (name && layer_number(name, &number))
      return true;
    diag_help(diag_error(r->diags, DIAG_LAYER_NUMBER, statement->head,
                         "`%s` wants the number of a layer", kind->word),
              "write `layer 2 {`");
    return false;
  case NAMING_REQUIRED:
  case NAMING_SHAPE:
    if (name)
      return true;
    diag_help(
        diag_error(r->diags, DIAG_BLOCK_FORM, statement->head, "this `%s` has no name", kind->word),
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

static bool head_suits(struct resolver *r, const struct block_kind *kind,
                       const struct syn_statement *statement) {
  if (kind->is_later) {
    diag_error(r->diags, DIAG_NOT_HANDLED, statement->head, "this release does not handle `%s` yet",
               kind->word);
    return false;
  }
  if (statement->variant.text) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->variant.at, "`%s` takes one name only",
               kind->word);
    return false;
  }
  if (statement->like.text) {
    struct diag *diag = diag_error(r->diags, DIAG_LIKE_WRONG, statement->like.at,
                                   "an inner block is like no other");
    diag_help(diag, "write `like` in the head of the outer block");
    return false;
  }
  return name_suits(r, kind, statement);
}

/* -- merging ----------------------------------------------------------------- */

static void item_add(struct resolver *r, struct flat *flat, struct flat_item item) {
  flat->items = list_append(r->arena, flat->items, &flat->item_count, &item, sizeof item);
}

static bool same_name(const char *a, const char *b) {
  return a && b ? strcmp(a, b) == 0 : a == b;
}

/* The part of the list before `own` was copied. */
struct merge {
  struct flat *flat;
  size_t copied; /* items copied and still there */
};

static void drop(struct merge *merge, size_t index) {
  struct flat *flat = merge->flat;
  memmove(flat->items + index, flat->items + index + 1,
          (flat->item_count - index - 1) * sizeof *flat->items);
  flat->item_count--;
  merge->copied--;
}

/* Alternatives: `touch` as a block stands for the key of that name. */
static const struct key *key_of_item(const struct flat *flat, const struct flat_item *item) {
  return item->key ? item->key : key_find(flat->kind, item->statement->key.text);
}

/* A copied item gives way to a key given again, and to an alternative of it. */
static void drop_for_key(struct merge *merge, const struct key *key) {
  for (size_t i = 0; i < merge->copied;) {
    const struct key *other = key_of_item(merge->flat, &merge->flat->items[i]);
    bool replaced = other && strcmp(other->name, key->name) == 0;
    bool alternative =
        other && key->group != GROUP_NONE && other->group == key->group && other->side != key->side;
    if (replaced || alternative)
      drop(merge, i);
    else
      i++;
  }
}

/* Blocks without a name, and those that name a shape they may name again, are replaced
 * all at once. */
static void drop_blocks(struct merge *merge, const char *word, const char *name) {
  for (size_t i = 0; i < merge->copied;) {
    const struct flat *block = merge->flat->items[i].block;
    if (block && strcmp(block->kind->word, word) == 0 && same_name(block->name, name))
      drop(merge, i);
    else
      i++;
  }
}

static struct flat_item *block_find(struct flat *flat, size_t from, size_t to, const char *word,
                                    const char *name) {
  for (size_t i = from; i < to; i++) {
    const struct flat *block = flat->items[i].block;
    if (block && strcmp(block->kind->word, word) == 0 && same_name(block->name, name))
      return &flat->items[i];
  }
  return NULL;
}

static void add_property(struct resolver *r, struct merge *merge, struct scope *scope,
                         const struct syn_statement *statement) {
  struct flat *flat = merge->flat;
  const struct key *key = key_find(flat->kind, statement->key.text);
  if (!key) {
    property_unknown(r, flat, statement);
    return;
  }
  for (size_t i = merge->copied; i < flat->item_count && !key->repeatable; i++)
    if (flat->items[i].key == key) {
      struct diag *diag =
          diag_error(r->diags, DIAG_KEY_TWICE, statement->key.at, "%s is given twice", key->name);
      diag_note(diag, flat->items[i].statement->key.at, "first given here");
      return;
    }
  drop_for_key(merge, key);
  item_add(r, flat, (struct flat_item){.statement = statement, .scope = scope, .key = key});
}

static void block_twice(struct resolver *r, const struct syn_statement *statement,
                        const struct flat *other) {
  struct diag *diag;
  if (other->name)
    diag = diag_error(r->diags, DIAG_NAME_TWICE, statement->head, "a second `%s %s` in one block",
                      statement->key.text, other->name);
  else
    diag = diag_error(r->diags, DIAG_KEY_TWICE, statement->head, "a second `%s` in one block",
                      statement->key.text);
  diag_note(diag, other->statement->head, "the first one stands here");
}

static const char *block_name(struct resolver *r, const struct block_kind *kind,
                              const struct syn_statement *statement) {
  size_t number;
  if (kind->naming == NAMING_NUMBER && layer_number(statement->name.text, &number))
    return arena_format(r->arena, "%zu", number);
  return statement->name.text;
}

static void add_block(struct resolver *r, struct merge *merge, struct scope *scope,
                      const struct syn_statement *statement) {
  struct flat *flat = merge->flat;
  const struct block_kind *kind = inner_find(flat->kind, statement->key.text, statement->name.text);
  if (!kind) {
    block_unknown(r, flat, statement);
    return;
  }
  if (!head_suits(r, kind, statement)) {
    misspelt_add(r, flat, kind->word);
    return;
  }
  const char *name = block_name(r, kind, statement);
  bool recurs = kind->is_repeatable && (!name || kind->naming == NAMING_SHAPE);
  const struct flat_item *own =
      recurs ? NULL : block_find(flat, merge->copied, flat->item_count, kind->word, name);
  if (own) {
    block_twice(r, statement, own->block);
    return;
  }
  struct flat_item *copy = block_find(flat, 0, merge->copied, kind->word, name);
  bool overrides = copy && name && kind->naming != NAMING_SHAPE;
  struct flat *block = flat_make(r, statement, scope, kind, overrides ? copy->block : NULL);
  block->name = name;
  const struct key *key = key_find(flat->kind, kind->word);
  if (key)
    drop_for_key(merge, key);
  drop_blocks(merge, kind->word, name);
  item_add(r, flat, (struct flat_item){.statement = statement, .scope = scope, .block = block});
}

static struct flat *flat_make(struct resolver *r, const struct syn_statement *statement,
                              struct scope *scope, const struct block_kind *kind,
                              const struct flat *copied) {
  struct flat *flat = arena_alloc(r->arena, 1, sizeof *flat);
  *flat = (struct flat){.kind = kind,
                        .statement = statement,
                        .scope = scope,
                        .name = statement->name.text,
                        .copied = copied,
                        .is_broken = statement->is_incomplete};
  for (size_t i = 0; copied && i < copied->item_count; i++)
    item_add(r, flat, copied->items[i]);
  flat->is_broken = flat->is_broken || (copied && copied->is_broken);
  struct merge merge = {.flat = flat, .copied = flat->item_count};
  for (size_t i = 0; i < statement->item_count; i++) {
    const struct syn_statement *item = statement->items[i];
    if (item->kind == SYN_BLOCK)
      add_block(r, &merge, scope, item);
    else if (item->kind == SYN_PROPERTY)
      add_property(r, &merge, scope, item);
  }
  return flat;
}

/* -- declared blocks ---------------------------------------------------------- */

static const struct block_kind *shape_kind(struct resolver *r,
                                           const struct syn_statement *statement) {
  const char *variant = statement->variant.text;
  struct suggest near = suggest_begin(variant ? variant : "");
  for (size_t i = 0; all_blocks[i]; i++) {
    if (!all_blocks[i]->variant)
      continue;
    if (variant && strcmp(all_blocks[i]->variant, variant) == 0)
      return all_blocks[i];
    suggest_offer(&near, all_blocks[i]->variant);
  }
  struct diag *diag = variant
                          ? diag_error(r->diags, DIAG_SHAPE_KIND, statement->variant.at,
                                       "there is no kind of shape `%s`", variant)
                          : diag_error(r->diags, DIAG_SHAPE_KIND, statement->head,
                                       "the kind of shape `%s` is missing", statement->name.text);
  if (variant && near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  else
    diag_help(diag, "kinds: round racetrack rectangle outline");
  return NULL;
}

static const struct block_kind *kind_of(struct resolver *r, const struct decl *decl) {
  const struct syn_statement *statement = decl->statement;
  if (decl->kind == DECL_SHAPE)
    return shape_kind(r, statement);
  if (statement->variant.text) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->variant.at, "%s takes one name only",
               decl_kind_article(decl->kind));
    return NULL;
  }
  for (size_t i = 0; all_blocks[i]; i++)
    if (strcmp(all_blocks[i]->word, statement->key.text) == 0)
      return all_blocks[i];
  return NULL;
}

/* The block that `like` names; *lost where it cannot be had, which was told. */
static const struct flat *copied_block(struct resolver *r, struct decl *decl,
                                       const struct block_kind *kind, bool *lost) {
  const struct syn_name *like = &decl->statement->like;
  *lost = false;
  if (!like->text)
    return NULL;
  *lost = true;
  struct decl *other = scope_get(r, decl->scope, decl->kind, like->text, like->at);
  const struct flat *flat = other ? flat_get(r, other, like->at) : NULL;
  if (!flat)
    return NULL;
  if (flat->kind != kind) {
    struct diag *diag = diag_error(r->diags, DIAG_LIKE_WRONG, like->at,
                                   "a `%s` cannot be like a `%s`", kind->name, flat->kind->name);
    diag_note(diag, flat->statement->head, "`%s` is declared here", like->text);
    return NULL;
  }
  *lost = false;
  return flat;
}

static struct flat *decl_flatten(struct resolver *r, struct decl *decl) {
  const struct block_kind *kind = kind_of(r, decl);
  if (!kind)
    return NULL;
  if (kind->is_later) {
    diag_error(r->diags, DIAG_NOT_HANDLED, decl->statement->head,
               "this release does not handle `%s` yet", kind->name);
    return NULL;
  }
  bool lost;
  const struct flat *copied = copied_block(r, decl, kind, &lost);
  struct flat *flat = flat_make(r, decl->statement, decl->scope, kind, copied);
  flat->is_broken = flat->is_broken || lost;
  return flat;
}

enum { DEEPEST_LIKE = 200 };

const struct flat *flat_get(struct resolver *r, struct decl *decl, span wanted_at) {
  if (decl->flat_progress == PROGRESS_BUSY) {
    cycle_tell(r, decl, wanted_at, "is like itself");
    return NULL;
  }
  if (decl->flat_progress == PROGRESS_DONE)
    return decl->flat;
  int depth = r->busy ? r->busy->depth + 1 : 0;
  if (depth > DEEPEST_LIKE) {
    diag_error(r->diags, DIAG_USE_TOO_DEEP, wanted_at, "`like` goes on more than %d deep",
               (int)DEEPEST_LIKE);
    return NULL;
  }
  struct busy busy = {.decl = decl, .wanted_at = wanted_at, .outer = r->busy, .depth = depth};
  r->busy = &busy;
  decl->flat_progress = PROGRESS_BUSY;
  decl->flat = decl_flatten(r, decl);
  decl->flat_progress = PROGRESS_DONE;
  r->busy = busy.outer;
  return decl->flat;
}
