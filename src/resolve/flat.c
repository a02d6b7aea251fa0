/* Merging: a block's own statements are laid over a copy of the one that it is like
 * (language.md, section 1). */
#include <stdint.h>
#include <string.h>

#include "resolve/flat_parts.h"

/* flat_make() has made room for every item that there may be. */
static void item_add(struct flat *flat, struct flat_item item) {
  flat->items[flat->item_count++] = item;
}

static bool same_name(const char *a, const char *b) {
  return a && b ? strcmp(a, b) == 0 : a == b;
}

/* The part of the list before the block's own items was copied. */
struct merge {
  struct flat *flat;
  size_t copied;  /* items copied and still there */
  uint64_t given; /* keys given here, a bit for each but that some share one */
  /* Where there are many statements: own blocks by their names.  The number of an own item, counted
   * from 1; 0: none.  As many places as a power of two, most of them free. */
  uint32_t *named;
  size_t named_room;
};

static void drop(struct merge *merge, size_t index) {
  struct flat *flat = merge->flat;
  memmove(flat->items + index, flat->items + index + 1,
          (flat->item_count - index - 1) * sizeof *flat->items);
  flat->item_count--;
  merge->copied--;
}

/* What a key or an inner block counts as when it is given again. */
struct rank {
  const char *key; /* NULL: a block that is no key */
  enum group group;
  int side;
};

static struct rank rank_of_key(const struct key *key) {
  return (struct rank){key->name, key->group, key->side};
}

/* `touch` as a block stands for the key of that name. */
static struct rank rank_of_block(struct resolver *r, const struct flat *outer,
                                 const struct block_kind *kind) {
  const struct key *key = key_get(r, outer->kind, kind->word).key;
  return key ? rank_of_key(key) : (struct rank){NULL, kind->group, kind->side};
}

static struct rank rank_of_item(struct resolver *r, const struct flat *flat,
                                const struct flat_item *item) {
  return item->key ? rank_of_key(item->key) : rank_of_block(r, flat, item->block->kind);
}

/* A copied item gives way to a key given again, to an alternative of it, and to a part of the
 * whole that it belongs to. */
