/* What a fault of syntax is, in plain words.  The parser tells which tokens could stand
 * where one stands that cannot; from that, and from what was read before, follows what is
 * missing or too much.  Where something is missing the end of the token before is marked. */
#include <string.h>

#include "parse/reader.h"

const char *reader_text(struct reader *reader, span at) {
  enum { LONGEST = 40 };
  const uint8_t *text = reader->source->text;
  uint32_t end = at.begin;
  while (end < at.end && text[end] != '\n' && text[end] != '\r' && end - at.begin < LONGEST)
    end++;
  bool is_cut = end - at.begin == LONGEST && end < at.end;
  while (is_cut && end > at.begin && (text[end] & 0xC0) == 0x80)
    end--;
  while (end > at.begin && (text[end - 1] == ' ' || text[end - 1] == '\t'))
    end--;
  return arena_format(reader->arena, "%.*s%s", (int)(end - at.begin), (const char *)text + at.begin,
                      is_cut ? "..." : "");
}

static bool is_end(const struct reader *reader) {
  return outlook_ends_statement(reader->now) || reader->now_kind == TOKEN_OPEN_BRACE ||
         reader->now_kind == TOKEN_END;
}

static const char *now_text(struct reader *reader) {
  return reader_text(reader, reader->now->at);
}
/* A unit is shown with its number. */
static const char *before_text(struct reader *reader) {
  const struct token *before = reader->before;
  span at = before->at;
  if (before->kind == TOKEN_UNIT && before[-1].kind == TOKEN_NUMBER)
    at.begin = before[-1].at.begin;
  return reader_text(reader, at);
}

static bool is_reserved(int kind) {
  return kind == TOKEN_USE || kind == TOKEN_PARAM || kind == TOKEN_LET || kind == TOKEN_JOB ||
         kind == TOKEN_LIKE || kind == TOKEN_AS || kind == TOKEN_RANGE;
}

static void tell_reserved(struct reader *reader) {
  diag_error(reader->diags, DIAG_WORD_RESERVED, reader->now->at,
             "`%s` is a reserved word and cannot be a name", now_text(reader));
}

static void tell_misfit(struct reader *reader) {
  if (is_end(reader))
    diag_error(reader->diags, DIAG_SYNTAX, token_end(reader->before),
               "the statement ends too early after `%s`", before_text(reader));
  else
    diag_error(reader->diags, DIAG_SYNTAX, reader->now->at, "`%s` does not fit here",
               now_text(reader));
}

/* A head: kind [name] [variant] [like OTHER], or job "title". */
static void tell_head(struct reader *reader, const bool *wanted) {
  bool is_job = reader->first_kind == TOKEN_JOB;
  if (is_job && wanted[TOKEN_STRING]) {
    struct diag *diag = diag_error(reader->diags, DIAG_HEAD_FORM,
                                   is_end(reader) ? token_end(reader->before) : reader->now->at,
                                   "`job` wants its title in quotes");
    diag_help(diag, "write `job \"%s\" {`",
              reader->now_kind == TOKEN_NAME ? now_text(reader) : "title");
  } else if (reader->before->kind == TOKEN_LIKE && is_end(reader)) {
    diag_error(reader->diags, DIAG_HEAD_FORM, token_end(reader->before),
               "`like` wants the name of another block");
  } else if (is_reserved(reader->now_kind)) {
    tell_reserved(reader);
  } else if (reader->now_kind == TOKEN_STRING && !is_job) {
    diag_error(reader->diags, DIAG_HEAD_FORM, reader->now->at,
               "the name of a block stands without quotes");
  } else {
    struct diag *diag = diag_error(reader->diags, DIAG_HEAD_FORM, reader->now->at,
                                   "`%s` does not belong in the head of a block", now_text(reader));
    diag_help(diag, is_job ? "a job's head is `job \"title\"`"
                           : "a head is a kind, a name where the kind has one, and `like` "
                             "with another's name; a property before it ends with `;`");
  }
}

static void tell_use(struct reader *reader, const bool *wanted) {
  span at = is_end(reader) ? token_end(reader->before) : reader->now->at;
  if (wanted[TOKEN_STRING])
    diag_help(
        diag_error(reader->diags, DIAG_SYNTAX, at, "`use` wants the name of a file in quotes"),
        "write `use \"%s\"`", reader->now_kind == TOKEN_NAME ? now_text(reader) : "file.lay");
  else if (is_reserved(reader->now_kind) && wanted[TOKEN_NAME])
    tell_reserved(reader);
  else if (wanted[TOKEN_NAME])
    diag_error(reader->diags, DIAG_SYNTAX, at, "`as` wants a name");
  else
    diag_help(
        diag_error(reader->diags, DIAG_SYNTAX, at, "`%s` does not fit here", now_text(reader)),
        "write `use \"file\"`, `use \"file\" as name`, or either with `{ settings }`");
}

