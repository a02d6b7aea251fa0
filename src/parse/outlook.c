/* What lies ahead in the tokens.  Heads of blocks stand on one line, so looking to the
 * end of the line tells a block from a property, and most forgotten marks from meant ones. */
#include <string.h>

#include "borelay/suggest.h"
#include "parse/reader.h"

static int kind_at(struct reader *reader, size_t index) {
  return reader_token(reader, index)->kind;
}

static bool ends_line(int kind) {
  return kind == TOKEN_NEWLINE || kind == TOKEN_YYEOF;
}

static bool ends_statement(int kind) {
  return ends_line(kind) || kind == TOKEN_SEMICOLON || kind == TOKEN_CLOSE_BRACE;
}

bool outlook_ends_statement(const struct token *token) {
  return ends_statement(token->kind);
}

static bool may_stand_in_head(int kind) {
  return kind == TOKEN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_STRING || kind == TOKEN_LIKE ||
         kind == TOKEN_AS || kind == TOKEN_BROKEN;
}

static size_t skip_newlines(struct reader *reader, size_t index) {
  while (kind_at(reader, index) == TOKEN_NEWLINE)
    index++;
  return index;
}

bool outlook_is_top_kind(const struct token *word) {
  static const char *const kinds[] = {"cell", "procedure", "shape", "envelope", "overlay"};
  if (word->kind == TOKEN_JOB)
    return true;
  for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
    if (word->kind == TOKEN_NAME && strcmp(word->text, kinds[i]) == 0)
      return true;
  return false;
}

long outlook_indent(const struct reader *reader, const struct token *token) {
  uint32_t begin = token->at.begin;
  const uint8_t *text = reader->source->text;
  while (begin > 0 && (text[begin - 1] == ' ' || text[begin - 1] == '\t'))
    begin--;
  if (begin > 0 && text[begin - 1] != '\n')
    return -1;
  return (long)(token->at.begin - begin);
}

/* A word alone on its line, and a line further in below it: a block without a brace. */
static bool goes_in_below(struct reader *reader) {
  size_t below = skip_newlines(reader, reader->at + 1);
  if (below == reader->at + 1 || kind_at(reader, below) == TOKEN_YYEOF)
    return false;
  long here = outlook_indent(reader, reader_peek(reader));
  return here >= 0 && outlook_indent(reader, reader_token(reader, below)) > here;
}

enum ending outlook_ending(struct reader *reader) {
  const struct token *first = reader_peek(reader);
  size_t end = reader->at + 1;
  bool is_head = true, has_bracket = false;
  for (; !ends_statement(kind_at(reader, end)); end++) {
    int kind = kind_at(reader, end);
    if (kind == TOKEN_OPEN_BRACE)
      return has_bracket && reader->block_count > 0 ? ENDS_PLAIN : ENDS_BRACE;
    has_bracket = has_bracket || kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
    is_head = is_head && may_stand_in_head(kind);
  }
  if (is_head && kind_at(reader, end) == TOKEN_NEWLINE &&
      kind_at(reader, skip_newlines(reader, end)) == TOKEN_OPEN_BRACE)
    return ENDS_BRACE_BELOW;
  if (first->kind == TOKEN_JOB)
    return ENDS_BRACE_MISSING;
  if (first->kind != TOKEN_NAME)
    return ENDS_PLAIN;
  if (reader->block_count == 0 ? is_head && outlook_is_top_kind(first) : goes_in_below(reader))
    return ENDS_BRACE_MISSING;
  return ENDS_PLAIN;
}

static bool ends_operand(int kind) {
  return kind == TOKEN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_UNIT || kind == TOKEN_STRING ||
         kind == TOKEN_BROKEN || kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE;
}

struct line_view {
  bool has_brace;   /* a `{` */
  bool closes_more; /* more brackets are closed than opened */
};

static struct line_view view_line(struct reader *reader, size_t index) {
  struct line_view view = {.has_brace = false};
  int depth = 0;
  for (; !ends_statement(kind_at(reader, index)); index++) {
    int kind = kind_at(reader, index);
    view.has_brace = view.has_brace || kind == TOKEN_OPEN_BRACE;
    depth += kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
    depth -= kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE;
    view.closes_more = view.closes_more || depth < 0;
  }
  return view;
}

bool outlook_begins_declaration(struct reader *reader) {
  int kind = kind_at(reader, reader->at);
  bool is_end = kind == TOKEN_YYEOF;
  bool is_word = kind == TOKEN_USE || kind == TOKEN_PARAM || kind == TOKEN_LET;
  return is_end || is_word ||
         (outlook_is_top_kind(reader_peek(reader)) && outlook_ending(reader) != ENDS_PLAIN);
}

/* Forgotten, when the line below cannot go on with what is in the bracket: it has the
 * form `name ... {`, or that of a declaration or property and no closing bracket. */
bool outlook_is_bracket_forgotten(struct reader *reader) {
  size_t next = skip_newlines(reader, reader->at);
  int kind = kind_at(reader, next);
  if (kind == TOKEN_USE || kind == TOKEN_PARAM || kind == TOKEN_LET || kind == TOKEN_JOB)
    return true;
  if (kind != TOKEN_NAME)
    return false;
  struct line_view view = view_line(reader, next);
  if (view.has_brace)
    return true;
  int second = kind_at(reader, next + 1);
  bool is_operand = second == TOKEN_NAME || second == TOKEN_NUMBER || second == TOKEN_STRING ||
                    second == TOKEN_BROKEN || second == TOKEN_OPEN_SQUARE;
  bool may_go_on = second == TOKEN_MINUS || second == TOKEN_OPEN_ROUND;
  bool follows_operand = ends_operand(kind_at(reader, reader->at - 1));
  return !view.closes_more && (is_operand || (may_go_on && follows_operand));
}

int outlook_meant_keyword(struct reader *reader, enum ending ending) {
  const struct token *first = reader_peek(reader);
  if (first[1].kind == TOKEN_STRING) {
    const char *const words[] = {"use", "job"};
    const char *meant = suggest_find(first->text, words, 2);
    bool is_use = meant && strcmp(meant, "use") == 0;
    if (meant && (is_use || ending != ENDS_PLAIN))
      return is_use ? TOKEN_USE : TOKEN_JOB;
  }
  if (first[1].kind == TOKEN_NAME && first[2].kind == TOKEN_EQUALS) {
    const char *const words[] = {"param", "let"};
    const char *meant = suggest_find(first->text, words, 2);
    if (meant)
      return strcmp(meant, "param") == 0 ? TOKEN_PARAM : TOKEN_LET;
  }
  return 0;
}
