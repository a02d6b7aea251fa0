/* One source file, or one value, from text to tree. */
#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "parse/reader.h"

/* aside: for what the reader alone needs. */
static struct reader *reader_new(struct arena *arena, struct arena *aside,
                                 const struct source_set *sources, uint32_t file,
                                 struct diag_list *diags) {
  struct reader *reader = arena_alloc(aside, 1, sizeof *reader);
  reader->arena = arena;
  reader->aside = aside;
  reader->sources = sources;
  reader->source = source_get(sources, file);
  reader->diags = diags;
  reader->lexer = lexer_new(arena, aside, sources, file, diags);
  size_t most = lexer_room(reader->lexer), nested = most < MOST_NESTED ? most : MOST_NESTED;
  reader->tokens = arena_room(aside, most + 2, sizeof *reader->tokens);
  reader->brackets = arena_room(aside, nested, sizeof(void *));
  return reader;
}

void reader_read_to(struct reader *reader, size_t index) {
  while (index >= reader->token_count)
    reader->token_count += lexer_read_on(reader->lexer, reader->tokens + reader->token_count);
}

/* Moving what is left costs little beside reading so many. */
enum { TOKENS_FORGOTTEN = 2000 };

void reader_forget(struct reader *reader) {
  if (reader->at < TOKENS_FORGOTTEN)
    return;
  const struct token **held[] = {&reader->now, &reader->before};
  for (size_t i = 0; i < 2; i++)
    if (*held[i]) {
      reader->kept[i] = **held[i];
      *held[i] = &reader->kept[i];
    }
  size_t from = reader->at - 1; /* the last one read stays before the next */
  reader->token_count -= from;
  memmove(reader->tokens, reader->tokens + from, reader->token_count * sizeof *reader->tokens);
  reader->at = 1;
}

span token_end(const struct token *token) {
  return (span){.file = token->at.file, .begin = token->at.end, .end = token->at.end};
}

static void give(struct reader *reader, int kind, const struct token *token) {
  const union JOB_STYPE value = {.TOKEN_NAME = token};
  span at = token->at;
  int status = job_push_parse(reader->parser, kind, &value, &at, reader);
  reader->parser_is_done = status != YYPUSH_MORE;
}

/* Not before there is something that is not plain, which in most files there is not. */
static void parser_begin(struct reader *reader, int kind) {
  reader->parser = job_pstate_new();
  if (!reader->parser) {
    fputs("borelay: out of memory\n", stderr);
    exit(3);
  }
  if (kind != TOKEN_START_VALUE)
    give(reader, TOKEN_START_FILE, &reader->tokens[0]);
}

void reader_push(struct reader *reader, int kind, const struct token *token) {
  if (reader->parser_is_done || reader->is_skipped)
    return;
  if (!reader->parser)
    parser_begin(reader, kind);
  reader->before = reader->now;
  reader->now = token;
  reader->now_kind = kind;
  give(reader, kind, token);
}

struct token *reader_make(struct reader *reader, int kind) {
  struct token *token = arena_alloc(reader->arena, 1, sizeof *token);
  token->kind = (int16_t)kind;
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

void reader_end_file(struct reader *reader) {
  assert(reader->block_count == 0); /* every fault is inside a rule of recovery */
  reader->declarations = statements_take(reader, 0, &reader->declaration_count);
}

/* As if behind a newline. */
static void stand_before(struct reader *reader, span at) {
  reader->tokens[0] = (struct token){.kind = TOKEN_NEWLINE, .at = at};
  reader->at = reader->token_count = 1;
  reader->now = reader->before = &reader->tokens[0];
}

struct syn_file *syntax_parse_sifted(struct arena *arena, const struct source_set *sources,
                                     uint32_t file, struct diag_list *diags,
                                     const struct syn_sift *sift) {
  struct arena *aside = sift ? arena : arena_new();
  struct reader *reader = reader_new(arena, aside, sources, file, diags);
  if (sift) {
    reader->sift = sift;
    reader->arena = arena_new();
  }
  reader->blocks = arena_room(aside, MOST_NESTED, sizeof *reader->blocks);
  stand_before(reader, (span){.file = file, .begin = 0, .end = 0});
  reader_read_file(reader);
  if (reader->parser)
    job_pstate_delete(reader->parser);
  struct syn_file *tree = arena_alloc(arena, 1, sizeof *tree);
  tree->file = file;
  tree->items = reader->declarations;
  tree->item_count = reader->declaration_count;
  tree->is_incomplete = reader->is_incomplete || lexer_is_unread(reader->lexer);
  if (!sift) {
    arena_free(aside);
    return tree;
  }
  arena_adopt(arena, reader->arena);
  reader->sift = NULL;
  reader->arena = arena;
  tree->reader = reader;
  return tree;
}

struct syn_file *syntax_parse(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags) {
  return syntax_parse_sifted(arena, sources, file, diags, NULL);
}

const struct syn_statement *syntax_whole(const struct syn_file *tree,
                                         const struct syn_statement *block) {
  struct reader *reader = tree->reader;
  assert(reader);
  stand_before(reader, block->at);
  reader->is_single = true;
  lexer_pass(reader->lexer, reader->source->text + block->at.begin);
  plain_read(reader); /* as it did before */
  assert(reader->statement_count == 1);
  reader->statement_count = 0;
  return reader->statements[0];
}

struct syn_expr *syntax_parse_value(struct arena *arena, const struct source_set *sources,
                                    uint32_t file, struct diag_list *diags) {
  size_t errors = diag_error_count(diags);
  struct reader *reader = reader_new(arena, arena, sources, file, diags);
  reader_read_value(reader);
  job_pstate_delete(reader->parser);
  return diag_error_count(diags) > errors ? NULL : reader->value;
}
