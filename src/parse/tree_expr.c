/* Nodes of expressions.  A broken part makes no message here; it was told already. */
#include <string.h>

#include "parse/reader.h"

static struct syn_expr *expr_new(struct reader *reader, enum syn_expr_kind kind, span at) {
  struct syn_expr *expr = arena_alloc(reader->arena, 1, sizeof *expr);
  expr->kind = kind;
  expr->at = at;
  return expr;
}

static span join(span a, span b) {
  return (span){.file = a.file, .begin = a.begin, .end = b.end};
}

span syn_unit_at(const struct syn_expr *expr) {
  span at = expr->at;
  at.begin = at.end - (uint32_t)strlen(syn_unit(expr));
  return at;
}

span syn_op_at(const struct syn_expr *expr) {
  return (span){.file = expr->at.file, .begin = expr->op_begin, .end = expr->op_begin + 1};
}

struct syn_expr *expr_broken(struct reader *reader, span at) {
  return expr_new(reader, SYN_BROKEN, at);
}

struct syn_expr *expr_number(struct reader *reader, const struct token *number,
                             const struct token *unit, span at) {
  if (unit && !unit->text)
    return expr_broken(reader, at);
  struct syn_expr *expr = expr_new(reader, SYN_NUMBER, at);
  expr->number = number->number;
  expr->unit = unit ? unit->text : NULL;
  return expr;
}

struct syn_expr *expr_text(struct reader *reader, enum syn_expr_kind kind,
                           const struct token *text) {
  struct syn_expr *expr = expr_new(reader, kind, text->at);
  expr->text = text->text;
  return expr;
}

/* As the field's width has it; no file holds so many. */
enum { ITEMS_MOST = 0xFFFFFFF };

struct syn_expr *expr_of_items(struct reader *reader, enum syn_expr_kind kind, span at,
                               struct syn_expr **items, size_t count) {
  struct syn_expr *expr = expr_new(reader, kind, at);
  expr->items = items;
  expr->item_count = (unsigned)count & ITEMS_MOST;
  return expr;
}

struct syn_expr *expr_negate(struct reader *reader, struct syn_expr *of, span at, span op_at) {
  struct syn_expr **items = arena_alloc(reader->arena, 1, sizeof(of));
  items[0] = of;
  struct syn_expr *expr = expr_of_items(reader, SYN_NEGATE, at, items, 1);
  expr->op_begin = op_at.begin;
  return expr;
}

struct syn_expr *expr_binary(struct reader *reader, enum syn_expr_kind kind, struct syn_expr *a,
                             struct syn_expr *b, span op_at) {
  struct syn_expr **items = arena_alloc(reader->arena, 2, sizeof(a));
  items[0] = a;
  items[1] = b;
  struct syn_expr *expr = expr_of_items(reader, kind, join(a->at, b->at), items, 2);
  expr->op_begin = op_at.begin;
  return expr;
}

struct syn_expr *expr_of_list(struct reader *reader, enum syn_expr_kind kind,
                              struct expr_list *list, span at) {
  return expr_of_items(reader, kind, at, list->items, list->count);
}

struct syn_expr *expr_call(struct reader *reader, const struct token *name,
                           struct expr_list *arguments, span at) {
  struct syn_expr *expr = expr_of_list(reader, SYN_CALL, arguments, at);
  expr->function = name->text;
  return expr;
}

struct syn_expr *expr_unit_misplaced(struct reader *reader, const struct syn_expr *expr,
                                     const struct token *unit) {
  const char *what =
      expr->kind == SYN_CALL ? "a function's result" : "an expression in parentheses";
  struct diag *diag = diag_error(reader->diags, DIAG_UNIT_PLACE, unit->at,
                                 "no unit follows %s; this is `%s`", what, unit->text);
  diag_help(diag, "give the unit to the numbers, or multiply by `1 %s`", unit->text);
  return expr_broken(reader, join(expr->at, unit->at));
}

static struct syn_expr *too_many_coordinates(struct reader *reader, const struct syn_expr *point) {
  diag_error(reader->diags, DIAG_POINT_COORDINATES, point->at,
             "a point has two or three coordinates; this has %u", (unsigned)point->item_count);
  return expr_broken(reader, point->at);
}

struct syn_expr *expr_round(struct reader *reader, struct syn_expr *round,
                            const struct token *unit) {
  if (round->item_count > 3)
    return too_many_coordinates(reader, round);
  if (round->item_count == 1) {
    round->kind = SYN_PARENTHESES;
    return unit ? expr_unit_misplaced(reader, round, unit) : round;
  }
  if (unit) {
    round->unit = unit->text;
    round->at = join(round->at, unit->at);
  }
  return round;
}

struct expr_list *exprs_new(struct reader *reader, struct syn_expr *first) {
  struct expr_list *list = arena_alloc(reader->arena, 1, sizeof *list);
  return exprs_add(reader, list, first);
}

struct expr_list *exprs_add(struct reader *reader, struct expr_list *list, struct syn_expr *next) {
  if (list->count == list->room) {
    size_t room = list->room ? list->room * 2 : 3;
    list->items = arena_grow(reader->arena, list->items, list->count, room, sizeof(void *));
    list->room = room;
  }
  list->items[list->count++] = next;
  return list;
}
