/* The parts of explain.c. */
#ifndef EXPLAIN_PARTS_H
#define EXPLAIN_PARTS_H

#include "borelay/explain.h"

enum { PART_COLUMN = 11, MEMBER_COLUMN = 26, TAKER_COLUMN = 36 };

/* "  title    text", the text from `column` on, on as many lines as it needs. */
void part_print(const char *title, const char *text, int column, FILE *to);

bool explain_check(const char *name, FILE *to);
bool explain_code(const char *word, FILE *to);

#endif
