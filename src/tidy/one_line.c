/* What does not fit is found out by writing it: no more than a line's length is written for it, so
 * trying every block of a file from the outside in costs little. */
#include "tidy/one_line.h"

bool one_line_fits(const struct one_line *line) {
  return line->width <= line->most;
}

void one_line_put(struct one_line *line, const char *bytes, size_t length) {
  if (!one_line_fits(line))
    return;
  text_put(line->to, bytes, length);
  line->width += width_of(bytes, length);
}

void one_line_word(struct one_line *line, const struct statement *statement, size_t index) {
  span at = line->words->tokens[index].at;
  if (line->width > 0 && index > statement->first && word_has_blank(line->words, statement, index))
    one_line_put(line, " ", 1);
  one_line_put(line, (const char *)line->words->source->text + at.begin, at.end - at.begin);
}

void one_line_words(struct one_line *line, const struct statement *statement, size_t end) {
  for (size_t i = statement->first; i < end; i++)
    one_line_word(line, statement, i);
}

static void put_statement(struct one_line *line, const struct statement *statement) {
  if (!statement->brace) {
    one_line_words(line, statement, statement->last + 1);
    return;
  }
  one_line_words(line, statement, statement->brace + 1);
  if (!statement->is_empty) {
    one_line_put(line, " ", 1);
    one_line_statements(line, statement_next(line->words, statement->brace + 1), statement->last);
  }
  one_line_put(line, " }", 2);
}

void one_line_statements(struct one_line *line, size_t first, size_t end) {
  for (size_t at = first; at < end && one_line_fits(line);) {
    struct statement statement = statement_at(line->words, at);
    if (at > first)
      one_line_put(line, "; ", 2);
    put_statement(line, &statement);
    at = statement_next(line->words, statement.last + 1);
  }
}
