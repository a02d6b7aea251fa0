/* figures.h - what was measured, as a table and as JSON. */
#ifndef TESTS_BENCH_FIGURES_H
#define TESTS_BENCH_FIGURES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { POINTS_MOST = 8, FIGURES_MOST = 64 };

/* How long something took at each of some sizes. */
struct series {
  double size[POINTS_MOST], time[POINTS_MOST]; /* s */
  size_t count;
};

struct figure {
  const char *what, *unit, *against; /* against: NULL where the figure stands alone */
  double value, baseline;
  double goal;         /* of value / baseline, or of a figure that stands alone; 0: none */
  bool at_least;       /* the goal is the least, else the most */
  struct series grown; /* what an exponent was found from */
  const char *skipped; /* why there is no figure; else NULL */
};

struct figures {
  struct figure items[FIGURES_MOST];
  size_t count;
};

void figure_add(struct figures *figures, struct figure figure);
void figures_print(const struct figures *figures, FILE *to);
void figures_print_json(const struct figures *figures, FILE *to);

#endif
