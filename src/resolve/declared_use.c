/* Which declared blocks the job reaches: by the keys and heads that name them, and by the names
 * that its values are worked out from. */
#include <string.h>

#include "resolve/declared.h"

struct marking {
  struct resolver *r;
  struct declared *view;
  const struct flat *const *flats;
};

static void mark(struct marking *marking, const char *word, const char *name);

static void mark_names_of(struct marking *marking, struct scope *scope, const struct syn_expr *expr,
                          int depth) {
  enum { DEEPEST = 100 };
  if (!expr || depth > DEEPEST)
    return;
  const struct decl *decl = expr->kind == SYN_NAME
                                ? scope_get(marking->r, scope, DECL_VALUE, expr->text, expr->at)
                                : NULL;
  struct scope *inner = NULL;
  if (decl && decl->statement->kind == SYN_PARAM)
    mark(marking, "param", decl->full_name);
  if (decl)
    mark_names_of(marking, inner, declared_param_source(decl, &inner), depth + 1);
  for (size_t i = 0; i < expr->item_count; i++)
    mark_names_of(marking, scope, expr->items[i], depth + 1);
}

static void mark_values(struct marking *marking, const struct flat *flat) {
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    if (item->block)
      mark_values(marking, item->block);
    else if (item->key->type != KEY_NAME && item->key->type != KEY_NAMES)
      mark_names_of(marking, item->scope, item->statement->value, 0);
  }
}

static void mark_named(struct marking *marking, const struct declared_block *block) {
  if (block->refers)
    mark(marking, block->refers, block->name);
  for (size_t i = 0; i < block->key_count; i++)
    for (size_t k = 0; block->keys[i].refers && k < block->keys[i].value.name_count; k++)
      mark(marking, block->keys[i].refers, block->keys[i].value.names[k]);
  for (size_t i = 0; i < block->inner_count; i++)
    mark_named(marking, &block->inner[i]);
}

static void mark(struct marking *marking, const char *word, const char *name) {
  for (size_t i = 0; i < marking->view->count; i++) {
    struct declared_block *block = &marking->view->blocks[i];
    if (block->is_used || strcmp(block->word, word) != 0 ||
        (name && (!block->name || strcmp(block->name, name) != 0)))
      continue;
    block->is_used = true;
    mark_named(marking, block);
    if (marking->flats[i])
      mark_values(marking, marking->flats[i]);
  }
}

void declared_mark_used(struct resolver *r, struct declared *view,
                        const struct flat *const *flats) {
  struct marking marking = {r, view, flats};
  mark(&marking, "job", NULL);
  for (size_t i = 0; i < view->count && !view->has_job; i++)
    view->blocks[i].is_used = true;
}
