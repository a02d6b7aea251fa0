/* print_parts.h - the parts of the comparison for people, one after the other. */
#ifndef COMPARE_PRINT_PARTS_H
#define COMPARE_PRINT_PARTS_H

#include <stdio.h>

#include "compare/comparison.h"

enum { PRINT_WIDTH = 100 };

/* print_figures.c */
void print_effects(const struct effects *effects, FILE *to);
void print_checks(const struct comparison *comparison, FILE *to);
/* print_places.c */
void print_covers(struct arena *arena, const struct comparison *comparison, FILE *to);
void print_zones(const struct comparison *comparison, FILE *to);
void print_tips(const struct comparison *comparison, FILE *to);

#endif
