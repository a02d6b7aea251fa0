/* Declared blocks as a view: each key of a block's tables with its value, given or by default, and
 * the blocks inside it.  `like`, settings and the order of files are worked in already. */
#include "resolve/declared.h"

#include <string.h>

static struct declared_block block_view(struct resolver *r, const struct flat *flat,
                                        const struct declared_block *outer);

const char *declared_refers(const struct key *key) {
  return key->type == KEY_NAME || key->type == KEY_NAMES ? decl_kind_noun(key->refers) : NULL;
}

/* Such a key recurs, and each of its statements counts like an inner block. */
static bool recurs(const struct key *key) {
  return key->repeatable || key->type == KEY_POINTS;
}

static void key_add(struct resolver *r, struct declared_block *block, struct declared_key key) {
  block->keys = list_append(r->arena, block->keys, &block->key_count, &key, sizeof key);
}

static bool has_key(const struct declared_block *block, const char *name) {
  for (size_t i = 0; i < block->key_count; i++)
    if (strcmp(block->keys[i].name, name) == 0)
      return true;
  return false;
}

static void given_keys(struct resolver *r, const struct flat *flat, struct declared_block *block) {
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    if (item->key && !recurs(item->key))
      key_add(r, block,
              (struct declared_key){item->key->name, declared_refers(item->key), true,
                                    declared_value_of(r, item), item->statement->at});
  }
}

/* An alternative of the key is given. */
static bool gives_way(const struct flat *flat, const struct key *key) {
  bool is_choice = key->group == GROUP_STEP || key->group == GROUP_START;
  for (size_t i = 0; i < flat->item_count && is_choice; i++) {
    const struct key *given = flat->items[i].key;
    if (given && given->group == key->group && given->side != key->side)
      return true;
  }
  return false;
}

static const struct declared_key *outer_key(const struct declared_block *outer, const char *name) {
  for (size_t i = 0; outer && i < outer->key_count; i++)
    if (strcmp(outer->keys[i].name, name) == 0)
      return &outer->keys[i];
  return NULL;
}

/* In the order of the tables: a default may lean on keys of the block that stand before it. */
static void default_key(struct resolver *r, const struct flat *flat, const struct key *key,
                        const struct declared_block *outer, struct declared_block *block) {
  if (recurs(key) || has_key(block, key->name))
    return;
  struct declared_key made = {
      .name = key->name, .refers = declared_refers(key), .at = flat->statement->block->head};
  if (block->fills_up) {
    const struct declared_key *above = gives_way(flat, key) ? NULL : outer_key(outer, key->name);
    if (!above)
      return;
    made.value = above->value;
  } else if (!declared_default(r, key, block, &made.value)) {
    return;
  }
  key_add(r, block, made);
}

static void default_keys(struct resolver *r, const struct flat *flat,
                         const struct declared_block *outer, struct declared_block *block) {
  for (size_t p = 0; p < KEY_PARTS && flat->kind->parts[p].table; p++)
    for (size_t i = 0; i < flat->kind->parts[p].table->count; i++)
      default_key(r, flat, &flat->kind->parts[p].table->keys[i], outer, block);
}

/* A statement that recurs: `touch (x, y) mm`, `line (x, y) mm`. */
static struct declared_block statement_view(struct resolver *r, const struct flat_item *item) {
  struct declared_block block = {
      .word = item->key->name, .is_ordered = true, .head = item->statement->at};
  key_add(r, &block,
          (struct declared_key){"", declared_refers(item->key), true, declared_value_of(r, item),
                                item->statement->at});
  return block;
}

static void inner_blocks(struct resolver *r, const struct flat *flat,
                         struct declared_block *block) {
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    if (item->key && !recurs(item->key))
      continue;
    struct declared_block inner =
        item->block ? block_view(r, item->block, block) : statement_view(r, item);
    const struct key *key = item->block ? key_find(flat->kind, item->block->kind->word) : NULL;
    inner.is_ordered = inner.is_ordered || key != NULL;
    block->inner = list_append(r->arena, block->inner, &block->inner_count, &inner, sizeof inner);
  }
}

