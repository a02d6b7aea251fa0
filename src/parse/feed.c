/* From tokens to statements: what the parser is given.
 *
 * A newline or `;` becomes the END of a statement, but not inside brackets; before `}` and
 * at the end of the file an END is put in, so the grammar sees every statement ended.  The
 * first word of a statement becomes KEY or KIND.  Braces are kept in balance here: of a
 * forgotten one is told once, and the parser never sees the gap.  When the parser finds a
 * fault, the rest of the statement is passed over up to its end or its block's brace. */
#include <string.h>

#include "parse/reader.h"

static const struct token *peek(const struct reader *reader) {
  return &reader->tokens[reader->at];
}

static span end_of(const struct token *token) {
  return (span){.file = token->at.file, .begin = token->at.end, .end = token->at.end};
}

static void push(struct reader *reader, int kind, const struct token *token) {
  if (reader->parser_is_done || reader->is_skipped)
    return;
  reader->before = reader->now;
  reader->now = token;
  reader->now_kind = kind;
  const union JOB_STYPE value = {.TOKEN_NAME = token};
  span at = token->at;
  int status = job_push_parse(reader->parser, kind, &value, &at, reader);
  reader->parser_is_done = status != YYPUSH_MORE;
}

/* A token that the text lacks, at the end of the one before. */
static struct token *made(struct reader *reader, int kind) {
  struct token *token = arena_alloc(reader->arena, 1, sizeof *token);
  token->kind = kind;
  token->at = reader->at > 0 ? end_of(peek(reader) - 1) : peek(reader)->at;
  token->at.end = token->at.begin;
  return token;
}

void reader_leave_out(struct reader *reader) {
  if (reader->block_count > 0)
    reader->blocks[reader->block_count - 1].is_incomplete = true;
  else
    reader->is_incomplete = true;
}

/* Makes the parser recover from what was told elsewhere. */
static void force_fault(struct reader *reader) {
  reader->is_told = true;
  reader->has_fault = true;
  push(reader, TOKEN_SEMICOLON, peek(reader));
}

/* Passes over `{ ... }`, from the brace on. */
static void skip_group(struct reader *reader) {
  size_t depth = 0;
  do {
    int kind = peek(reader)->kind;
    if (kind == TOKEN_YYEOF)
      return;
    depth += kind == TOKEN_OPEN_BRACE;
    depth -= kind == TOKEN_CLOSE_BRACE;
    reader->at++;
  } while (depth > 0);
}

static struct token *closing_brace(struct reader *reader, bool is_incomplete) {
  struct token *brace = made(reader, TOKEN_CLOSE_BRACE);
  brace->is_incomplete = is_incomplete;
  return brace;
}

/* After the head of a block: its brace, or one that is made. */
static void open_block(struct reader *reader, const struct token *brace) {
  push(reader, TOKEN_OPEN_BRACE, brace);
  if (reader->block_count == MOST_NESTED) {
    reader_tell_nesting(reader, brace->at);
    if (brace == peek(reader))
      skip_group(reader);
    push(reader, TOKEN_CLOSE_BRACE, closing_brace(reader, true));
    return;
  }
  if (brace == peek(reader))
    reader->at++;
  span head = reader->first->at;
  head.end = brace->at.begin;
  reader->blocks[reader->block_count++] = (struct open_block){
      .head = head, .brace = brace->at, .is_use = reader->first_kind == TOKEN_USE};
}

static void close_block(struct reader *reader, span at, bool is_incomplete) {
  struct token *brace = closing_brace(reader, is_incomplete);
  brace->at = at;
  const struct open_block *block = &reader->blocks[--reader->block_count];
  brace->is_incomplete = is_incomplete || block->is_incomplete;
  push(reader, TOKEN_CLOSE_BRACE, brace);
}

