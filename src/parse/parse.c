/* One source file, or one value, from text to tree. */
#include <stdlib.h>

#include "parse/reader.h"

static struct reader *reader_new(struct arena *arena, const struct source_set *sources,
                                 uint32_t file, struct diag_list *diags) {
  struct reader *reader = arena_alloc(arena, 1, sizeof *reader);
  reader->arena = arena;
  reader->source = source_get(sources, file);
  reader->diags = diags;
  reader->tokens = tokens_read(arena, sources, file, diags).items;
  reader->parser = job_pstate_new();
  if (!reader->parser) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  return reader;
}

struct syn_file *syntax_parse(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags) {
  struct reader *reader = reader_new(arena, sources, file, diags);
  reader_read_file(reader);
  job_pstate_delete(reader->parser);
  struct syn_file *tree = arena_alloc(arena, 1, sizeof *tree);
  tree->file = file;
  if (reader->declarations) {
    tree->items = reader->declarations->items;
    tree->item_count = reader->declarations->count;
  }
  tree->is_incomplete = reader->is_incomplete;
  return tree;
}

struct syn_expr *syntax_parse_value(struct arena *arena, const struct source_set *sources,
                                    uint32_t file, struct diag_list *diags) {
  size_t errors = diag_error_count(diags);
  struct reader *reader = reader_new(arena, sources, file, diags);
  reader_read_value(reader);
  job_pstate_delete(reader->parser);
  return diag_error_count(diags) > errors ? NULL : reader->value;
}
