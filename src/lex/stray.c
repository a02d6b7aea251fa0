/* Characters that begin no word: what they are, and what was probably meant.  Text
 * pasted from elsewhere brings typographic marks that look like the plain ones. */
#include "borelay/utf8.h"
#include "lex/lex_state.h"

static const struct look_alike {
  uint32_t code;
  const char *help;
} look_alikes[] = {
    {':', "a blank stands between a key and its value"},
    {'^', "a unit is written without it, as `mm/s2`; a power as a product, `x * x`"},
    {'\'', "a string stands between `\"` and `\"`"},
    {0x00A0, "write a plain space; this is one that does not break the line"},
    {0x202F, "write a plain space; this is one that does not break the line"},
    {0x2009, "write a plain space"},
    {0x00B0, "write `deg`"},
    {0x00B5, "write `um` for micrometres"},
    {0x03BC, "write `um` for micrometres"},
    {0x00B2, "write `2`, as in `mm/s2`"},
    {0x00B3, "write `3`, as in `mm/s3`"},
    {0x00D7, "write `*`"},
    {0x00B7, "write `*`"},
    {0x00F7, "write `/`"},
    {0x2010, "write `-`"},
    {0x2011, "write `-`"},
    {0x2012, "write `-`"},
    {0x2013, "write `-`, or `..` for a range"},
    {0x2014, "write `-`, or `..` for a range"},
    {0x2212, "write `-`"},
    {0x2026, "write `..` for a range"},
    {0x2018, "a string stands between `\"` and `\"`"},
    {0x2019, "a string stands between `\"` and `\"`"},
    {0x201C, "a string stands between `\"` and `\"`"},
    {0x201D, "a string stands between `\"` and `\"`"},
    {0x201E, "a string stands between `\"` and `\"`"},
    {0x00D8, "write `diameter`"},
    {0x2300, "write `diameter`"},
};

static const char *help_for(uint32_t code) {
  for (size_t i = 0; i < sizeof look_alikes / sizeof *look_alikes; i++)
    if (look_alikes[i].code == code)
      return look_alikes[i].help;
  return NULL;
}

/* The message names the first character of a run. */
static struct diag *tell_code(struct lexer *lexer, span at, uint32_t code, size_t bytes) {
  const char *text = (const char *)lexer->source->text + at.begin;
  if (code < 0x20 || (code >= 0x7F && code < 0xA0))
    return diag_error(lexer->diags, DIAG_STRAY_CHARACTER, at,
                      "a control character (U+%04X) has no meaning here", (unsigned)code);
  if (code < 0x80)
    return diag_error(lexer->diags, DIAG_STRAY_CHARACTER, at, "`%c` has no meaning here",
                      (int)code);
  return diag_error(lexer->diags, DIAG_STRAY_CHARACTER, at,
                    "`%.*s` (U+%04X) may stand only in strings and comments", (int)bytes, text,
                    (unsigned)code);
}

void stray_tell(struct lexer *lexer, span at) {
  const uint8_t *text = lexer->source->text;
  uint32_t code = 0;
  size_t bytes = utf8_read(text + at.begin, text + at.end, &code);
  if (bytes == 0)
    return; /* that the file is not UTF-8 was told already */
  struct diag *diag = tell_code(lexer, at, code, bytes);
  const char *help = help_for(code);
  if (help)
    diag_help(diag, "%s", help);
}
