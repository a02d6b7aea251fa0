/* The words of the job language.
 *
 * The text is in memory whole and ends in a NUL, which is checked against the limit.
 * Bytes are matched, not code points: outside of strings and comments the language is
 * ASCII, and the file was checked to be UTF-8 before.  What a word means (key, unit,
 * function) is told by its place: src/lex/lex.c and the grammar. */
#include "lex/scanner.h"

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

/* The units, each with no letter, digit or `_` behind it: of several that fit the longest. */
const char *scan_unit(const uint8_t *text) {
  const uint8_t *cursor = text, *marker;
  /*!re2c
    ends = [^A-Za-z0-9_];

    *                { return NULL; }
    "mm" / ends      { return "mm"; }
    "cm" / ends      { return "cm"; }
    "m" / ends       { return "m"; }
    "um" / ends      { return "um"; }
    "in" / ends      { return "in"; }
    "deg" / ends     { return "deg"; }
    "rad" / ends     { return "rad"; }
    "turn" / ends    { return "turn"; }
    "s" / ends       { return "s"; }
    "ms" / ends      { return "ms"; }
    "min" / ends     { return "min"; }
    "h" / ends       { return "h"; }
    "Hz" / ends      { return "Hz"; }
    "mm/s" / ends    { return "mm/s"; }
    "mm/min" / ends  { return "mm/min"; }
    "m/s" / ends     { return "m/s"; }
    "m/min" / ends   { return "m/min"; }
    "in/min" / ends  { return "in/min"; }
    "deg/s" / ends   { return "deg/s"; }
    "rad/s" / ends   { return "rad/s"; }
    "turn/min" / ends { return "turn/min"; }
    "mm/s2" / ends   { return "mm/s2"; }
    "m/s2" / ends    { return "m/s2"; }
    "mm/s3" / ends   { return "mm/s3"; }
    "deg/s2" / ends  { return "deg/s2"; }
    "deg/s3" / ends  { return "deg/s3"; }
    "A" / ends       { return "A"; }
    "V" / ends       { return "V"; }
    "kJ/mm" / ends   { return "kJ/mm"; }
    "kJ/in" / ends   { return "kJ/in"; }
    "J/mm" / ends    { return "J/mm"; }
    "degC" / ends    { return "degC"; }
    "degF" / ends    { return "degF"; }
    "L/min" / ends   { return "L/min"; }
    "ft3/h" / ends   { return "ft3/h"; }
    "g/cm3" / ends   { return "g/cm3"; }
    "kg/m3" / ends   { return "kg/m3"; }
    "g" / ends       { return "g"; }
    "kg" / ends      { return "kg"; }
    "lb" / ends      { return "lb"; }
    "%" / ends       { return "%"; }
  */
}