static void name_shape(struct resolver *r, const struct flat *flat, struct declared_block *block) {
  const struct syn_statement *statement = flat->statement;
  const struct decl *decl =
      flat->name ? scope_get(r, flat->scope, DECL_SHAPE, flat->name, statement->block->name.at)
                 : NULL;
  block->refers = decl_kind_noun(DECL_SHAPE);
  block->name = decl ? decl->full_name : flat->name;
}

static struct declared_block block_view(struct resolver *r, const struct flat *flat,
                                        const struct declared_block *outer) {
  const struct block_kind *kind = flat->kind;
  struct declared_block block = {.word = kind->word,
                                 .name = flat->name,
                                 .variant = kind->variant,
                                 .is_ordered = kind->group == GROUP_OUTLINE,
                                 .fills_up = kind->naming == NAMING_NUMBER,
                                 .is_optional = kind->naming == NAMING_NONE && !kind->is_repeatable,
                                 .head = flat->statement->block->head};
  if (kind->naming == NAMING_SHAPE)
    name_shape(r, flat, &block);
  given_keys(r, flat, &block);
  default_keys(r, flat, outer, &block);
  inner_blocks(r, flat, &block);
  return block;
}

/* -- top level --------------------------------------------------------------------------------- */

static struct declared_block job_view(struct resolver *r, const struct decl *decl,
                                      const struct flat *flat) {
  struct declared_block block = block_view(r, flat, NULL);
  block.name = NULL;
  const char *title =
      decl->statement->block->title.text ? quoted_text(r, decl->statement->block->title.at) : "";
  key_add(r, &block,
          (struct declared_key){"title",
                                NULL,
                                true,
                                {.kind = DECLARED_STRING, .text = title},
                                decl->statement->block->head});
  return block;
}

static struct declared_block param_view(struct resolver *r, const struct decl *decl) {
  struct scope *scope = NULL;
  const struct syn_expr *source = declared_param_source(decl, &scope);
  span at = decl->statement->at;
  struct declared_block block = {.word = "param", .name = decl->full_name, .head = at};
  key_add(r, &block,
          (struct declared_key){"", NULL, true,
                                declared_value_from(r, scope, source, decl->value, QUANTITY_NUMBER),
                                at});
  if (decl->statement->block->range) {
    struct value range = expr_value(r, decl->scope, decl->statement->block->range);
    key_add(r, &block,
            (struct declared_key){"range", NULL, true,
                                  declared_value_from(r, decl->scope, decl->statement->block->range,
                                                      &range, QUANTITY_NUMBER),
                                  at});
  }
  return block;
}

static void decl_view(struct resolver *r, struct decl *decl, struct declared *view,
                      const struct flat ***flats) {
  struct declared_block block;
  const struct flat *flat = NULL;
  if (decl->kind == DECL_VALUE) {
    if (decl->statement->kind != SYN_PARAM)
      return;
    block = param_view(r, decl);
  } else {
    flat = flat_get(r, decl, decl->statement->block->head);
    if (!flat)
      return;
    block = decl->kind == DECL_JOB ? job_view(r, decl, flat) : block_view(r, flat, NULL);
    if (decl->kind != DECL_JOB)
      block.name = decl->full_name;
    view->has_job = view->has_job || decl->kind == DECL_JOB;
  }
  size_t count = view->count;
  *flats = list_append(r->arena, *flats, &count, &flat, sizeof(flat));
  view->blocks = list_append(r->arena, view->blocks, &view->count, &block, sizeof block);
}

/* What is wrong was told while the job was resolved: the messages of a second look are dropped. */
const struct declared *declared_make(struct arena *arena, struct resolver *resolver) {
  struct resolver r = *resolver;
  r.arena = arena;
  r.known = NULL; /* names that are looked up from here on live as long as this arena */
  r.diags = diag_list_new(arena, r.sources);
  struct declared *view = arena_alloc(arena, 1, sizeof *view);
  const struct flat **flats = NULL;
  for (size_t i = 0; i < r.scope_count; i++)
    for (size_t k = 0; k < r.scopes[i]->decl_count; k++)
      decl_view(&r, r.scopes[i]->decls[k], view, &flats);
  declared_mark_used(&r, view, flats);
  return view;
}