static void drop_for(struct resolver *r, struct merge *merge, struct rank rank) {
  for (size_t i = 0; i < merge->copied;) {
    struct rank other = rank_of_item(r, merge->flat, &merge->flat->items[i]);
    bool replaced = other.key && rank.key && strcmp(other.key, rank.key) == 0;
    bool grouped = rank.group != GROUP_NONE && other.group == rank.group;
    if (replaced || (grouped && (other.side != rank.side || rank.side == SIDE_WHOLE)))
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

static bool is_block(const struct flat_item *item, const char *word, const char *name) {
  const struct flat *block = item->block;
  return block && strcmp(block->kind->word, word) == 0 && same_name(block->name, name);
}

static const struct flat *block_find(const struct flat *flat, size_t from, size_t to,
                                     const char *word, const char *name) {
  for (size_t i = from; i < to; i++)
    if (is_block(&flat->items[i], word, name))
      return flat->items[i].block;
  return NULL;
}

enum { FEW_STATEMENTS = 32 };

static void named_begin(struct resolver *r, struct merge *merge, size_t statements) {
  if (statements <= FEW_STATEMENTS)
    return;
  for (merge->named_room = 1; merge->named_room < 2 * statements;)
    merge->named_room *= 2;
  merge->named = arena_alloc(r->arena, merge->named_room, sizeof *merge->named);
}

/* The place of the own block of that name, or a free one. */
static uint32_t *named_place(struct merge *merge, const char *word, const char *name) {
  const struct flat_item *own = merge->flat->items + merge->copied;
  size_t place = name_hash(name, 0);
  for (;; place++) {
    uint32_t *number = &merge->named[place & (merge->named_room - 1)];
    if (*number == 0 || is_block(&own[*number - 1], word, name))
      return number;
  }
}

static const struct flat *own_find(struct merge *merge, const char *word, const char *name) {
  const struct flat *flat = merge->flat;
  if (!merge->named || !name)
    return block_find(flat, merge->copied, flat->item_count, word, name);
  uint32_t number = *named_place(merge, word, name);
  return number > 0 ? flat->items[merge->copied + number - 1].block : NULL;
}

static void own_add(struct merge *merge, struct flat_item item) {
  const char *name = item.block->name;
  item_add(merge->flat, item);
  if (merge->named && name)
    *named_place(merge, item.block->kind->word, name) =
        (uint32_t)(merge->flat->item_count - merge->copied);
}

static const struct flat_item *own_key(struct merge *merge, struct placed_key wanted) {
  const struct flat *flat = merge->flat;
  uint64_t bit = (uint64_t)1 << wanted.place % 64;
  bool may_be_given = merge->given & bit;
  merge->given |= bit;
  for (size_t i = merge->copied; may_be_given && i < flat->item_count; i++)
    if (flat->items[i].key == wanted.key)
      return &flat->items[i];
  return NULL;
}

static void add_property(struct resolver *r, struct merge *merge, struct scope *scope,
                         const struct syn_statement *statement) {
  struct flat *flat = merge->flat;
  struct placed_key placed = key_get(r, flat->kind, statement->key);
  const struct key *key = placed.key;
  if (!key) {
    flat_property_unknown(r, flat, statement);
    return;
  }
  const struct flat_item *other = key->repeatable ? NULL : own_key(merge, placed);
  if (other) {
    struct diag *diag =
        diag_error(r->diags, DIAG_KEY_TWICE, syn_key_at(statement), "%s is given twice", key->name);
    diag_note(diag, syn_key_at(other->statement), "first given here");
    return;
  }
  if (merge->copied > 0)
    drop_for(r, merge, rank_of_key(key));
  item_add(flat, (struct flat_item){
                     .statement = statement, .scope = scope, .key = key, .place = placed.place});
}

static void block_twice(struct resolver *r, const struct syn_statement *statement,
                        const struct flat *other) {
  struct diag *diag;
  if (other->name)
    diag = diag_error(r->diags, DIAG_NAME_TWICE, statement->block->head,
                      "a second `%s %s` in one block", statement->key, other->name);
  else
    diag = diag_error(r->diags, DIAG_KEY_TWICE, statement->block->head,
                      "a second `%s` in one block", statement->key);
  diag_note(diag, other->statement->block->head, "the first one stands here");
}

static const char *block_name(struct resolver *r, const struct block_kind *kind,
                              const struct syn_statement *statement) {
  size_t number;
  if (kind->naming == NAMING_NUMBER && layer_number(statement->block->name.text, &number))
    return arena_format(r->arena, "%zu", number);
  return statement->block->name.text;
}

static void add_block(struct resolver *r, struct merge *merge, struct scope *scope,
                      const struct syn_statement *statement) {
  struct flat *flat = merge->flat;
  const struct block_kind *kind =
      inner_find(flat->kind, statement->key, statement->block->name.text);
  if (!kind) {
    flat_block_unknown(r, flat, statement);
    return;
  }
  if (!flat_head_suits(r, kind, statement)) {
    flat_misspelt_add(r, flat, kind->word);
    return;
  }
  const char *name = block_name(r, kind, statement);
  bool recurs = kind->is_repeatable && (!name || kind->naming == NAMING_SHAPE);
  const struct flat *own = recurs ? NULL : own_find(merge, kind->word, name);
  if (own) {
    block_twice(r, statement, own);
    return;
  }
  const struct flat *copy = block_find(flat, 0, merge->copied, kind->word, name);
  bool overrides = copy && name && kind->naming != NAMING_SHAPE;
  struct flat *block = flat_make(r, statement, scope, kind, overrides ? copy : NULL);
  block->name = name;
  block->replaced = copy && !name ? copy : NULL;
  drop_for(r, merge, rank_of_block(r, flat, kind));
  drop_blocks(merge, kind->word, name);
  own_add(merge, (struct flat_item){.statement = statement, .scope = scope, .block = block});
}

struct flat *flat_make(struct resolver *r, const struct syn_statement *statement,
                       struct scope *scope, const struct block_kind *kind,
                       const struct flat *copied) {
  struct flat *flat = arena_alloc(r->arena, 1, sizeof *flat);
  *flat = (struct flat){.kind = kind,
                        .statement = statement,
                        .scope = scope,
                        .name = statement->block->name.text,
                        .copied = copied,
                        .is_broken = statement->block->is_incomplete};
  size_t room = (copied ? copied->item_count : 0) + statement->block->item_count;
  flat->items = arena_alloc(r->arena, room, sizeof *flat->items);
  for (size_t i = 0; copied && i < copied->item_count; i++)
    item_add(flat, copied->items[i]);
  flat->is_broken = flat->is_broken || (copied && copied->is_broken);
  struct merge merge = {.flat = flat, .copied = flat->item_count};
  named_begin(r, &merge, statement->block->item_count);
  for (size_t i = 0; i < statement->block->item_count; i++) {
    const struct syn_statement *item = statement->block->items[i];
    if (item->kind == SYN_BLOCK)
      add_block(r, &merge, scope, item);
    else if (item->kind == SYN_PROPERTY)
      add_property(r, &merge, scope, item);
  }
  return flat;
}