static void tell_declared_name(struct reader *reader) {
  if (is_reserved(reader->now_kind))
    tell_reserved(reader);
  else
    diag_error(reader->diags, DIAG_SYNTAX,
               is_end(reader) ? token_end(reader->before) : reader->now->at, "`%s` wants a name",
               reader_text(reader, reader->first->at));
}

static void note_bracket(struct reader *reader, struct diag *diag) {
  if (reader->bracket_count > 0)
    diag_note(diag, reader->brackets[reader->bracket_count - 1]->at, "opened here");
}

static void tell_value_missing(struct reader *reader) {
  const char *before = before_text(reader);
  bool opens_statement = reader->before == reader->first || reader->before->kind == TOKEN_EQUALS;
  if (is_reserved(reader->now_kind))
    tell_reserved(reader);
  else if (reader->now_kind == TOKEN_PLUS)
    diag_help(
        diag_error(reader->diags, DIAG_SYNTAX, reader->now->at, "a value cannot begin with `+`"),
        "leave out the `+`");
  else if (reader->before == reader->first && is_end(reader))
    diag_error(reader->diags, DIAG_VALUE_MISSING, token_end(reader->before), "`%s` has no value",
               before);
  else if (is_end(reader))
    note_bracket(reader, diag_error(reader->diags, DIAG_VALUE_MISSING, token_end(reader->before),
                                    "a value is missing after `%s`", before));
  else if (opens_statement)
    diag_error(reader->diags, DIAG_VALUE_MISSING, reader->now->at, "a value cannot begin with `%s`",
               now_text(reader));
  else
    diag_error(reader->diags, DIAG_VALUE_MISSING, reader->now->at,
               "a value is missing between `%s` and `%s`", before, now_text(reader));
}

static bool begins_value(int kind) {
  return kind == TOKEN_NAME || kind == TOKEN_NUMBER || kind == TOKEN_STRING ||
         kind == TOKEN_OPEN_ROUND || kind == TOKEN_OPEN_SQUARE;
}

/* A key and its value, not the second of several words in a row. */
static bool begins_property(const struct token *token) {
  return token->kind == TOKEN_NAME && begins_value(token[1].kind) &&
         !(token[1].kind == TOKEN_NAME && begins_value(token[2].kind));
}

/* A name behind an operand that looks like a unit. */
static bool tell_unit(struct reader *reader) {
  const char *unit = NULL;
  if (reader->now_kind != TOKEN_NAME)
    return false;
  if (unit_fit(reader->now->text, &unit) > 0 && reader->now->text[strlen(unit)] == '\0') {
    struct diag *diag =
        diag_error(reader->diags, DIAG_UNIT_PLACE, reader->now->at,
                   "a unit follows a number or a point; `%s` is neither", before_text(reader));
    if (reader->before->kind == TOKEN_NAME)
      diag_help(diag,
                "a name carries its own unit; to give one to a pure number, write `%s * 1 %s`",
                before_text(reader), unit);
    return true;
  }
  const char *meant = unit_suggest(reader->now->text);
  if (!meant || (reader->before->kind != TOKEN_NUMBER && reader->before->kind != TOKEN_CLOSE_ROUND))
    return false;
  diag_help(diag_error(reader->diags, DIAG_UNIT_UNKNOWN, reader->now->at, "`%s` is no unit",
                       now_text(reader)),
            "did you mean `%s`?", meant);
  return true;
}

static void tell_in_bracket(struct reader *reader) {
  /* A closing bracket that is at fault was taken off already: the token tells. */
  const struct token *open = reader->brackets[reader->bracket_count - 1];
  const char *close = open->kind == TOKEN_OPEN_ROUND ? ")" : "]";
  if (is_end(reader))
    note_bracket(reader, diag_error(reader->diags, DIAG_BRACKET_MISSING, token_end(reader->before),
                                    "a `%s` is missing after `%s`", close, before_text(reader)));
  else if (reader->now_kind == TOKEN_DOTS && open->kind == TOKEN_OPEN_ROUND)
    diag_error(reader->diags, DIAG_SYNTAX, reader->now->at,
               "a range cannot stand inside parentheses");
  else if (tell_unit(reader))
    return;
  else if (begins_value(reader->now_kind))
    note_bracket(reader, diag_error(reader->diags, DIAG_BRACKET_MISSING, token_end(reader->before),
                                    "a `,` or `%s` is missing between `%s` and `%s`", close,
                                    before_text(reader), now_text(reader)));
  else
    tell_misfit(reader);
}

static void tell_wrong_close(struct reader *reader) {
  const struct token *open = reader->bracket_closed;
  if (!open) {
    diag_error(reader->diags, DIAG_BRACKET_STRAY, reader->now->at, "this `%s` closes nothing",
               now_text(reader));
    return;
  }
  struct diag *diag =
      diag_error(reader->diags, DIAG_BRACKET_MISSING, reader->now->at, "`%s` does not close `%s`",
                 now_text(reader), reader_text(reader, open->at));
  diag_note(diag, open->at, "opened here");
}

