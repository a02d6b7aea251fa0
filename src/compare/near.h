/* near.h - the line of a way that is nearest to a point. */
#ifndef COMPARE_NEAR_H
#define COMPARE_NEAR_H

#include "compare/tip_course.h"

struct near_tree;

/* Over the lines of a way, which stay where they are; at least one. */
const struct near_tree *near_tree_make(struct arena *arena, const struct tip_course *way);

struct near {
  double distance; /* mm */
  size_t line;
};
/* guess: a line that may be near, which makes it quick; any will do. */
struct near near_find(const struct near_tree *tree, vec3 point, size_t guess);
double line_distance(const struct tip_line *line, vec3 point);

#endif
