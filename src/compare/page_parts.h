/* page_parts.h - the parts of the page, written one after the other. */
#ifndef COMPARE_PAGE_PARTS_H
#define COMPARE_PAGE_PARTS_H

#include "compare/comparison.h"

/* HTML's own characters escaped. */
void page_text(FILE *to, const char *text);
/* page_style.c: the rules of the page; drawings have theirs (draw_style()). */
void page_style(FILE *to);
/* page_tables.c */
void page_declared(FILE *to, const struct comparison *comparison);
void page_effects(FILE *to, const struct comparison *comparison);
void page_checks(FILE *to, const struct comparison *comparison);
void page_places(FILE *to, struct arena *arena, const struct comparison *comparison);
/* page_drawings.c: both over each other, overlay by overlay. */
void page_drawings(FILE *to, struct arena *arena, const struct comparison *comparison);

/* print_figures.c: figures as the text has them. */
enum { FIGURE_ROOM = 32 };
int effect_decimals(const struct effect *effect);
const char *effect_figure(double value, int decimals, char text[FIGURE_ROOM]);
/* "the other 14 checks keep their margin", in a sentence or at its begin */
enum { OTHERS_ROOM = 64 };
const char *other_checks_text(const char *the, size_t count, char text[OTHERS_ROOM]);
const char *check_margin_text(const struct check_result *result, double margin,
                              char text[FIGURE_ROOM]);
const char *check_word(const struct check_pair *pair);

#endif