/* `30 to 100 mm` */
static bool tell_range_word(struct reader *reader) {
  const struct token *now = reader->now;
  bool is_between = (reader->before->kind == TOKEN_NUMBER || reader->before->kind == TOKEN_UNIT) &&
                    now[1].kind == TOKEN_NUMBER;
  if (reader->now_kind != TOKEN_NAME || !is_between || strcmp(now->text, "to") != 0)
    return false;
  span end = now[1].at;
  if (now[2].kind == TOKEN_UNIT)
    end.end = now[2].at.end;
  diag_help(diag_error(reader->diags, DIAG_STATEMENT_END, now->at,
                       "the ends of a range stand on both sides of `..`, not of `to`"),
            "write `%s .. %s`", before_text(reader), reader_text(reader, end));
  return true;
}

/* A value is whole, and something follows that neither goes on with it nor ends it. */
static void tell_too_much(struct reader *reader) {
  const char *now = now_text(reader);
  if (reader->now_kind == TOKEN_OPEN_BRACE)
    diag_error(reader->diags, DIAG_BRACE_STRAY, reader->now->at, "no block begins here");
  else if (reader->now_kind == TOKEN_DOTS)
    diag_error(reader->diags, DIAG_SYNTAX, reader->now->at, "a range has two ends, not three");
  else if (reader->now_kind == TOKEN_RANGE)
    diag_error(reader->diags, DIAG_SYNTAX, reader->now->at,
               "`range` follows the value of a `param` only, once");
  else if (is_reserved(reader->now_kind) || begins_value(reader->now_kind)) {
    if (tell_unit(reader) || tell_range_word(reader))
      return;
    diag_error(reader->diags, DIAG_STATEMENT_END, token_end(reader->before),
               "a new line or `;` is missing between `%s` and `%s`", before_text(reader), now);
    reader->is_split = begins_property(reader->now);
  } else {
    tell_misfit(reader);
  }
}

/* In a value that stands alone. */
static bool tell_lone_value(struct reader *reader, const bool *wanted) {
  if (wanted[TOKEN_END] && reader->bracket_count == 0 && reader->now_kind != TOKEN_CLOSE_ROUND)
    diag_error(reader->diags, DIAG_STATEMENT_END, reader->now->at,
               "behind `%s` the value is over; this is `%s`", before_text(reader),
               now_text(reader));
  else if (reader->before == reader->first && reader->now_kind == TOKEN_END)
    diag_error(reader->diags, DIAG_VALUE_MISSING, reader->now->at, "a value is missing");
  else if (reader->before == reader->first && !is_reserved(reader->now_kind))
    diag_error(reader->diags, DIAG_VALUE_MISSING, reader->now->at, "a value cannot begin with `%s`",
               now_text(reader));
  else
    return false;
  return true;
}

/* One without its closing quote, which was told as it was read. */
static bool is_open_string(const struct reader *reader, const struct token *token) {
  span at = token->at;
  return token->kind == TOKEN_STRING &&
         (at.end - at.begin < 2 || reader->source->text[at.end - 1] != '"');
}

void reader_tell_fault(struct reader *reader, const bool *wanted) {
  reader->has_fault = true;
  if (reader->is_told || reader->now->kind == TOKEN_BROKEN ||
      reader->before->kind == TOKEN_BROKEN || is_open_string(reader, reader->now))
    return;
  bool is_declaration = reader->first_kind == TOKEN_PARAM || reader->first_kind == TOKEN_LET;
  bool is_close = reader->now_kind == TOKEN_CLOSE_ROUND || reader->now_kind == TOKEN_CLOSE_SQUARE;
  if (reader->first_kind == TOKEN_START_VALUE && tell_lone_value(reader, wanted))
    return;
  if (reader->first_kind == TOKEN_KIND || reader->first_kind == TOKEN_JOB)
    tell_head(reader, wanted);
  else if (reader->first_kind == TOKEN_USE)
    tell_use(reader, wanted);
  else if (is_declaration && reader->before == reader->first)
    tell_declared_name(reader);
  else if (wanted[TOKEN_EQUALS])
    diag_error(reader->diags, DIAG_VALUE_MISSING, token_end(reader->before), "`%s` has no value",
               before_text(reader));
  else if (wanted[TOKEN_NUMBER])
    tell_value_missing(reader);
  else if (wanted[TOKEN_DOTS] && !wanted[TOKEN_END] && reader->bracket_count == 0 && !is_close)
    diag_error(reader->diags, DIAG_SYNTAX, token_end(reader->before),
               "a range has two ends, with `..` between them");
  else if (is_close)
    tell_wrong_close(reader);
  else if (reader->bracket_count > 0)
    tell_in_bracket(reader);
  else if (wanted[TOKEN_END])
    tell_too_much(reader);
  else
    tell_misfit(reader);
}

void reader_tell_nesting(struct reader *reader, span at) {
  diag_error(reader->diags, DIAG_NESTED_TOO_DEEP, at, "nested more than %d deep", (int)MOST_NESTED);
}
