/* The author says what stands together: statements on one line with `;` between stay there, and so
 * does a block on one line, as long as it fits.  Lines are split, never joined, so that a line that
 * was split is not put together by the next run. */
#include "tidy/layout.h"

#include "job_parse.h"
#include "tidy/one_line.h"

enum { INDENT = 2, WIDEST = 100 };

struct layout {
  const struct words *words;
  struct lines *lines;
  size_t at;         /* the next word */
  size_t taken;      /* the word before which the comment was taken already */
  bool blank_before; /* a blank line was met since the last line */
};

static void lay_body(struct layout *layout, size_t indent);

static bool is_there(span comment) {
  return comment.begin < comment.end;
}

/* A line that may have a blank one before it. */
static void begin_line(struct layout *layout, struct line *line) {
  line->after_blank = layout->blank_before && layout->lines->count > 1;
  layout->blank_before = false;
}

static void begin_code(struct layout *layout, size_t indent, size_t begin) {
  begin_line(layout, lines_add_code(layout->lines, indent, begin));
}

static struct line *last_line(const struct layout *layout) {
  return &layout->lines->items[layout->lines->count - 1];
}

/* A comment alone on its line, right below one behind code and in the same column, is the second
 * line of it. */
static void lay_comment(struct layout *layout, size_t indent, span comment) {
  size_t column = comment_column(layout->words, comment);
  bool goes_on = false;
  if (layout->lines->count > 0 && !layout->blank_before) {
    const struct line *above = last_line(layout);
    goes_on = (above->length > 0 || above->goes_on) && is_there(above->comment) &&
              above->was_at == column;
    if (goes_on)
      indent = above->indent;
  }
  struct line *line = lines_add_comment(layout->lines, indent, comment);
  line->was_at = column;
  line->goes_on = goes_on;
  begin_line(layout, line);
}

/* Behind code: what is left of the line in the source.  A statement may follow there. */
static void take_line_end(struct layout *layout) {
  while (word_kind(layout->words, layout->at) == TOKEN_SEMICOLON)
    layout->at++;
  int kind = word_kind(layout->words, layout->at);
  if (kind != TOKEN_NEWLINE && kind != TOKEN_YYEOF)
    return;
  span comment = comment_before(layout->words, layout->at);
  if (is_there(comment)) {
    last_line(layout)->comment = comment;
    last_line(layout)->was_at = comment_column(layout->words, comment);
  }
  layout->taken = layout->at;
  layout->at += kind == TOKEN_NEWLINE;
}

/* Puts statements on a line of their own if they fit, or if they have to. */
static bool lay_on_one_line(struct layout *layout, size_t indent, size_t first, size_t end,
                            bool has_to) {
  struct text *code = &layout->lines->code;
  size_t begin = code->length;
  size_t most = indent < WIDEST ? WIDEST - indent : 0;
  struct one_line line = {.words = layout->words, .to = code, .most = has_to ? SIZE_MAX : most};
  one_line_statements(&line, first, end);
  if (!one_line_fits(&line)) {
    code->length = begin;
    return false;
  }
  begin_code(layout, indent, begin);
  layout->at = end;
  return true;
}

static void lay_block(struct layout *layout, size_t indent, const struct statement *block) {
  struct text *code = &layout->lines->code;
  size_t begin = code->length;
  struct one_line line = {.words = layout->words, .to = code, .most = SIZE_MAX};
  one_line_words(&line, block, block->brace + 1);
  begin_code(layout, indent, begin);
  last_line(layout)->is_brace = true;
  layout->at = block->brace + 1;
  take_line_end(layout);
  lay_body(layout, indent + INDENT);
  begin = code->length;
  text_put(code, "}", 1);
  layout->blank_before = false;
  begin_code(layout, indent, begin);
  last_line(layout)->is_brace = true;
  layout->at = block->last + 1;
}

static bool opens(int kind) {
  return kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
}

static bool closes(int kind) {
  return kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE;
}

/* From `from` on to the end of the line or of the statement: one line of a value whose brackets
 * span several.  Brackets that it closes at its beginning draw it back. */
