/* From tokens to statements: what the parser is given.
 *
 * A newline or `;` becomes the END of a statement, but not inside brackets; before `}` and
 * at the end of the file an END is put in, so the grammar sees every statement ended.  The
 * first word of a statement becomes KEY or KIND.  When the parser finds a fault, the rest
 * of the statement is passed over up to its end or its block's brace. */
#include "parse/reader.h"

/* Makes the parser recover from what was told elsewhere. */
static void force_fault(struct reader *reader) {
  reader->is_told = true;
  reader->has_fault = true;
  reader_push(reader, TOKEN_SEMICOLON, reader_peek(reader));
}

/* The end of the line, `;`, `}` or the end of the file. */
static void end_statement(struct reader *reader, enum ending ending) {
  const struct token *end = reader_peek(reader);
  if (ending == ENDS_BRACE_BELOW) {
    brace_tell(reader, ending);
    brace_open(reader, reader_peek(reader));
    return;
  }
  if (ending == ENDS_BRACE_MISSING) {
    brace_tell(reader, ending);
    brace_open(reader, reader_make(reader, TOKEN_OPEN_BRACE));
    while (reader_peek(reader)->kind == TOKEN_NEWLINE)
      reader->at++;
    if (reader->block_count > 0 && outlook_begins_declaration(reader))
      brace_close(reader, token_end(end - 1), true); /* it had no body either */
    return;
  }
  reader_push(reader, TOKEN_END, end);
  if (end->kind == TOKEN_NEWLINE || end->kind == TOKEN_SEMICOLON)
    reader->at++;
}

/* A brace where no block can begin: after its group the statement is over. */
static void end_at_stray_brace(struct reader *reader) {
  if (!reader->has_fault)
    reader_push(reader, TOKEN_OPEN_BRACE, reader_peek(reader));
  brace_skip_group(reader);
  reader_push(reader, TOKEN_END, reader_make(reader, TOKEN_END));
}

