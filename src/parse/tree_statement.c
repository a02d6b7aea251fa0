/* Nodes of statements.  Of a statement with a fault as much is kept as is sure, so that
 * what refers to it is not told as a second fault. */
#include <string.h>

#include "parse/reader.h"

struct syn_name name_of(const struct token *token) {
  if (!token)
    return (struct syn_name){.text = NULL};
  return (struct syn_name){.text = token->text, .at = token->at};
}

const struct token *reader_number_as_name(struct reader *reader, const struct token *number) {
  struct token *name = arena_alloc(reader->arena, 1, sizeof *name);
  *name = *number;
  const char *text = (const char *)reader->source->text;
  name->text =
      arena_text(reader->arena, text + number->at.begin, number->at.end - number->at.begin);
  return name;
}

const struct syn_block block_empty;

static struct syn_statement *statement_new(struct reader *reader, enum syn_statement_kind kind,
                                           span at) {
  struct syn_statement *statement = arena_alloc(reader->arena, 1, sizeof *statement);
  statement->kind = kind;
  statement->at = at;
  statement->block = &block_empty;
  return statement;
}

/* A statement with what a block has, which is filled in as it is read. */
struct whole_block {
  struct syn_statement statement; /* first */
  struct syn_block block;
};

static struct syn_block *block_of(struct syn_statement *statement) {
  return &((struct whole_block *)(void *)statement)->block;
}

static struct syn_statement *block_new(struct reader *reader, enum syn_statement_kind kind,
                                       span at) {
  struct whole_block *whole = arena_alloc(reader->arena, 1, sizeof *whole);
  whole->statement = (struct syn_statement){.kind = kind, .at = at, .block = &whole->block};
  whole->block.head = at;
  return &whole->statement;
}

/* A statement's END is not part of it. */
static span until(span at, const struct syn_expr *last, span otherwise) {
  at.end = last ? last->at.end : otherwise.end;
  return at;
}

span syn_key_at(const struct syn_statement *statement) {
  uint32_t begin = statement->key_begin;
  return (span){.file = statement->at.file, .begin = begin, .end = begin + statement->key_length};
}

static void key_set(struct syn_statement *statement, const struct token *key) {
  statement->key = key->text;
  statement->key_begin = key->at.begin;
  statement->key_length = key->at.end - key->at.begin;
}

struct syn_statement *property_new(struct reader *reader, const struct token *key,
                                   struct syn_expr *value, span at) {
  struct syn_statement *property = statement_new(reader, SYN_PROPERTY, until(at, value, key->at));
  key_set(property, key);
  property->value = value;
  return property;
}

static void tell_dotted(struct reader *reader, const struct token *name) {
  diag_error(reader->diags, DIAG_NAME_FORM, name->at,
             "a name that is given here has no dot; this is `%s`", name->text);
}

struct syn_statement *value_new(struct reader *reader, enum syn_statement_kind kind,
                                const struct token *name, struct syn_expr *value,
                                struct syn_expr *range, span at) {
  at = until(at, range ? range : value, name->at);
  struct syn_statement *statement =
      range ? block_new(reader, kind, at) : statement_new(reader, kind, at);
  key_set(statement, name);
  statement->value = value;
  if (range)
    block_of(statement)->range = range;
  if (kind != SYN_SETTING && strchr(name->text, '.'))
    tell_dotted(reader, name);
  return statement;
}

struct syn_statement *value_broken(struct reader *reader, enum syn_statement_kind kind,
                                   const struct token *word, span at) {
  const struct token *name = word + 1;
  if (name->kind != TOKEN_NAME) {
    reader_leave_out(reader);
    return NULL;
  }
  struct syn_statement *statement = value_new(reader, kind, name, NULL, NULL, at);
  statement->at = until(at, NULL, name->at);
  return statement;
}

/* From the first word of the statement to the last one. */
static span over(const struct token *first, const struct token *last) {
  return (span){.file = first->at.file, .begin = first->at.begin, .end = last->at.end};
}

struct syn_statement *use_new(struct reader *reader, const struct token *word,
                              const struct token *path, const struct token *as) {
  struct syn_statement *use = block_new(reader, SYN_USE, over(word, as ? as : path));
  block_of(use)->title = name_of(path);
  block_of(use)->name = name_of(as);
  if (as && strchr(as->text, '.'))
    tell_dotted(reader, as);
  return use;
}

struct syn_statement *head_new(struct reader *reader, const struct token *kind,
                               struct head_names names) {
  const struct token *last = names.like      ? names.like
                             : names.variant ? names.variant
                             : names.name    ? names.name
                                             : kind;
  struct syn_statement *head = block_new(reader, SYN_BLOCK, over(kind, last));
  key_set(head, kind);
  block_of(head)->name = name_of(names.name);
  block_of(head)->variant = name_of(names.variant);
  block_of(head)->like = name_of(names.like);
  return head;
}

struct syn_statement *head_sifted(struct reader *reader, const struct token *kind,
                                  struct head_names names, const struct token *close) {
  struct syn_statement *head = head_new(reader, kind, names);
  head->at.end = close->at.end;
  block_of(head)->is_sifted = true;
  return head;
}

struct syn_statement *head_job(struct reader *reader, const struct token *job,
                               const struct token *title) {
  struct syn_statement *head = block_new(reader, SYN_BLOCK, over(job, title));
  key_set(head, job);
  head->key = "job"; /* it may be misspelt */
  block_of(head)->title = name_of(title);
  return head;
}

struct syn_statement *head_broken(struct reader *reader, const struct token *kind, span brace) {
  struct head_names names = {.name = NULL};
  bool is_job = kind->kind == TOKEN_JOB;
  if (!is_job && (kind[1].kind == TOKEN_NAME || kind[1].kind == TOKEN_STRING))
    names.name = kind + 1;
  if (names.name && kind[2].kind == TOKEN_NAME)
    names.variant = kind + 2;
  if (!is_job && !names.name) {
    reader_leave_out(reader);
    return NULL;
  }
  struct syn_statement *head = head_new(reader, kind, names);
  if (is_job) {
    head->key = "job";
    block_of(head)->title = (struct syn_name){.text = "", .at = kind->at};
  }
  block_of(head)->head.end = brace.begin;
  block_of(head)->is_incomplete = true;
  return head;
}

struct syn_statement *block_close(struct reader *reader, struct syn_statement *head, size_t body,
                                  const struct token *close) {
  size_t count;
  struct syn_statement **items = statements_take(reader, body, &count);
  if (!head)
    return NULL;
  head->at.end = close->at.end;
  struct syn_block *block = block_of(head);
  block->items = items;
  block->item_count = count;
  block->is_incomplete = block->is_incomplete || close->is_incomplete;
  return head;
}

size_t statements_begin(struct reader *reader) {
  bool has_begun = reader->has_body_begun;
  reader->has_body_begun = false;
  return has_begun ? reader->body_begin : reader->statement_count;
}

void statements_grow(struct reader *reader) {
  size_t room = reader->statement_room ? reader->statement_room * 2 : 64;
  reader->statements = arena_grow(reader->aside, reader->statements, reader->statement_count, room,
                                  sizeof *reader->statements);
  reader->statement_room = room;
}

void statements_add(struct reader *reader, struct syn_statement *next) {
  if (next)
    statement_add(reader, next);
}

struct syn_statement **statements_take(struct reader *reader, size_t begin, size_t *count) {
  *count = reader->statement_count - begin;
  reader->statement_count = begin;
  if (*count == 0)
    return NULL;
  return arena_copy(reader->arena, reader->statements + begin, *count, *count,
                    sizeof *reader->statements);
}
