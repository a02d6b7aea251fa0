/* wrap.h - words on as many lines as they need. */
#ifndef BORELAY_WRAP_H
#define BORELAY_WRAP_H

#include <stdio.h>

/* Prints the words of the text behind `indent` blanks, on lines that end before column `width`
 * unless a word is longer; a newline at the end. */
void wrap_print(const char *text, int indent, int width, FILE *to);
/* The same where the line has something before them already, up to `column`. */
void wrap_go_on(const char *text, int column, int indent, int width, FILE *to);

#endif
