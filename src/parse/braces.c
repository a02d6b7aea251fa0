/* Braces are kept in balance: of a forgotten one is told once, and the parser never sees
 * the gap.  Declarations stand at the top of a file only, so one that seems to be inside a
 * block shows that a `}` is missing before it. */
#include "parse/reader.h"

/* Passes over `{ ... }`, from the brace on. */
void brace_skip_group(struct reader *reader) {
  size_t depth = 0;
  do {
    int kind = reader_peek(reader)->kind;
    if (kind == TOKEN_YYEOF)
      return;
    depth += kind == TOKEN_OPEN_BRACE;
    depth -= kind == TOKEN_CLOSE_BRACE;
    reader->at++;
  } while (depth > 0);
}

/* A `}` that carries on whether its block is complete. */
static struct token *closing_brace(struct reader *reader, bool is_incomplete) {
  struct token *brace = reader_make(reader, TOKEN_CLOSE_BRACE);
  brace->is_incomplete = is_incomplete;
  return brace;
}

/* After the head of a block: its brace, or one that is made. */
void brace_open(struct reader *reader, const struct token *brace) {
  reader_push(reader, TOKEN_OPEN_BRACE, brace);
  if (reader->has_fault && reader->first_kind == TOKEN_USE) {
    brace_skip_group(reader); /* its `as` lacks a name: settings of nothing */
    reader_push(reader, TOKEN_END, reader_make(reader, TOKEN_END));
    return;
  }
  if (reader->block_count == MOST_NESTED) {
    reader_tell_nesting(reader, brace->at);
    if (brace == reader_peek(reader))
      brace_skip_group(reader);
    reader_push(reader, TOKEN_CLOSE_BRACE, closing_brace(reader, true));
    return;
  }
  if (brace == reader_peek(reader))
    reader->at++;
  span head = reader->first->at;
  head.end = brace->at.begin;
  reader->blocks[reader->block_count++] =
      (struct open_block){.head = head,
                          .brace = brace->at,
                          .indent = outlook_indent(reader, reader->first),
                          .is_use = reader->first_kind == TOKEN_USE};
}

void brace_close(struct reader *reader, span at, bool is_incomplete) {
  struct token *brace = closing_brace(reader, is_incomplete);
  brace->at = at;
  const struct open_block *block = &reader->blocks[--reader->block_count];
  brace->is_incomplete = is_incomplete || block->is_incomplete;
  reader_push(reader, TOKEN_CLOSE_BRACE, brace);
}

bool brace_is_suspected(const struct reader *reader, long outer, long indent) {
  return reader->suspect.file == 0 && outer >= 0 && indent >= 0 && indent <= outer;
}

void brace_suspect(struct reader *reader) {
  if (reader->block_count == 0) {
    reader->suspect.file = 0;
    return;
  }
  const struct open_block *block = &reader->blocks[reader->block_count - 1];
  bool is_first = reader->tokens[reader->at - 1].kind == TOKEN_NEWLINE;
  if (!is_first)
    return;
  const struct token *token = reader_peek(reader);
  long indent = outlook_indent(reader, token);
  bool is_closed = token->kind == TOKEN_CLOSE_BRACE && indent == block->indent;
  if (brace_is_suspected(reader, block->indent, indent) && !is_closed) {
    reader->suspect = block->head;
    reader->suspect_end = token->at.begin;
  }
}

/* Closes what is open: which one lacks its brace is not known, so none is complete. */
void brace_close_all(struct reader *reader) {
  const struct open_block *block = &reader->blocks[reader->block_count - 1];
  const char *name = reader_text(reader, block->head);
  const struct token *next = reader_peek(reader);
  struct diag *diag;
  if (next->kind == TOKEN_YYEOF)
    diag = diag_error(reader->diags, DIAG_BRACE_MISSING, next->at,
                      "the file ends inside `%s`; a `}` is missing", name);
  else
    diag = diag_error(reader->diags, DIAG_BRACE_MISSING, next->at,
                      "`%s` cannot stand inside `%s`; a `}` is missing before it",
                      reader_text(reader, next->at), name);
  if (reader->suspect.file == 0 || reader->suspect_end == next->at.begin)
    diag_note(diag, block->head, "opened here");
  else
    diag_note(
        diag, reader->suspect,
        "perhaps of the block opened here, since line %lu is indented no farther",
        (unsigned long)source_place_get(reader->sources, reader->suspect.file, reader->suspect_end)
            .line);
  while (reader->block_count > 0)
    brace_close(reader, token_end(next - 1), true);
  reader->suspect.file = 0;
}

void brace_tell(struct reader *reader, enum ending ending) {
  span head = reader->first->at;
  head.end = (reader_peek(reader) - 1)->at.end;
  const char *name = reader_text(reader, head);
  if (ending == ENDS_BRACE_MISSING) {
    diag_error(reader->diags, DIAG_BRACE_MISSING, token_end(reader_peek(reader) - 1),
               "a `{` is missing after `%s`", name);
    return;
  }
  while (reader_peek(reader)->kind == TOKEN_NEWLINE)
    reader->at++;
  struct diag *diag = diag_error(reader->diags, DIAG_BRACE_MISSING, reader_peek(reader)->at,
                                 "the `{` of a block stands on the line of its head");
  diag_help(diag, "write `%s {`", name);
}
