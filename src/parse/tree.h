/* tree.h - makes the nodes of the syntax tree; called by the grammar's actions only. */
#ifndef PARSE_TREE_H
#define PARSE_TREE_H

#include "borelay/syntax.h"
#include "borelay/token.h"
#include "job_parse.h"

struct reader;

struct expr_list {
  struct syn_expr **items;
  size_t count, room;
};

struct syn_name name_of(const struct token *token); /* NULL: no name */
/* A number where a name may stand: its text is one. */
const struct token *reader_number_as_name(struct reader *reader, const struct token *number);

/* Expressions (tree_expr.c) */
struct syn_expr *expr_number(struct reader *reader, const struct token *number,
                             const struct token *unit, span at);
struct syn_expr *expr_text(struct reader *reader, enum syn_expr_kind kind,
                           const struct token *text);
struct syn_expr *expr_broken(struct reader *reader, span at);
struct syn_expr *expr_negate(struct reader *reader, struct syn_expr *of, span at, span op_at);
struct syn_expr *expr_binary(struct reader *reader, enum syn_expr_kind kind, struct syn_expr *a,
                             struct syn_expr *b, span op_at);
/* items is kept; below 2^28 of them. */
struct syn_expr *expr_of_items(struct reader *reader, enum syn_expr_kind kind, span at,
                               struct syn_expr **items, size_t count);
struct syn_expr *expr_of_list(struct reader *reader, enum syn_expr_kind kind,
                              struct expr_list *list, span at);
struct syn_expr *expr_call(struct reader *reader, const struct token *name,
                           struct expr_list *arguments, span at);
/* What stands in round brackets: parentheses around one expression, or a point.  Tells of
 * a unit behind parentheses and of a fourth coordinate. */
struct syn_expr *expr_round(struct reader *reader, struct syn_expr *round,
                            const struct token *unit);
/* Tells that no unit follows expr, and gives a broken expression for both. */
struct syn_expr *expr_unit_misplaced(struct reader *reader, const struct syn_expr *expr,
                                     const struct token *unit);
struct expr_list *exprs_new(struct reader *reader, struct syn_expr *first);
struct expr_list *exprs_add(struct reader *reader, struct expr_list *list, struct syn_expr *next);

/* Statements (tree_statement.c).  Those that end in _broken make what can be made of a
 * statement whose fault was told: NULL is left out by statements_add(). */
extern const struct syn_block block_empty; /* of statements that have none */
struct syn_statement *property_new(struct reader *reader, const struct token *key,
                                   struct syn_expr *value, span at);
struct syn_statement *value_new(struct reader *reader, enum syn_statement_kind kind,
                                const struct token *name, struct syn_expr *value,
                                struct syn_expr *range, span at);
struct syn_statement *value_broken(struct reader *reader, enum syn_statement_kind kind,
                                   const struct token *word, span at);
struct syn_statement *use_new(struct reader *reader, const struct token *word,
                              const struct token *path, const struct token *as);
struct syn_statement *head_new(struct reader *reader, const struct token *kind,
                               struct head_names names);
/* The whole block, whose statements are left out. */
struct syn_statement *head_sifted(struct reader *reader, const struct token *kind,
                                  struct head_names names, const struct token *close);
struct syn_statement *head_job(struct reader *reader, const struct token *job,
                               const struct token *title);
/* Keeps the names that followed the kind; without any the block is left out (NULL). */
struct syn_statement *head_broken(struct reader *reader, const struct token *kind, span brace);
/* head NULL: nothing is made of it. */
struct syn_statement *block_close(struct reader *reader, struct syn_statement *head, size_t body,
                                  const struct token *close);
/* Statements wait in one row, those of an inner block behind those of the outer one, until their
 * block is closed and takes the last ones, from `begin` on. */
size_t statements_begin(struct reader *reader);
void statements_add(struct reader *reader, struct syn_statement *next);
struct syn_statement **statements_take(struct reader *reader, size_t begin, size_t *count);

#endif
