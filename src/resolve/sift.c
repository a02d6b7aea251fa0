/* A long file is mostly a library: its tree would be some times as large as its text, to be walked
 * once for faults and then left alone.  So blocks are judged as they are read, in memory that the
 * next one takes again, in a scope that has no names and misses none: what depends on names is not
 * sound there, and is kept for later, as is what has faults.  Who wants a sifted block has it read
 * again (syntax_whole()). */
#include <string.h>

#include "resolve/build.h"

struct sifting {
  struct resolver *r;
  struct scope *nameless;
  struct diag_list *unheard;
  struct arena *aside;
  size_t count; /* of blocks seen */
};

/* DECL_KIND_COUNT: not to be sifted. */
static enum decl_kind kind_of(const struct syn_statement *block) {
  static const enum decl_kind KINDS[] = {DECL_CELL, DECL_PROCEDURE, DECL_SHAPE, DECL_ENVELOPE};
  for (size_t i = 0; i < sizeof KINDS / sizeof *KINDS; i++)
    if (strcmp(decl_kind_noun(KINDS[i]), block->key) == 0)
      return KINDS[i];
  return DECL_KIND_COUNT;
}

static bool is_done_with(void *context, const struct syn_statement *block) {
  struct sifting *sifting = context;
  enum decl_kind kind = kind_of(block);
  bool is_later = sifting->count++ >= FEW_DECLARATIONS;
  if (!is_later || kind == DECL_KIND_COUNT || block->block->like.text ||
      strchr(block->block->name.text, '.'))
    return false;
  struct decl decl = {.kind = kind,
                      .name = block->block->name.text,
                      .full_name = block->block->name.text,
                      .statement = block,
                      .scope = sifting->nameless};
  return build_try(sifting->r, &decl, sifting->unheard, sifting->aside);
}

/* Shorter than any with so many declarations. */
enum { SHORT_TEXT = 8 * FEW_DECLARATIONS };

struct syn_file *file_sift(struct resolver *r, uint32_t file) {
  if (source_get(r->sources, file)->length < SHORT_TEXT)
    return syntax_parse(r->arena, r->sources, file, r->diags);
  struct arena *arena = arena_new(), *aside = arena_new();
  struct sifting sifting = {.r = r,
                            .nameless = scope_alone(arena, ""),
                            .unheard = diag_list_new(arena, r->sources),
                            .aside = aside};
  sifting.nameless->incomplete = true;
  struct syn_sift sift = {is_done_with, &sifting};
  struct syn_file *tree = syntax_parse_sifted(r->arena, r->sources, file, r->diags, &sift);
  arena_free(aside);
  arena_free(arena);
  return tree;
}
