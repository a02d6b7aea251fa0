/* The grammar of the job language (docs/language.md, section 1 and 2).
 *
 * Tokens come from src/parse/feed.c, which has settled what ends a statement, whether a
 * statement is a block (KIND ... {) or a property (KEY value), and has mended braces; a
 * statement is always complete up to its END or its OPEN_BRACE, so each fault is over
 * there and the next statement is read afresh.  Most statements never come here:
 * src/parse/plain.c reads those of the plainest forms, as the rules below would. */
%require "3.8"
%language "C"
%define api.prefix {job_}
%define api.pure full
%define api.push-pull push
%define api.token.raw
%define api.token.prefix {TOKEN_}
%define api.location.type {span}
%define api.value.type union
%define parse.error custom
%define parse.lac full
%expect 0
%locations
%parse-param {struct reader *reader}

%code requires {
#include "borelay/source.h"
struct reader;
struct token;
struct syn_expr;
struct syn_statement;
struct expr_list;
struct head_names { /* NULL: not given */
  const struct token *name, *variant, *like;
};
}

%code {
#include "parse/reader.h"

/* From the first to the last of a rule; of an empty rule, the end of what is before. */
#define YYLLOC_DEFAULT(Current, Rhs, N)                                                            \
  do {                                                                                             \
    (Current) = (N) ? YYRHSLOC(Rhs, 1) : YYRHSLOC(Rhs, 0);                                         \
    (Current).begin = (N) ? (Current).begin : (Current).end;                                       \
    (Current).end = (N) ? YYRHSLOC(Rhs, N).end : (Current).end;                                    \
  } while (0)

static void job_error(const span *at, struct reader *reader, const char *message);
}

%token START_FILE START_VALUE
%token NEWLINE SEMICOLON /* never reach the grammar */
%token END               /* of a statement */
%token <const struct token *> KEY KIND NAME NUMBER UNIT STRING BROKEN
%token <const struct token *> USE PARAM LET JOB
%token LIKE AS RANGE
%token <const struct token *> OPEN_BRACE CLOSE_BRACE
%token OPEN_ROUND CLOSE_ROUND OPEN_SQUARE CLOSE_SQUARE
%token COMMA EQUALS DOTS PLUS MINUS STAR SLASH

/* A sign binds its operand alone: -a * b is (-a) * b. */
%left PLUS MINUS
%left STAR SLASH
%precedence SIGN

%nterm <struct syn_expr *> value item expr round
%nterm <struct expr_list *> items exprs
%nterm <struct syn_statement *> declaration block use param let
%nterm <struct syn_statement *> property setting statement
%nterm <size_t> body settings /* where their statements begin: statements_take() */
%nterm <const struct token *> block_name as
%nterm <struct head_names> names plain_names

%%

start:
  START_FILE declarations         { reader_end_file(reader); }
| START_VALUE value END           { reader->value = $value; }
| START_VALUE error END           { yyerrok; }
;

declarations: /* behind those that were plain */
  %empty
| declarations declaration        { statements_add(reader, $declaration); }
;

declaration: block | use | param | let ;

/* Blocks */

block: /* KIND stays on the stack up to the brace, so a fault anywhere in the head is caught */
  KIND names OPEN_BRACE body CLOSE_BRACE
    {
      struct syn_statement *head = head_new(reader, $KIND, $names);
      $$ = block_close(reader, head, $body, $CLOSE_BRACE);
    }
| JOB STRING OPEN_BRACE body CLOSE_BRACE
    {
      struct syn_statement *head = head_job(reader, $JOB, $STRING);
      $$ = block_close(reader, head, $body, $CLOSE_BRACE);
    }
| KIND error OPEN_BRACE[brace] { yyerrok; } body CLOSE_BRACE
    {
      struct syn_statement *head = head_broken(reader, $KIND, @brace);
      $$ = block_close(reader, head, $body, $CLOSE_BRACE);
    }
| JOB error OPEN_BRACE[brace] { yyerrok; } body CLOSE_BRACE
    {
      struct syn_statement *head = head_broken(reader, $JOB, @brace);
      $$ = block_close(reader, head, $body, $CLOSE_BRACE);
    }
;

names:
  plain_names
| plain_names LIKE NAME           { $$ = $plain_names; $$.like = $NAME; }
;

plain_names:
  %empty                          { $$ = (struct head_names){.name = NULL}; }
| block_name[name]                { $$ = (struct head_names){.name = $name}; }
| block_name[name] NAME[variant]
    { $$ = (struct head_names){.name = $name, .variant = $variant}; }
;

block_name:
  NAME
| NUMBER                          { $$ = reader_number_as_name(reader, $NUMBER); }
;

body:
  %empty                          { $$ = statements_begin(reader); }
| body[list] statement            { $$ = $list; statements_add(reader, $statement); }
;

statement: block | property ;

property:
  KEY value END                   { $$ = property_new(reader, $KEY, $value, @$); }
| KEY error END                   { yyerrok; $$ = property_new(reader, $KEY, NULL, @$); }
;

/* Declarations that are no blocks */

use:
  USE STRING as END               { $$ = use_new(reader, $USE, $STRING, $as); }
