/* The words of the job language.
 *
 * The text is in memory whole and ends in a NUL, which is checked against the limit.
 * Bytes are matched, not code points: outside of strings and comments the language is
 * ASCII, and the file was checked to be UTF-8 before.  What a word means (key, unit,
 * function) is told by its place: src/lex/lex.c and the grammar. */
#include "lex/scanner.h"

#include "borelay/token.h"
#include "job_parse.h"

static struct scan scan_of(enum scan_kind kind) { return (struct scan){.kind = kind, .mark = 0}; }
static struct scan mark_of(int mark) { return (struct scan){.kind = SCAN_MARK, .mark = mark}; }

struct scan scan_next(struct scanner *scanner) {
  const uint8_t *cursor = scanner->cursor;
  const uint8_t *const limit = scanner->limit;
  const uint8_t *marker;
next:
  scanner->begin = cursor;
  /*!re2c
    re2c:api:style = free-form;
    re2c:define:YYCTYPE = uint8_t;
    re2c:define:YYCURSOR = cursor;
    re2c:define:YYMARKER = marker;
    re2c:yyfill:enable = 0;
    re2c:indent:string = "  ";
    re2c:flags:bit-vectors = 1;

    digits  = [0-9]+;
    number  = digits ("." digits)? ([eE] [+-]? digits)?;
    part    = [A-Za-z_][A-Za-z0-9_]*;
    inside  = [^"\\\n\x00] | "\\" [^\n\x00];

    "\x00" {
      if (cursor <= limit)
        { scanner->cursor = cursor; return scan_of(SCAN_STRAY); }
      scanner->cursor = limit;
      return scan_of(SCAN_END);
    }
    *                     { scanner->cursor = cursor; return scan_of(SCAN_STRAY); }
    [ \t]+                { goto next; }
    "\r"? "\n"            { scanner->cursor = cursor; return scan_of(SCAN_NEWLINE); }
    "#"                   { /* to the end of the line, over any byte */
      while (cursor < limit && *cursor != '\n')
        cursor++;
      if (cursor[-1] == '\r' && cursor < limit)
        cursor--;
      goto next;
    }
    part ("." part)*      { scanner->cursor = cursor; return scan_of(SCAN_WORD); }
    number                { scanner->cursor = cursor; return scan_of(SCAN_NUMBER); }
    digits "." [^.0-9]    { /* the last byte is not part of it */
      scanner->cursor = cursor - 1;
      return scan_of(SCAN_BAD_NUMBER);
    }
    "." digits            { scanner->cursor = cursor; return scan_of(SCAN_BAD_NUMBER); }
    "\"" inside* "\""     { scanner->cursor = cursor; return scan_of(SCAN_STRING); }
    "\"" inside* "\\"?    { scanner->cursor = cursor; return scan_of(SCAN_OPEN_STRING); }
    ".."                  { scanner->cursor = cursor; return mark_of(TOKEN_DOTS); }
    "{"                   { scanner->cursor = cursor; return mark_of(TOKEN_OPEN_BRACE); }
    "}"                   { scanner->cursor = cursor; return mark_of(TOKEN_CLOSE_BRACE); }
    "("                   { scanner->cursor = cursor; return mark_of(TOKEN_OPEN_ROUND); }
    ")"                   { scanner->cursor = cursor; return mark_of(TOKEN_CLOSE_ROUND); }
    "["                   { scanner->cursor = cursor; return mark_of(TOKEN_OPEN_SQUARE); }
    "]"                   { scanner->cursor = cursor; return mark_of(TOKEN_CLOSE_SQUARE); }
    ","                   { scanner->cursor = cursor; return mark_of(TOKEN_COMMA); }
    ";"                   { scanner->cursor = cursor; return mark_of(TOKEN_SEMICOLON); }
    "="                   { scanner->cursor = cursor; return mark_of(TOKEN_EQUALS); }
    "+"                   { scanner->cursor = cursor; return mark_of(TOKEN_PLUS); }
    "-"                   { scanner->cursor = cursor; return mark_of(TOKEN_MINUS); }
    "*"                   { scanner->cursor = cursor; return mark_of(TOKEN_STAR); }
    "/"                   { scanner->cursor = cursor; return mark_of(TOKEN_SLASH); }
  */
}

const uint8_t *name_scan(const uint8_t *text) {
  const uint8_t *cursor = text, *marker;
  /*!re2c
    plain = [a-z][a-z0-9_]*;

    *                      { return text; }
    plain ("." plain)*     { return cursor; }
  */
}

/* The units, each with no letter, digit or `_` behind it: of several that fit the longest. */
const char *unit_scan(const uint8_t *text, const uint8_t **behind) {
  const uint8_t *cursor = text, *marker;
  const char *unit;
  /*!re2c
    ends = [^A-Za-z0-9_];

    *                { return NULL; }
    "mm" / ends      { unit = "mm"; goto found; }
    "cm" / ends      { unit = "cm"; goto found; }
    "m" / ends       { unit = "m"; goto found; }
    "um" / ends      { unit = "um"; goto found; }
    "in" / ends      { unit = "in"; goto found; }
    "deg" / ends     { unit = "deg"; goto found; }
    "rad" / ends     { unit = "rad"; goto found; }
    "turn" / ends    { unit = "turn"; goto found; }
    "s" / ends       { unit = "s"; goto found; }
    "ms" / ends      { unit = "ms"; goto found; }
    "min" / ends     { unit = "min"; goto found; }
    "h" / ends       { unit = "h"; goto found; }
    "Hz" / ends      { unit = "Hz"; goto found; }
    "mm/s" / ends    { unit = "mm/s"; goto found; }
    "mm/min" / ends  { unit = "mm/min"; goto found; }
    "m/s" / ends     { unit = "m/s"; goto found; }
    "m/min" / ends   { unit = "m/min"; goto found; }
    "in/min" / ends  { unit = "in/min"; goto found; }
    "deg/s" / ends   { unit = "deg/s"; goto found; }
    "rad/s" / ends   { unit = "rad/s"; goto found; }
    "turn/min" / ends { unit = "turn/min"; goto found; }
    "mm/s2" / ends   { unit = "mm/s2"; goto found; }
    "m/s2" / ends    { unit = "m/s2"; goto found; }
    "mm/s3" / ends   { unit = "mm/s3"; goto found; }
    "deg/s2" / ends  { unit = "deg/s2"; goto found; }
    "deg/s3" / ends  { unit = "deg/s3"; goto found; }
    "A" / ends       { unit = "A"; goto found; }
    "V" / ends       { unit = "V"; goto found; }
    "kJ/mm" / ends   { unit = "kJ/mm"; goto found; }
    "kJ/in" / ends   { unit = "kJ/in"; goto found; }
    "J/mm" / ends    { unit = "J/mm"; goto found; }
    "degC" / ends    { unit = "degC"; goto found; }
    "degF" / ends    { unit = "degF"; goto found; }
    "L/min" / ends   { unit = "L/min"; goto found; }
    "ft3/h" / ends   { unit = "ft3/h"; goto found; }
    "g/cm3" / ends   { unit = "g/cm3"; goto found; }
    "kg/m3" / ends   { unit = "kg/m3"; goto found; }
    "g" / ends       { unit = "g"; goto found; }
    "kg" / ends      { unit = "kg"; goto found; }
    "lb" / ends      { unit = "lb"; goto found; }
    "%" / ends       { unit = "%"; goto found; }
  */
found:
  *behind = cursor;
  return unit;
}
