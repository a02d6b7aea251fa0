/* cover.h - coverage: the band, and what stays bare. */
#ifndef CHECK_COVER_H
#define CHECK_COVER_H

#include "check/bare.h"
#include "check/finding.h"

/* list receives every bare length, in the order of the plan. */
struct check_result cover_check(const struct scene *scene, struct bare_list *list);

#endif