| USE STRING as OPEN_BRACE settings CLOSE_BRACE
    {
      struct syn_statement *head = use_new(reader, $USE, $STRING, $as);
      $$ = block_close(reader, head, $settings, $CLOSE_BRACE);
    }
| USE error END /* its `as` may be the fault, so no name of the file is sure */
    { yyerrok; reader_leave_out(reader); $$ = NULL; }
;

as:
  %empty                          { $$ = NULL; }
| AS NAME                         { $$ = $NAME; }
;

settings:
  %empty                          { $$ = reader->statement_count; }
| settings[list] setting          { $$ = $list; statements_add(reader, $setting); }
;

setting:
  KEY EQUALS value END            { $$ = value_new(reader, SYN_SETTING, $KEY, $value, NULL, @$); }
| KEY error END                   { yyerrok;
                                    $$ = value_new(reader, SYN_SETTING, $KEY, NULL, NULL, @$); }
;

param:
  PARAM NAME EQUALS value END     { $$ = value_new(reader, SYN_PARAM, $NAME, $value, NULL, @$); }
| PARAM NAME EQUALS value RANGE expr[low] DOTS[dots] expr[high] END
    {
      struct syn_expr *range = expr_binary(reader, SYN_RANGE, $low, $high, @dots);
      $$ = value_new(reader, SYN_PARAM, $NAME, $value, range, @$);
    }
| PARAM error END                 { yyerrok; $$ = value_broken(reader, SYN_PARAM, $PARAM, @$); }
;

let:
  LET NAME EQUALS value END       { $$ = value_new(reader, SYN_LET, $NAME, $value, NULL, @$); }
| LET error END                   { yyerrok; $$ = value_broken(reader, SYN_LET, $LET, @$); }
;

/* Values */

value:
  item
| items                           { $$ = expr_of_list(reader, SYN_LIST, $items, @$); }
| OPEN_SQUARE item CLOSE_SQUARE
    { $$ = expr_of_list(reader, SYN_LIST, exprs_new(reader, $item), @$); }
| OPEN_SQUARE items CLOSE_SQUARE  { $$ = expr_of_list(reader, SYN_LIST, $items, @$); }
;

items: /* two or more */
  item[a] COMMA item[b]           { $$ = exprs_add(reader, exprs_new(reader, $a), $b); }
| items[list] COMMA item          { $$ = exprs_add(reader, $list, $item); }
;

item:
  expr
| expr[a] DOTS expr[b]            { $$ = expr_binary(reader, SYN_RANGE, $a, $b, @DOTS); }
;

expr:
  NUMBER                          { $$ = expr_number(reader, $NUMBER, NULL, @$); }
| NUMBER UNIT                     { $$ = expr_number(reader, $NUMBER, $UNIT, @$); }
| BROKEN                          { $$ = expr_broken(reader, @$); }
| BROKEN UNIT                     { $$ = expr_broken(reader, @$); }
| STRING                          { $$ = expr_text(reader, SYN_STRING, $STRING); }
| NAME                            { $$ = expr_text(reader, SYN_NAME, $NAME); }
| NAME OPEN_ROUND exprs CLOSE_ROUND
    { $$ = expr_call(reader, $NAME, $exprs, @$); }
| NAME OPEN_ROUND exprs CLOSE_ROUND UNIT
    { $$ = expr_unit_misplaced(reader, expr_call(reader, $NAME, $exprs, @$), $UNIT); }
| round                           { $$ = expr_round(reader, $round, NULL); }
| round UNIT                      { $$ = expr_round(reader, $round, $UNIT); }
| MINUS expr[a] %prec SIGN        { $$ = expr_negate(reader, $a, @$, @MINUS); }
| expr[a] PLUS expr[b]            { $$ = expr_binary(reader, SYN_ADD, $a, $b, @PLUS); }
| expr[a] MINUS expr[b]           { $$ = expr_binary(reader, SYN_SUBTRACT, $a, $b, @MINUS); }
| expr[a] STAR expr[b]            { $$ = expr_binary(reader, SYN_MULTIPLY, $a, $b, @STAR); }
| expr[a] SLASH expr[b]           { $$ = expr_binary(reader, SYN_DIVIDE, $a, $b, @SLASH); }
;

round: /* one expression in parentheses, or a point's coordinates; told apart later */
  OPEN_ROUND exprs CLOSE_ROUND    { $$ = expr_of_list(reader, SYN_POINT, $exprs, @$); }
;

exprs:
  expr                            { $$ = exprs_new(reader, $expr); }
| exprs[list] COMMA expr          { $$ = exprs_add(reader, $list, $expr); }
;

%%

/* Called only when the parser's own stack is full, long after the limit on nesting. */
static void job_error(const span *at, struct reader *reader, const char *message) {
  (void)message;
  reader_tell_nesting(reader, *at);
}

static int yyreport_syntax_error(const yypcontext_t *context, struct reader *reader) {
  yysymbol_kind_t expected[YYNTOKENS];
  int count = yypcontext_expected_tokens(context, expected, YYNTOKENS);
  bool wanted[YYNTOKENS] = {false};
  for (int i = 0; i < count; i++)
    wanted[expected[i]] = true; /* api.token.raw: symbols and tokens have one numbering */
  reader_tell_fault(reader, wanted);
  return 0;
}
