/* Strings: escapes are resolved, what is no escape is told and kept as written. */
#include "borelay/arena.h"
#include "lex/lex_state.h"

static char escape_meaning(uint8_t letter) {
  return letter == 'n' ? '\n' : letter == '"' || letter == '\\' ? (char)letter : '\0';
}

static void tell_escape(struct lexer *lexer, uint32_t backslash) {
  const uint8_t *text = lexer->source->text;
  uint32_t end = backslash + 2; /* over the whole of a longer code point */
  while (end < lexer->source->length && (text[end] & 0xC0) == 0x80)
    end++;
  span at = {.file = lexer->file, .begin = backslash, .end = end};
  struct diag *diag = diag_error(lexer->diags, DIAG_STRING_ESCAPE, at, "`%.*s` is no escape",
                                 (int)(end - backslash), (const char *)text + backslash);
  diag_help(diag, "in a string `\\\"` is a quote, `\\\\` a backslash, `\\n` a new line");
}

const char *string_text(struct lexer *lexer, span at, bool is_closed) {
  const uint8_t *text = lexer->source->text;
  uint32_t end = is_closed ? at.end - 1 : at.end;
  char *resolved = arena_alloc(lexer->arena, at.end - at.begin + 1, 1);
  size_t length = 0;
  for (uint32_t i = at.begin + 1; i < end; i++) {
    char meaning = text[i] == '\\' && i + 1 < end ? escape_meaning(text[i + 1]) : '\0';
    if (meaning) {
      resolved[length++] = meaning;
      i++;
      continue;
    }
    if (text[i] == '\\' && i + 1 < end)
      tell_escape(lexer, i);
    resolved[length++] = (char)text[i];
  }
  return resolved;
}