/* Closes what is open: which one lacks its brace is not known, so none is complete. */
static void close_all(struct reader *reader) {
  const struct open_block *block = &reader->blocks[reader->block_count - 1];
  const char *name = reader_text(reader, block->head);
  const struct token *next = peek(reader);
  struct diag *diag;
  if (next->kind == TOKEN_YYEOF)
    diag = diag_error(reader->diags, DIAG_BRACE_MISSING, next->at,
                      "the file ends inside `%s`; a `}` is missing", name);
  else
    diag = diag_error(reader->diags, DIAG_BRACE_MISSING, next->at,
                      "`%s` cannot stand inside `%s`; a `}` is missing before it",
                      reader_text(reader, next->at), name);
  diag_note(diag, block->head, "opened here");
  while (reader->block_count > 0)
    close_block(reader, end_of(next - 1), true);
}

static void tell_brace(struct reader *reader, enum ending ending) {
  span head = reader->first->at;
  head.end = (peek(reader) - 1)->at.end;
  const char *name = reader_text(reader, head);
  if (ending == ENDS_BRACE_MISSING) {
    diag_error(reader->diags, DIAG_BRACE_MISSING, end_of(peek(reader) - 1),
               "a `{` is missing after `%s`", name);
    return;
  }
  while (peek(reader)->kind == TOKEN_NEWLINE)
    reader->at++;
  struct diag *diag = diag_error(reader->diags, DIAG_BRACE_MISSING, peek(reader)->at,
                                 "the `{` of a block stands on the line of its head");
  diag_help(diag, "write `%s {`", name);
}

/* The end of the line, `;`, `}` or the end of the file. */
static void end_statement(struct reader *reader, enum ending ending) {
  const struct token *end = peek(reader);
  if (ending == ENDS_BRACE_BELOW) {
    tell_brace(reader, ending);
    open_block(reader, peek(reader));
    return;
  }
  if (ending == ENDS_BRACE_MISSING) {
    tell_brace(reader, ending);
    open_block(reader, made(reader, TOKEN_OPEN_BRACE));
    return;
  }
  push(reader, TOKEN_END, end);
  if (end->kind == TOKEN_NEWLINE || end->kind == TOKEN_SEMICOLON)
    reader->at++;
}

/* A brace where no block can begin: after its group the statement is over. */
static void end_at_stray_brace(struct reader *reader) {
  if (!reader->has_fault)
    push(reader, TOKEN_OPEN_BRACE, peek(reader));
  skip_group(reader);
  push(reader, TOKEN_END, made(reader, TOKEN_END));
}

static void follow_brackets(struct reader *reader) {
  const struct token *token = peek(reader);
  if (token->kind == TOKEN_OPEN_ROUND || token->kind == TOKEN_OPEN_SQUARE) {
    if (reader->bracket_count < MOST_NESTED) {
      reader->brackets[reader->bracket_count++] = token;
    } else if (!reader->has_fault) {
      reader_tell_nesting(reader, token->at);
      force_fault(reader);
    }
  }
  if (token->kind == TOKEN_CLOSE_ROUND || token->kind == TOKEN_CLOSE_SQUARE) {
    bool is_open = reader->bracket_count > 0;
    reader->bracket_closed = is_open ? reader->brackets[--reader->bracket_count] : NULL;
  }
}

static void count_operators(struct reader *reader) {
  int kind = peek(reader)->kind;
  reader->operator_count +=
      kind == TOKEN_PLUS || kind == TOKEN_MINUS || kind == TOKEN_STAR || kind == TOKEN_SLASH;
  if (reader->operator_count > MOST_OPERATORS && !reader->has_fault) {
    diag_error(reader->diags, DIAG_NESTED_TOO_DEEP, peek(reader)->at,
               "one value has more than %d operators; name parts of it with `let`",
               (int)MOST_OPERATORS);
    force_fault(reader);
  }
}

