/* wall.h - wall-in-envelope: the wall to be clad is the envelope's own face. */
#ifndef CHECK_WALL_H
#define CHECK_WALL_H

#include "check/finding.h"

struct check_result wall_check(const struct scene *scene);

#endif
