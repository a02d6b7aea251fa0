/* thick.h - thickness: what is required to lie, or to remain, on the wall. */
#ifndef CHECK_THICK_H
#define CHECK_THICK_H

#include "check/finding.h"

struct check_result thickness_check(const struct scene *scene);

#endif