/* A `=` that a param, let or setting lacks is put in, one between key and value left out. */
static bool mend_equals(struct reader *reader) {
  const struct token *next = peek(reader), *last = next - 1;
  bool after_key = reader->first_kind == TOKEN_KEY && last == reader->first;
  bool is_setting = reader->block_count > 0 && reader->blocks[reader->block_count - 1].is_use;
  bool after_name = (reader->first_kind == TOKEN_PARAM || reader->first_kind == TOKEN_LET) &&
                    last == reader->first + 1 && last->kind == TOKEN_NAME;
  if (after_key && !is_setting && next->kind == TOKEN_EQUALS) {
    struct diag *diag = diag_error(reader->diags, DIAG_EQUALS, next->at,
                                   "no `=` stands between a key and its value");
    diag_help(diag, "leave out the `=`");
    reader->at++;
    return true;
  }
  if ((after_name || (after_key && is_setting)) && next->kind != TOKEN_EQUALS &&
      !outlook_ends_statement(next)) {
    diag_error(reader->diags, DIAG_EQUALS, end_of(last), "a `=` is missing after `%s`", last->text);
    push(reader, TOKEN_EQUALS, made(reader, TOKEN_EQUALS));
  }
  return false;
}

/* Reads one word of a statement, or its end; tells whether it goes on. */
static bool read_word(struct reader *reader, enum ending ending) {
  const struct token *token = peek(reader);
  bool is_brace = token->kind == TOKEN_OPEN_BRACE;
  if (is_brace && ending == ENDS_BRACE && !(reader->has_fault && reader->first_kind == TOKEN_USE)) {
    open_block(reader, token);
    return false;
  }
  if (is_brace) {
    end_at_stray_brace(reader);
    return false;
  }
  if (token->kind == TOKEN_NEWLINE && reader->bracket_count > 0 &&
      !outlook_is_bracket_forgotten(reader)) {
    reader->at++;
    return true;
  }
  if (outlook_ends_statement(token)) {
    end_statement(reader, ending);
    return false;
  }
  follow_brackets(reader);
  count_operators(reader);
  if (!reader->has_fault)
    push(reader, token->kind, token);
  reader->at++;
  return true;
}

static void read_words(struct reader *reader, int first_kind, enum ending ending) {
  reader->first = peek(reader);
  reader->first_kind = first_kind;
  push(reader, first_kind, reader->first);
  reader->at++;
  do {
    while (!reader->is_skipped && !reader->has_fault && mend_equals(reader))
      ;
  } while (read_word(reader, ending));
}

static void skip_statement(struct reader *reader) {
  reader_leave_out(reader);
  reader->is_skipped = true;
  read_words(reader, peek(reader)->kind, ENDS_PLAIN);
  reader->is_skipped = false;
}

/* Told once for all statements that follow one another outside: the fault is one, a
 * brace too many. */
static void read_outside(struct reader *reader) {
  const struct token *first = peek(reader);
  if (!reader->has_strays) {
    struct diag *diag = diag_error(reader->diags, DIAG_OUTSIDE_BLOCK, first->at,
                                   "`%s` stands outside of any block", first->text);
    if (first[1].kind == TOKEN_EQUALS)
      diag_help(diag, "write `let %s = ...` to name a value", first->text);
  }
  skip_statement(reader);
  reader->has_strays = true;
}

static void read_misspelt(struct reader *reader, int meant, enum ending ending) {
  static const char *const words[] = {"use", "param", "let", "job"};
  static const int kinds[] = {TOKEN_USE, TOKEN_PARAM, TOKEN_LET, TOKEN_JOB};
  const struct token *first = peek(reader);
  reader->has_strays = false;
  struct diag *diag = diag_error(reader->diags, DIAG_DECLARATION_UNKNOWN, first->at,
                                 "`%s` begins no declaration", first->text);
  for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
    if (kinds[i] == meant)
      diag_help(diag, "did you mean `%s`?", words[i]);
  read_words(reader, meant, ending);
}

static void read_no_statement(struct reader *reader) {
  const struct token *first = peek(reader);
  if (first->kind != TOKEN_BROKEN && !reader->has_strays) {
    const char *text = reader_text(reader, first->at);
    bool is_word =
        first->kind == TOKEN_LIKE || first->kind == TOKEN_AS || first->kind == TOKEN_RANGE;
    if (is_word)
      diag_error(reader->diags, DIAG_WORD_RESERVED, first->at,
                 "`%s` is a reserved word; it begins no statement", text);
    else
      diag_error(reader->diags, DIAG_SYNTAX, first->at,
                 "a statement begins with a name; this is `%s`", text);
  }
  skip_statement(reader);
}

