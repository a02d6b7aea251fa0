/* Statements of the plainest forms, which nearly all are: a key, a number with or without its unit,
 * a range or a point of such, a name or a string, and the end; blocks of such statements.  They are
 * read straight from the text: no fault is possible in them, and the grammar would make the same of
 * their tokens (tests/parse/test_plain.c), one at a time.  What has any other form is left to it
 * from the first letter on; only then it hears of the blocks around that. */
#include <string.h>

#include "parse/plain.h"

/* -- statements ---------------------------------------------------------------------------- */

/* Behind blanks and a comment, if one follows: the line's end, or what else stands there. */
static const uint8_t *skip_to_end(const struct stretch *stretch, const uint8_t *at) {
  at = skip_blanks(at);
  if (*at == '#') {
    const uint8_t *newline = memchr(at, '\n', (size_t)(stretch->limit - at));
    at = newline ? newline : stretch->limit;
  }
  return *at == '\r' && at[1] == '\n' ? at + 1 : at;
}

static const uint8_t *skip_lines(const struct stretch *stretch, const uint8_t *at) {
  while (*(at = skip_to_end(stretch, at)) == '\n')
    at++;
  return at;
}

static void take(struct stretch *stretch, int kind, const uint8_t *begin, const uint8_t *end) {
  stretch->last.at = span_of(stretch, begin, end);
  stretch->last.kind = (int16_t)kind;
  stretch->read_to = end;
}

/* Takes the end of a statement that is over at stretch->at; false: something else follows, or the
 * statement may be a block whose brace stands below. */
static bool end(struct stretch *stretch) {
  const uint8_t *over = stretch->at;
  if (*over == ';') {
    take(stretch, TOKEN_SEMICOLON, over, over + 1);
    return true;
  }
  const uint8_t *at = skip_to_end(stretch, over);
  if (*at == '\n' && *skip_lines(stretch, at) == '{')
    return false;
  int kind = *at == '\n' ? TOKEN_NEWLINE : *at == ';' ? TOKEN_SEMICOLON : TOKEN_END;
  if (kind == TOKEN_END && *at != '}')
    return false;
  if (kind == TOKEN_END)
    take(stretch, kind, over, over); /* the brace is not for here */
  else
    take(stretch, kind, at, at + 1);
  return true;
}

static bool property(struct stretch *stretch) {
  struct token key = plain_word(stretch);
  const uint8_t *behind = stretch->at;
  stretch->at = skip_blanks(behind);
  if (key.kind != TOKEN_NAME || stretch->at == behind || *stretch->at == '{')
    return false;
  struct syn_expr *made = plain_value(stretch);
  if (!made || !end(stretch))
    return false;
  struct syn_statement *property = arena_alloc(stretch->reader->arena, 1, sizeof *property);
  *property = (struct syn_statement){
      .at = {.file = key.at.file, .begin = key.at.begin, .end = made->at.end},
      .kind = SYN_PROPERTY,
      .key = key.text,
      .key_begin = key.at.begin,
      .key_length = key.at.end - key.at.begin,
      .value = made,
      .block = &block_empty};
  statement_add(stretch->reader, property);
  return true;
}

/* -- blocks -------------------------------------------------------------------------------- */

/* Takes a word and the blanks behind it; kind 0: there is none. */
static struct token take_word(struct stretch *stretch) {
  struct token word = plain_word(stretch);
  stretch->at = skip_blanks(stretch->at);
  return word;
}

/* `2` in `layer 2 {`; kind 0: it is not that. */
static struct token take_number_name(struct stretch *stretch) {
  const uint8_t *begin = stretch->at, *behind = begin;
  while (*behind >= '0' && *behind <= '9')
    behind++;
  if (behind == begin || *skip_blanks(behind) != '{')
    return (struct token){.kind = 0};
  stretch->at = skip_blanks(behind);
  struct token number = {.kind = TOKEN_NUMBER, .at = span_of(stretch, begin, behind)};
  return *reader_number_as_name(stretch->reader, &number);
}

/* job "title", up to the brace. */
static bool take_job_head(struct stretch *stretch, struct pending *head) {
  head->name = plain_string(stretch);
  stretch->at = skip_blanks(stretch->at);
  return head->name.kind == TOKEN_STRING && *stretch->at == '{';
}

/* kind [name [variant]] [like OTHER], up to the brace. */
static bool take_head(struct stretch *stretch, struct pending *head) {
  *head = (struct pending){.kind = take_word(stretch), .begin = stretch->reader->statement_count};
  bool is_inside = stretch->pending_count > 0 || stretch->reader->block_count > 0;
  if (head->kind.kind == TOKEN_JOB && !is_inside)
    return take_job_head(stretch, head);
  if (head->kind.kind != TOKEN_NAME || (is_inside && outlook_is_top_kind(&head->kind)))
    return false;
  struct token next = take_number_name(stretch);
  if (next.kind == 0)
    next = take_word(stretch);
  if (next.kind == TOKEN_NAME || next.kind == TOKEN_NUMBER) {
    head->name = next;
    next = take_word(stretch);
  }
  if (next.kind == TOKEN_NAME) {
    head->variant = next;
    next = take_word(stretch);
  }
  if (next.kind == TOKEN_LIKE) {
    head->like = next;
    head->of = take_word(stretch);
    if (head->of.kind != TOKEN_NAME)
      return false;
  } else if (next.kind != 0) {
    return false;
  }
  return *stretch->at == '{';
}