static void follow_brackets(struct reader *reader) {
  const struct token *token = reader_peek(reader);
  if (token->kind == TOKEN_OPEN_ROUND || token->kind == TOKEN_OPEN_SQUARE) {
    if (reader->bracket_count < MOST_NESTED) {
      reader->brackets[reader->bracket_count++] = token;
    } else if (!reader->has_fault && !reader->is_skipped) {
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
  int kind = reader_peek(reader)->kind;
  reader->operator_count +=
      kind == TOKEN_PLUS || kind == TOKEN_MINUS || kind == TOKEN_STAR || kind == TOKEN_SLASH;
  if (reader->operator_count > MOST_OPERATORS && !reader->has_fault && !reader->is_skipped) {
    diag_error(reader->diags, DIAG_NESTED_TOO_DEEP, reader_peek(reader)->at,
               "one value has more than %d operators; name parts of it with `let`",
               (int)MOST_OPERATORS);
    force_fault(reader);
  }
}

/* A `=` that a param, let or setting lacks is put in, one between key and value left out. */
static bool mend_equals(struct reader *reader) {
  const struct token *next = reader_peek(reader), *last = next - 1;
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
    diag_error(reader->diags, DIAG_EQUALS, token_end(last), "a `=` is missing after `%s`",
               last->text);
    reader_push(reader, TOKEN_EQUALS, reader_make(reader, TOKEN_EQUALS));
  }
  return false;
}

/* Reads one word of a statement, or its end; tells whether it goes on. */
static bool read_word(struct reader *reader, enum ending ending) {
  const struct token *token = reader_peek(reader);
  bool is_brace = token->kind == TOKEN_OPEN_BRACE;
  if (is_brace && ending == ENDS_BRACE && !(reader->has_fault && reader->first_kind == TOKEN_USE)) {
    brace_open(reader, token);
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
    reader_push(reader, token->kind, token);
  if (reader->is_split) {
    reader_push(reader, TOKEN_END, reader_make(reader, TOKEN_END));
    return false;
  }
  reader->at++;
  return true;
}

static void read_words(struct reader *reader, int first_kind, enum ending ending) {
  reader->first = reader_peek(reader);
  reader->first_kind = first_kind;
  reader_push(reader, first_kind, reader->first);
  follow_brackets(reader); /* of what is no statement, but has to be passed over whole */
  reader->at++;
  do {
    while (!reader->is_skipped && !reader->has_fault && mend_equals(reader))
      ;
  } while (read_word(reader, ending));
}

static void skip_statement(struct reader *reader) {
  reader_leave_out(reader);
  reader->is_skipped = true;
  read_words(reader, reader_peek(reader)->kind, ENDS_PLAIN);
  reader->is_skipped = false;
}

/* Told once for all statements that follow one another outside: the fault is one, a
 * brace too many. */
static void read_outside(struct reader *reader) {
  const struct token *first = reader_peek(reader);
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
  const struct token *first = reader_peek(reader);
  reader->has_strays = false;
  struct diag *diag = diag_error(reader->diags, DIAG_DECLARATION_UNKNOWN, first->at,
                                 "`%s` begins no declaration", first->text);
  for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++)
    if (kinds[i] == meant)
      diag_help(diag, "did you mean `%s`?", words[i]);
  bool has_braces = meant == TOKEN_USE || meant == TOKEN_JOB;
  read_words(reader, meant, has_braces ? ending : ENDS_PLAIN);
}

static void read_no_statement(struct reader *reader) {
  const struct token *first = reader_peek(reader);
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
  const struct token *brace = reader_peek(reader);
  if (brace->kind == TOKEN_OPEN_BRACE) {
    diag_error(reader->diags, DIAG_BRACE_STRAY, brace->at,
               "this `{` has no head; a block begins with its kind");
    reader_leave_out(reader);
    brace_skip_group(reader);
    return;
  }
  if (!reader->has_strays)
    diag_error(reader->diags, DIAG_BRACE_STRAY, brace->at, "this `}` closes nothing");
  reader->at++;
}

/* A statement that begins with a plain word, or with `job`. */
static void read_named(struct reader *reader) {
  enum ending ending = outlook_ending(reader);
  bool is_job = reader_peek(reader)->kind == TOKEN_JOB;
  if (reader->block_count > 0 && outlook_is_top_kind(reader_peek(reader)) &&
      (ending != ENDS_PLAIN || is_job)) {
    brace_close_all(reader);
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
    brace_close_all(reader);
  int kind = reader_peek(reader)->kind;
  read_words(reader, kind, kind == TOKEN_USE ? outlook_ending(reader) : ENDS_PLAIN);
}

static void read_statement(struct reader *reader) {
  int kind = reader_peek(reader)->kind;
  reader->bracket_count = reader->operator_count = 0;
  reader->has_fault = reader->is_told = reader->is_split = false;
  if (kind == TOKEN_NEWLINE || kind == TOKEN_SEMICOLON) {
    reader->at++;
    return;
  }
  brace_suspect(reader);
  if (kind == TOKEN_CLOSE_BRACE && reader->block_count > 0) {
    brace_close(reader, reader_peek(reader)->at, false);
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
  while (plain_read(reader), reader_peek(reader)->kind != TOKEN_YYEOF) {
    read_statement(reader);
    if (reader->block_count == 0)
      reader_forget(reader);
  }
  if (reader->block_count > 0)
    brace_close_all(reader);
  if (reader->parser)
    reader_push(reader, TOKEN_YYEOF, reader_peek(reader));
  else
    reader_end_file(reader);
}

void reader_read_value(struct reader *reader) {
  reader->first = reader_make(reader, TOKEN_START_VALUE);
  reader->first_kind = TOKEN_START_VALUE;
  reader_push(reader, TOKEN_START_VALUE, reader->first);
  for (; reader_peek(reader)->kind != TOKEN_YYEOF; reader->at++) {
    if (reader_peek(reader)->kind == TOKEN_NEWLINE)
      continue;
    follow_brackets(reader);
    count_operators(reader);
    if (!reader->has_fault)
      reader_push(reader, reader_peek(reader)->kind, reader_peek(reader));
  }
  reader_push(reader, TOKEN_END, reader_peek(reader));
  reader_push(reader, TOKEN_YYEOF, reader_peek(reader));
}
