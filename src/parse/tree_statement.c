/* Nodes of statements.  Of a statement with a fault as much is kept as is sure, so that
 * what refers to it is not told as a second fault. */
#include <string.h>

#include "parse/reader.h"

struct syn_name name_of(const struct token *token) {
  if (!token)
    return (struct syn_name){.text = NULL};
  return (struct syn_name){.text = token->text, .at = token->at};
}

static struct syn_statement *statement_new(struct reader *reader, enum syn_statement_kind kind,
                                           span at) {
  struct syn_statement *statement = arena_alloc(reader->arena, 1, sizeof *statement);
  statement->kind = kind;
  statement->at = at;
  return statement;
}

/* A statement's END is not part of it. */
static span until(span at, const struct syn_expr *last, span otherwise) {
  at.end = last ? last->at.end : otherwise.end;
  return at;
}

struct syn_statement *property_new(struct reader *reader, const struct token *key,
                                   struct syn_expr *value, span at) {
  struct syn_statement *property = statement_new(reader, SYN_PROPERTY, until(at, value, key->at));
  property->key = name_of(key);
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
  struct syn_statement *statement =
      statement_new(reader, kind, until(at, range ? range : value, name->at));
  statement->key = name_of(name);
  statement->value = value;
  statement->range = range;
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
  struct syn_statement *use = statement_new(reader, SYN_USE, over(word, as ? as : path));
  use->title = name_of(path);
  use->name = name_of(as);
  use->head = use->at;
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
  struct syn_statement *block = statement_new(reader, SYN_BLOCK, over(kind, last));
  block->key = name_of(kind);
  block->name = name_of(names.name);
  block->variant = name_of(names.variant);
  block->like = name_of(names.like);
  block->head = block->at;
  return block;
}

struct syn_statement *head_job(struct reader *reader, const struct token *job,
                               const struct token *title) {
  struct syn_statement *block = statement_new(reader, SYN_BLOCK, over(job, title));
  block->key = (struct syn_name){.text = "job", .at = job->at}; /* it may be misspelt */
  block->title = name_of(title);
  block->head = block->at;
  return block;
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
  struct syn_statement *block = head_new(reader, kind, names);
  if (is_job) {
    block->key.text = "job";
    block->title = (struct syn_name){.text = "", .at = kind->at};
  }
  block->head.end = brace.begin;
  block->is_incomplete = true;
  return block;
}

struct syn_statement *block_close(struct syn_statement *head, const struct token *open,
                                  struct statement_list *body, const struct token *close) {
  if (!head)
    return NULL;
  head->body_open = open->at;
  head->at.end = close->at.end;
  head->items = body->items;
  head->item_count = body->count;
  head->is_incomplete = head->is_incomplete || close->is_incomplete;
  return head;
}

struct statement_list *statements_new(struct reader *reader) {
  return arena_alloc(reader->arena, 1, sizeof(struct statement_list));
}

struct statement_list *statements_add(struct reader *reader, struct statement_list *list,
                                      struct syn_statement *next) {
  if (!next)
    return list;
  if (list->count == list->room) {
    size_t room = list->room ? list->room * 2 : 8;
    list->items = arena_grow(reader->arena, list->items, list->count, room, sizeof(void *));
    list->room = room;
  }
  list->items[list->count++] = next;
  return list;
}
