/* scanner.h - between the generated scanner (grammar/job.re) and the code around it. */
#ifndef LEX_SCANNER_H
#define LEX_SCANNER_H

#include <stdint.h>

struct scanner {
  const uint8_t *begin;  /* of the stretch that was scanned last */
  const uint8_t *cursor; /* the next byte */
  const uint8_t *limit;  /* the NUL after the text */
};

/* What a stretch of text looks like, before its meaning is known. */
enum scan_kind {
  SCAN_END,
  SCAN_NEWLINE,
  SCAN_WORD, /* name, keyword, dotted name; letters of either case */
  SCAN_NUMBER,
  SCAN_BAD_NUMBER, /* no digit on one side of the point */
  SCAN_STRING,
  SCAN_OPEN_STRING, /* no closing quote before the end of the line */
  SCAN_MARK,        /* brackets, operators, `..`, `;` and the like: see scan_mark */
  SCAN_STRAY        /* a byte that begins nothing */
};

struct scan {
  enum scan_kind kind;
  int mark; /* SCAN_MARK: kind of token */
};

/* Moves the cursor over the next stretch of text, blanks and comments before it too. */
struct scan scan_next(struct scanner *scanner);
/* Behind the name or keyword, without capitals, at the start of text; text itself: there is none.
 */
const uint8_t *name_scan(const uint8_t *text);

#endif
