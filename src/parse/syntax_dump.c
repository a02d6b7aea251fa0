/* The tree as text: statements indented, expressions in brackets with the operator first. */

#include "borelay/syntax.h"

static const char *operator_text(enum syn_expr_kind kind) {
  switch (kind) {
  case SYN_NEGATE:
  case SYN_SUBTRACT:
    return "-";
  case SYN_ADD:
    return "+";
  case SYN_MULTIPLY:
    return "*";
  case SYN_DIVIDE:
    return "/";
  case SYN_RANGE:
    return "..";
  case SYN_POINT:
    return "point";
  case SYN_LIST:
    return "list";
  case SYN_PARENTHESES:
    return "round";
  case SYN_BROKEN:
  case SYN_NUMBER:
  case SYN_STRING:
  case SYN_NAME:
  case SYN_CALL:
    break;
  }
  return "";
}

static void dump_string(const char *text, FILE *to) {
  fputc('"', to);
  for (; *text; text++) {
    if (*text == '\n') {
      fputs("\\n", to);
      continue;
    }
    if (*text == '"' || *text == '\\')
      fputc('\\', to);
    fputc(*text, to);
  }
  fputc('"', to);
}

static void dump_expr(const struct syn_expr *expr, FILE *to) {
  if (!expr || expr->kind == SYN_BROKEN) {
    fputs(expr ? "<broken>" : "<none>", to);
    return;
  }
  if (expr->kind == SYN_NUMBER)
    fprintf(to, "%.15g", expr->number);
  else if (expr->kind == SYN_STRING)
    dump_string(expr->text, to);
  else if (expr->kind == SYN_NAME)
    fputs(expr->text, to);
  else {
    fprintf(to, "(%s", expr->kind == SYN_CALL ? expr->function : operator_text(expr->kind));
    for (size_t i = 0; i < expr->item_count; i++) {
      fputc(' ', to);
      dump_expr(expr->items[i], to);
    }
    fputc(')', to);
  }
  if (syn_unit(expr))
    fprintf(to, "[%s]", syn_unit(expr));
}

static void dump_name(const char *before, struct syn_name name, FILE *to) {
  if (name.text)
    fprintf(to, "%s%s", before, name.text);
}

static void dump_statement(const struct syn_statement *statement, int depth, FILE *to) {
  static const char *const words[] = {
      [SYN_PROPERTY] = "",    [SYN_BLOCK] = "block ", [SYN_USE] = "use",
      [SYN_PARAM] = "param ", [SYN_LET] = "let ",     [SYN_SETTING] = "set ",
  };
  bool has_value = statement->kind != SYN_BLOCK && statement->kind != SYN_USE;
  fprintf(to, "%*s%s", 2 * depth, "", words[statement->kind]);
  if (statement->key)
    fputs(statement->key, to);
  if (statement->block->title.text) {
    fputc(' ', to);
    dump_string(statement->block->title.text, to);
  }
  dump_name(statement->kind == SYN_USE ? " as " : " ", statement->block->name, to);
  dump_name(" ", statement->block->variant, to);
  dump_name(" like ", statement->block->like, to);
  if (has_value) {
    fputc(' ', to);
    dump_expr(statement->value, to);
  }
  if (statement->block->range) {
    fputs(" range ", to);
    dump_expr(statement->block->range, to);
  }
  fputs(statement->block->is_incomplete ? " (incomplete)\n" : "\n", to);
  for (size_t i = 0; i < statement->block->item_count; i++)
    dump_statement(statement->block->items[i], depth + 1, to);
}

void syntax_dump(const struct syn_file *tree, FILE *to) {
  for (size_t i = 0; i < tree->item_count; i++)
    dump_statement(tree->items[i], 0, to);
  if (tree->is_incomplete)
    fputs("(incomplete)\n", to);
}

void syntax_dump_value(const struct syn_expr *value, FILE *to) {
  dump_expr(value, to);
  fputc('\n', to);
}
