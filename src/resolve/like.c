/* Declared blocks: their kind, the block that they are like, and circles of `like`. */
#include <string.h>

#include "borelay/suggest.h"
#include "resolve/flat_parts.h"

static const struct block_kind *shape_kind(struct resolver *r, const struct scope *scope,
                                           const struct syn_statement *statement) {
  const char *variant = statement->block->variant.text;
  struct suggest near = suggest_begin(variant ? variant : "");
  for (size_t i = 0; all_blocks[i]; i++) {
    if (!all_blocks[i]->variant)
      continue;
    if (variant && strcmp(all_blocks[i]->variant, variant) == 0)
      return all_blocks[i];
    suggest_offer(&near, all_blocks[i]->variant);
  }
  const char *like = statement->block->like.text;
  const struct decl *other = like && !variant ? scope_find(scope, DECL_SHAPE, like) : NULL;
  const char *its = other ? other->statement->block->variant.text : NULL;
  struct diag *diag =
      variant ? diag_error(r->diags, DIAG_SHAPE_KIND, statement->block->variant.at,
                           "there is no kind of shape `%s`", variant)
              : diag_error(r->diags, DIAG_SHAPE_KIND, statement->block->head,
                           "the kind of shape `%s` is missing", statement->block->name.text);
  if (its)
    diag_help(diag, "write `shape %s %s like %s {`", statement->block->name.text, its, like);
  else if (variant && near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  else
    diag_help(diag, "kinds: round racetrack rectangle outline");
  return NULL;
}

static const struct block_kind *kind_of(struct resolver *r, const struct decl *decl) {
  const struct syn_statement *statement = decl->statement;
  if (decl->kind == DECL_SHAPE)
    return shape_kind(r, decl->scope, statement);
  if (statement->block->variant.text) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->variant.at, "%s takes one name only",
               decl_kind_article(decl->kind));
    return NULL;
  }
  for (size_t i = 0; all_blocks[i]; i++)
    if (strcmp(all_blocks[i]->word, statement->key) == 0)
      return all_blocks[i];
  return NULL;
}

/* The block that `like` names; *lost where it cannot be had, which was told. */
static const struct flat *copied_block(struct resolver *r, struct decl *decl,
                                       const struct block_kind *kind, bool *lost) {
  const struct syn_name *like = &decl->statement->block->like;
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
    diag_note(diag, flat->statement->block->head, "`%s` is declared here", like->text);
    return NULL;
  }
  *lost = false;
  return flat;
}

static struct flat *decl_flatten(struct resolver *r, struct decl *decl) {
  if (decl->statement->block->is_sifted)
    decl->statement = syntax_whole(decl->file->syntax, decl->statement);
  const struct block_kind *kind = kind_of(r, decl);
  if (!kind)
    return NULL;
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
  struct arena *before = lasting_begin(r, decl);
  r->busy = &busy;
  decl->flat_progress = PROGRESS_BUSY;
  decl->flat = decl_flatten(r, decl);
  decl->flat_progress = PROGRESS_DONE;
  r->busy = busy.outer;
  r->arena = before;
  return decl->flat;
}