static size_t lay_part(struct layout *layout, size_t indent, const struct statement *statement,
                       size_t from, size_t *brackets) {
  struct text *code = &layout->lines->code;
  size_t begin = code->length, depth = *brackets;
  struct one_line line = {.words = layout->words, .to = code, .most = SIZE_MAX};
  for (size_t i = from; closes(word_kind(layout->words, i)); i++)
    depth--;
  size_t i = from;
  for (; i <= statement->last && word_kind(layout->words, i) != TOKEN_NEWLINE; i++) {
    int kind = word_kind(layout->words, i);
    *brackets += opens(kind);
    *brackets -= closes(kind);
    one_line_word(&line, statement, i);
  }
  begin_code(layout, indent + INDENT * depth, begin);
  return i;
}

/* A value keeps its line breaks inside brackets; blank lines there go. */
static void lay_value(struct layout *layout, size_t indent, const struct statement *statement) {
  size_t brackets = 0;
  for (layout->at = statement->first; layout->at <= statement->last;) {
    if (word_kind(layout->words, layout->at) != TOKEN_NEWLINE) {
      layout->at = lay_part(layout, indent, statement, layout->at, &brackets);
      if (layout->at <= statement->last)
        take_line_end(layout);
      continue;
    }
    span comment = comment_before(layout->words, layout->at);
    if (is_there(comment))
      lay_comment(layout, indent + INDENT * brackets, comment);
    layout->at++;
  }
}

static void lay_alone(struct layout *layout, size_t indent, const struct statement *statement) {
  if (statement->is_spread && !statement->brace)
    lay_value(layout, indent, statement);
  else if (statement->is_spread ||
           !lay_on_one_line(layout, indent, statement->first, statement->last + 1,
                            !statement->brace || statement->is_empty))
    lay_block(layout, indent, statement);
}

/* The statements that the author put on the line, up to one that is spread.  Returns the word
 * behind the last of them. */
static size_t group_end(const struct words *words, size_t first) {
  size_t end = first;
  for (size_t at = first;;) {
    struct statement statement = statement_at(words, at);
    if (statement.is_spread)
      return end;
    at = end = statement.last + 1;
    while (word_kind(words, at) == TOKEN_SEMICOLON)
      at++;
    int kind = word_kind(words, at);
    if (kind == TOKEN_NEWLINE || kind == TOKEN_CLOSE_BRACE || kind == TOKEN_YYEOF)
      return end;
  }
}

static void lay_group(struct layout *layout, size_t indent) {
  size_t end = group_end(layout->words, layout->at);
  if (end > layout->at && lay_on_one_line(layout, indent, layout->at, end, false))
    return;
  do {
    struct statement statement = statement_at(layout->words, layout->at);
    lay_alone(layout, indent, &statement);
    if (layout->at < end)
      layout->at = statement_next(layout->words, layout->at);
  } while (layout->at < end);
}

/* At the start of a line of the source. */
static void take_own_line(struct layout *layout, size_t indent) {
  span comment = comment_before(layout->words, layout->at);
  bool is_newline = word_kind(layout->words, layout->at) == TOKEN_NEWLINE;
  if (is_there(comment) && layout->taken != layout->at)
    lay_comment(layout, indent, comment);
  else if (is_newline && layout->at > 0 &&
           word_kind(layout->words, layout->at - 1) == TOKEN_NEWLINE)
    layout->blank_before = true;
  layout->at += is_newline;
}

static void lay_body(struct layout *layout, size_t indent) {
  size_t before = layout->lines->count;
  for (;;) {
    if (layout->lines->count == before)
      layout->blank_before = false; /* none at the start of a block */
    int kind = word_kind(layout->words, layout->at);
    if (kind == TOKEN_CLOSE_BRACE)
      return;
    if (kind == TOKEN_NEWLINE || kind == TOKEN_YYEOF) {
      take_own_line(layout, indent);
    } else if (kind == TOKEN_SEMICOLON) {
      layout->at++;
    } else {
      lay_group(layout, indent);
      take_line_end(layout);
    }
    if (kind == TOKEN_YYEOF)
      return;
  }
}

void layout_make(const struct words *words, struct lines *lines) {
  struct layout layout = {.words = words, .lines = lines, .taken = SIZE_MAX};
  lay_body(&layout, 0);
}
