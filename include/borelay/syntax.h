/* syntax.h - the tree that the parser makes of one file.
 *
 * The tree keeps everything as written (names, units, order) with spans; it knows
 * no table of keys.  Broken statements are left out after their message was given;
 * broken expressions stay as SYN_BROKEN and are passed over in silence later. */
#ifndef BORELAY_SYNTAX_H
#define BORELAY_SYNTAX_H

#include <stdbool.h>
#include <stdio.h>

#include "borelay/source.h"

struct arena;
struct diag_list;

/* A name as written, one part or several joined by dots ("hw.first"). */
struct syn_name {
  const char *text; /* NULL: no name given */
  span at;
};

enum syn_expr_kind {
  SYN_BROKEN,
  SYN_NUMBER, /* number, unit */
  SYN_STRING, /* text, escapes resolved */
  SYN_NAME,   /* text: a let, a param, or a word of a key's table, told by place; dots allowed */
  SYN_NEGATE, /* items[0] */
  SYN_ADD,    /* items[0] op items[1] */
  SYN_SUBTRACT,
  SYN_MULTIPLY,
  SYN_DIVIDE,
  SYN_CALL,       /* function: its name; items: arguments */
  SYN_POINT,      /* items: 2 or 3 coordinates; unit (of all of them) or none */
  SYN_LIST,       /* items: two or more, or one or more in brackets */
  SYN_RANGE,      /* items[0] .. items[1] */
  SYN_PARENTHESES /* items[0]; kept so that "no unit follows" can be told */
};

/* A long file has so many of them that what a kind does not have takes no room in it. */
struct syn_expr {
  span at;
  enum syn_expr_kind kind : 4;
  unsigned item_count : 28; /* each item takes two bytes of a file of 256 MiB at most */
  union {
    double number;           /* SYN_NUMBER */
    const char *text;        /* SYN_STRING, SYN_NAME */
    struct syn_expr **items; /* of what has them */
  };
  union {
    const char *unit;     /* SYN_NUMBER, SYN_POINT: by syn_unit() */
    const char *function; /* SYN_CALL */
    uint32_t op_begin;    /* of the operator: by syn_op_at() */
  };
};
/* An entry of the unit table as written, at the expression's end; NULL: it has none. */
static inline const char *syn_unit(const struct syn_expr *expr) {
  return expr->kind == SYN_NUMBER || expr->kind == SYN_POINT ? expr->unit : NULL;
}
span syn_unit_at(const struct syn_expr *expr); /* of one with a unit */
span syn_op_at(const struct syn_expr *expr);   /* of SYN_NEGATE to SYN_DIVIDE */

enum syn_statement_kind {
  SYN_PROPERTY, /* key value */
  SYN_BLOCK,    /* kind [name | number | "title"] [shape kind] [like OTHER] { ... } */
  SYN_USE,      /* use "file" [as name] [{ settings }] : settings are SYN_SETTING */
  SYN_PARAM,    /* param name = value [range bounds] */
  SYN_LET,      /* let name = value */
  SYN_SETTING   /* name = value, only inside use { } */
};

struct syn_statement {
  span at; /* the whole statement */
  enum syn_statement_kind kind;
  const char *key; /* property's key, block's kind, or the param's, let's, setting's name; of `use`
                      NULL */
  uint32_t key_begin, key_length;
  struct syn_expr *value;        /* property, param, let, setting; NULL: missing and already told */
  const struct syn_block *block; /* never NULL: of what has no body and no names an empty one */
};
span syn_key_at(const struct syn_statement *statement);

/* What a block, a `use` and a param with a range have besides.  Most statements are properties,
 * which would carry it for nothing. */
struct syn_block {
  struct syn_expr *range;  /* param's allowed range, SYN_RANGE, or NULL */
  struct syn_name name;    /* block's name (also `layer 2`: text "2"); the `as` name of a use */
  struct syn_name variant; /* shape's kind: round, racetrack, ... (second bare name of a block) */
  struct syn_name like;
  struct syn_name title; /* string after `job`; path of a use; escapes resolved, quotes off */
  span head;             /* of a block: from its kind to just before the brace */
  struct syn_statement **items;
  size_t item_count;
  bool is_incomplete; /* statements of the body were left out: a missing key may be an echo */
  bool is_sifted;     /* sound, and its statements are left to syntax_whole() */
};

struct reader;
struct syn_file {
  uint32_t file;
  struct syn_statement **items;
  size_t item_count;
  bool is_incomplete;    /* declarations were left out: an unknown name may be an echo */
  struct reader *reader; /* that it was read by where it is sifted, else NULL */
};

/* Lexes and parses one source file.  Goes on after errors; never NULL. */
struct syn_file *syntax_parse(struct arena *arena, const struct source_set *sources, uint32_t file,
                              struct diag_list *diags);
/* The same for a long file of which little is wanted: `is_done_with` judges blocks of plain
 * statements at its top as they are read, and those that it is done with leave no statements in the
 * tree.  What it is given lasts for the call. */
struct syn_sift {
  bool (*is_done_with)(void *context, const struct syn_statement *block);
  void *context;
};
struct syn_file *syntax_parse_sifted(struct arena *arena, const struct source_set *sources,
                                     uint32_t file, struct diag_list *diags,
                                     const struct syn_sift *sift);
/* A block of the file that is sifted, with its statements; they last as long as the tree. */
const struct syn_statement *syntax_whole(const struct syn_file *tree,
                                         const struct syn_statement *block);
/* Parses text that holds one value (for --set NAME=VALUE); NULL when it is not one. */
struct syn_expr *syntax_parse_value(struct arena *arena, const struct source_set *sources,
                                    uint32_t file, struct diag_list *diags);

/* Prints the tree, a line a statement, operators before their operands; for looking at
 * and for tests. */
void syntax_dump(const struct syn_file *tree, FILE *to);
void syntax_dump_value(const struct syn_expr *value, FILE *to);

#endif