static bool block_begins(struct stretch *stretch) {
  const uint8_t *begin = stretch->at;
  bool has_room = stretch->pending_count < MOST_PENDING &&
                  stretch->reader->block_count + stretch->pending_count < MOST_NESTED;
  if (!has_room)
    return false;
  struct pending *head = &stretch->pending[stretch->pending_count];
  if (stretch->pending_count == 0)
    stretch->mark = arena_mark(stretch->reader->arena);
  if (!take_head(stretch, head))
    return false;
  head->indent = stretch->line ? begin - stretch->line : -1;
  take(stretch, TOKEN_OPEN_BRACE, stretch->at, stretch->at + 1);
  head->brace = stretch->last;
  stretch->pending_count++;
  return true;
}

static const struct token *given(const struct token *token) {
  return token->kind != 0 ? token : NULL;
}

/* Whether who sifts the file is done with a block. */
static bool is_done_with(const struct stretch *stretch, const struct pending *head,
                         const struct syn_statement *block) {
  const struct syn_sift *sift = stretch->reader->sift;
  bool is_top = stretch->pending_count == 0 && stretch->reader->block_count == 0;
  return sift && is_top && head->name.kind == TOKEN_NAME &&
         sift->is_done_with(sift->context, block);
}

static struct syn_statement *block_of(const struct stretch *stretch, const struct pending *head,
                                      struct head_names names) {
  return head->kind.kind == TOKEN_JOB ? head_job(stretch->reader, &head->kind, names.name)
                                      : head_new(stretch->reader, &head->kind, names);
}

static bool block_ends(struct stretch *stretch) {
  if (*stretch->at != '}' || stretch->pending_count == 0)
    return false;
  const struct pending *head = &stretch->pending[--stretch->pending_count];
  take(stretch, TOKEN_CLOSE_BRACE, stretch->at, stretch->at + 1);
  struct head_names names = {
      .name = given(&head->name), .variant = given(&head->variant), .like = given(&head->of)};
  struct syn_statement *block = block_of(stretch, head, names);
  block_close(stretch->reader, block, head->begin, &stretch->last);
  if (is_done_with(stretch, head, block)) {
    arena_back(stretch->reader->arena, stretch->mark);
    block = head_sifted(stretch->reader, &head->kind, names, &stretch->last);
  }
  statements_add(stretch->reader, block);
  return true;
}

/* -- the grammar hears of it ---------------------------------------------------------------- */

static const struct token *token_add(struct reader *reader, const struct token *token) {
  struct token *added = &reader->tokens[reader->token_count++];
  *added = *token;
  return added;
}

static void push_given(struct reader *reader, const struct token *token) {
  if (token->kind != 0)
    reader_push(reader, token->kind, token_add(reader, token));
}

/* As read_words() in feed.c reads a head. */
static void block_tell(struct reader *reader, const struct pending *head) {
  reader->has_fault = reader->is_told = reader->is_split = false;
  reader->bracket_count = reader->operator_count = 0;
  reader->first = token_add(reader, &head->kind);
  reader->first_kind = head->kind.kind == TOKEN_JOB ? TOKEN_JOB : TOKEN_KIND;
  reader_push(reader, reader->first_kind, reader->first);
  push_given(reader, &head->name);
  push_given(reader, &head->variant);
  push_given(reader, &head->like);
  push_given(reader, &head->of);
  reader->body_begin = head->begin;
  reader->has_body_begun = true;
  reader->at = reader->token_count;
  brace_open(reader, token_add(reader, &head->brace));
}

/* -- all ----------------------------------------------------------------------------------- */

static bool brace_may_be_missing(const struct stretch *stretch) {
  const struct reader *reader = stretch->reader;
  if (!stretch->line || (stretch->pending_count == 0 && reader->block_count == 0))
    return false;
  long outer = stretch->pending_count > 0 ? stretch->pending[stretch->pending_count - 1].indent
                                          : reader->blocks[reader->block_count - 1].indent;
  long indent = stretch->at - stretch->line;
  return brace_is_suspected(reader, outer, *stretch->at == '}' ? indent + 1 : indent);
}

/* Goes to the first byte of the next statement or of a closing brace. */
static void go_on(struct stretch *stretch) {
  const uint8_t *at = stretch->read_to;
  stretch->line = stretch->last.kind == TOKEN_NEWLINE ? at : NULL;
  while (*(at = skip_to_end(stretch, at)) == '\n' || *at == ';') {
    at++;
    stretch->line = at[-1] == '\n' ? at : NULL;
  }
  stretch->at = at;
}

/* Takes a whole statement, a head or a closing brace. */
static bool take_next(struct stretch *stretch) {
  go_on(stretch);
  if (brace_may_be_missing(stretch))
    return false;
  const uint8_t *begin = stretch->at;
  bool is_inside = stretch->pending_count > 0 || stretch->reader->block_count > 0;
  if (is_inside && (block_ends(stretch) || property(stretch)))
    return true;
  stretch->at = begin;
  return block_begins(stretch);
}

void plain_read(struct reader *reader) {
  bool is_settings = reader->block_count > 0 && reader->blocks[reader->block_count - 1].is_use;
  if (is_settings || reader->at < reader->token_count)
    return;
  const uint8_t *begin = lexer_place(reader->lexer);
  struct stretch stretch = {.reader = reader,
                            .text = reader->source->text,
                            .limit = reader->source->text + reader->source->length,
                            .read_to = begin,
                            .last = reader->tokens[reader->at - 1]};
  if (reader->block_count == 0)
    reader->suspect.file = 0;
  while (take_next(&stretch) && !(reader->is_single && stretch.pending_count == 0))
    ;
  if (stretch.read_to == begin)
    return;
  lexer_pass(reader->lexer, stretch.read_to);
  for (size_t i = 0; i < stretch.pending_count; i++)
    block_tell(reader, &stretch.pending[i]);
  reader->now = reader->before = token_add(reader, &stretch.last);
  reader->now_kind = TOKEN_END;
  reader->at = reader->token_count;
  reader->has_strays = false;
}