static void read_stray_brace(struct reader *reader) {
  const struct token *brace = peek(reader);
  if (brace->kind == TOKEN_OPEN_BRACE) {
    diag_error(reader->diags, DIAG_BRACE_STRAY, brace->at,
               "this `{` has no head; a block begins with its kind");
    reader_leave_out(reader);
    skip_group(reader);
    return;
  }
  if (!reader->has_strays)
    diag_error(reader->diags, DIAG_BRACE_STRAY, brace->at, "this `}` closes nothing");
  reader->at++;
}

/* A statement that begins with a plain word, or with `job`. */
static void read_named(struct reader *reader) {
  enum ending ending = outlook_ending(reader);
  bool is_job = peek(reader)->kind == TOKEN_JOB;
  if (reader->block_count > 0 && outlook_is_top_kind(peek(reader)) &&
      (ending != ENDS_PLAIN || is_job)) {
    close_all(reader);
    ending = outlook_ending(reader);
  }
  if (reader->block_count == 0) {
    int meant = is_job ? 0 : outlook_meant_keyword(reader, ending);
    if (meant) {
      read_misspelt(reader, meant, ending);
      return;
    }
    if (ending == ENDS_PLAIN) {
      read_outside(reader);
      return;
    }
  }
  if (reader->block_count > 0 && reader->blocks[reader->block_count - 1].is_use)
    ending = ENDS_PLAIN;
  reader->has_strays = false;
  read_words(reader, is_job ? TOKEN_JOB : ending == ENDS_PLAIN ? TOKEN_KEY : TOKEN_KIND, ending);
}

static void read_declaration(struct reader *reader) {
  reader->has_strays = false;
  if (reader->block_count > 0)
    close_all(reader);
  int kind = peek(reader)->kind;
  read_words(reader, kind, kind == TOKEN_USE ? outlook_ending(reader) : ENDS_PLAIN);
}

static void read_statement(struct reader *reader) {
  int kind = peek(reader)->kind;
  reader->bracket_count = reader->operator_count = 0;
  reader->has_fault = reader->is_told = false;
  if (kind == TOKEN_NEWLINE || kind == TOKEN_SEMICOLON) {
    reader->at++;
  } else if (kind == TOKEN_CLOSE_BRACE && reader->block_count > 0) {
    close_block(reader, peek(reader)->at, false);
    reader->at++;
  } else if (kind == TOKEN_OPEN_BRACE || kind == TOKEN_CLOSE_BRACE) {
    read_stray_brace(reader);
  } else if (kind == TOKEN_NAME || kind == TOKEN_JOB) {
    read_named(reader);
  } else if (kind == TOKEN_USE || kind == TOKEN_PARAM || kind == TOKEN_LET) {
    read_declaration(reader);
  } else {
    read_no_statement(reader);
  }
}

void reader_read_file(struct reader *reader) {
  push(reader, TOKEN_START_FILE, peek(reader));
  while (peek(reader)->kind != TOKEN_YYEOF)
    read_statement(reader);
  if (reader->block_count > 0)
    close_all(reader);
  push(reader, TOKEN_YYEOF, peek(reader));
}

void reader_read_value(struct reader *reader) {
  push(reader, TOKEN_START_VALUE, peek(reader));
  reader->first = peek(reader);
  for (; peek(reader)->kind != TOKEN_YYEOF; reader->at++) {
    if (peek(reader)->kind == TOKEN_NEWLINE)
      continue;
    follow_brackets(reader);
    count_operators(reader);
    if (!reader->has_fault)
      push(reader, peek(reader)->kind, peek(reader));
  }
  push(reader, TOKEN_END, peek(reader));
  push(reader, TOKEN_YYEOF, peek(reader));
}
