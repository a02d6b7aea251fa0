/* The outline of a document: its declarations, with what their blocks hold. */
#include <stdint.h>
#include <string.h>

#include "borelay/arena.h"
#include "editor/cursor.h"
#include "editor/session.h"
#include "job_parse.h"

/* Kinds of the protocol. */
enum { KIND_FILE = 1, KIND_PROPERTY = 7, KIND_VARIABLE = 13, KIND_CONSTANT = 14, KIND_STRUCT = 23 };

struct outline {
  const struct session *session;
  const struct document *document;
  const struct cursor *cursor;
  struct lines lines;
};

static int kind_of(const struct outline *outline, size_t first, bool is_block) {
  if (cursor_kind_is(outline->cursor, first, TOKEN_USE))
    return KIND_FILE;
  if (cursor_kind_is(outline->cursor, first, TOKEN_PARAM))
    return KIND_VARIABLE;
  if (cursor_kind_is(outline->cursor, first, TOKEN_LET))
    return KIND_CONSTANT;
  return is_block ? KIND_STRUCT : KIND_PROPERTY;
}

/* `param size` up to its `=`, a block's head up to its brace, a whole `use`. */
static size_t title_end(const struct outline *outline, size_t first, size_t end) {
  size_t i = first + 1; /* whatever the first word is */
  while (i < end && !cursor_kind_is(outline->cursor, i, TOKEN_EQUALS) &&
         !cursor_kind_is(outline->cursor, i, TOKEN_OPEN_BRACE))
    i++;
  return i;
}

/* The brace that meets `open`, or the last word. */
static size_t meeting(const struct cursor *cursor, size_t open) {
  size_t depth = 0, i = open;
  for (; i + 1 < cursor->count; i++) {
    depth += cursor->tokens[i].kind == TOKEN_OPEN_BRACE;
    depth -= cursor->tokens[i].kind == TOKEN_CLOSE_BRACE;
    if (depth == 0)
      break;
  }
  return i;
}

static json_t *range_between(const struct outline *outline, size_t first, size_t last) {
  const struct token *tokens = outline->cursor->tokens;
  return range_of_lines(&outline->lines, tokens[first].at.begin, tokens[last].at.end,
                        outline->session->unit);
}

static json_t *title_text(const struct outline *outline, size_t first, size_t end) {
  const struct token *tokens = outline->cursor->tokens;
  size_t length = tokens[end - 1].at.end - tokens[first].at.begin;
  char *title =
      arena_text(outline->cursor->arena, outline->document->text + tokens[first].at.begin, length);
  return json_text(title);
}

/* last: the statement's last word. */
static json_t *symbol_object(const struct outline *outline, size_t first, size_t last,
                             bool is_block) {
  size_t end = title_end(outline, first, last + 1);
  json_t *symbol = json_object(), *range = range_between(outline, first, last);
  json_put(symbol, "name", title_text(outline, first, end));
  json_put(symbol, "kind", json_integer(kind_of(outline, first, is_block)));
  if (outline->session->takes_tree) {
    json_put(symbol, "range", range);
    json_put(symbol, "selectionRange", range_between(outline, first, end - 1));
  } else {
    json_t *location = json_object();
    json_put(location, "uri", json_text(outline->document->uri));
    json_put(location, "range", range);
    json_put(symbol, "location", location);
  }
  return symbol;
}

static bool ends(const struct cursor *cursor, size_t i) {
  return cursor_kind_is(cursor, i, TOKEN_NEWLINE) || cursor_kind_is(cursor, i, TOKEN_SEMICOLON) ||
         cursor_kind_is(cursor, i, TOKEN_CLOSE_BRACE) || cursor_kind_is(cursor, i, TOKEN_YYEOF);
}

/* Blocks right inside the braces open .. close. */
static json_t *children_array(const struct outline *outline, size_t open, size_t close) {
  const struct cursor *cursor = outline->cursor;
  json_t *children = json_array();
  for (size_t first = open + 1; first < close; first++) {
    size_t brace;
    if (ends(cursor, first))
      continue;
    if (cursor_opens(cursor, first, &brace) && brace > first) {
      size_t last = meeting(cursor, brace);
      json_append(children, symbol_object(outline, first, last, true));
      first = last;
    } else {
      while (first < close && !ends(cursor, first))
        first++;
    }
  }
  return children;
}

static size_t statement_last(const struct cursor *cursor, size_t first) {
  size_t last = first, brackets = 0;
  for (; last + 1 < cursor->count && (brackets > 0 || !ends(cursor, last + 1)); last++) {
    int kind = cursor->tokens[last + 1].kind;
    brackets += kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
    brackets -= brackets > 0 && (kind == TOKEN_CLOSE_ROUND || kind == TOKEN_CLOSE_SQUARE);
  }
  return last;
}

static json_t *symbols_array(const struct outline *outline) {
  const struct cursor *cursor = outline->cursor;
  json_t *symbols = json_array();
  for (size_t first = 0; first + 1 < cursor->count; first++) {
    size_t open, last;
    if (ends(cursor, first))
      continue;
    bool is_block = cursor_opens(cursor, first, &open) && open > first;
    last = is_block ? meeting(cursor, open) : statement_last(cursor, first);
    json_t *symbol = symbol_object(outline, first, last, is_block);
    if (is_block && outline->session->takes_tree && !cursor_kind_is(cursor, first, TOKEN_USE))
      json_put(symbol, "children", children_array(outline, open, last));
    json_append(symbols, symbol);
    first = last;
  }
  return symbols;
}

json_t *symbols_answer(struct session *session, const json_t *params) {
  const struct document *document = asked_document(session, params);
  if (!document)
    return NULL;
  struct arena *arena = arena_new();
  struct cursor cursor = cursor_find(arena, document->text, document->length, document->length);
  struct outline outline = {.session = session,
                            .document = document,
                            .cursor = &cursor,
                            .lines = lines_find(document->text, document->length)};
  json_t *symbols = symbols_array(&outline);
  lines_free(&outline.lines);
  arena_free(arena);
  return symbols;
}
