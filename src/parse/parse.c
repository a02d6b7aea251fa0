/* One source file, or one value, from text to tree. */
#include <assert.h>
#include <stdlib.h>

#include "parse/reader.h"

static struct reader *reader_new(struct arena *arena, const struct source_set *sources,
                                 uint32_t file, struct diag_list *diags) {
  struct reader *reader = arena_alloc(arena, 1, sizeof *reader);
  reader->arena = arena;
  reader->sources = sources;
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

const struct token *reader_peek(const struct reader *reader) {
  return &reader->tokens[reader->at];
}

span token_end(const struct token *token) {
  return (span){.file = token->at.file, .begin = token->at.end, .end = token->at.end};
}

void reader_push(struct reader *reader, int kind, const struct token *token) {
  if (reader->parser_is_done || reader->is_skipped)
    return;
  reader->before = reader->now;
  reader->now = token;
  reader->now_kind = kind;
  const union JOB_STYPE value = {.TOKEN_NAME = token};
  span at = token->at;
  int status = job_push_parse(reader->parser, kind, &value, &at, reader);
  reader->parser_is_done = status != YYPUSH_MORE;
}

struct token *reader_make(struct reader *reader, int kind) {
  struct token *token = arena_alloc(reader->arena, 1, sizeof *token);
  token->kind = kind;
  token->at = reader->at > 0 ? token_end(reader_peek(reader) - 1) : reader_peek(reader)->at;
  token->at.end = token->at.begin;
  return token;
}

void reader_leave_out(struct reader *reader) {
  if (reader->block_count > 0)
    reader->blocks[reader->block_count - 1].is_incomplete = true;
  else
    reader->is_incomplete = true;
}

struct syn_file *syntax_parse(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags) {
  struct reader *reader = reader_new(arena, sources, file, diags);
  reader_read_file(reader);
  job_pstate_delete(reader->parser);
  struct syn_file *tree = arena_alloc(arena, 1, sizeof *tree);
  tree->file = file;
  assert(reader->declarations); /* every fault is inside a rule of recovery */
  tree->items = reader->declarations->items;
  tree->item_count = reader->declarations->count;
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
