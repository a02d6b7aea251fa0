/* rules.h - checks that need no motion: what the procedures and the job ask of figures. */
#ifndef CHECK_RULES_H
#define CHECK_RULES_H

#include "check/finding.h"

struct check_result wire_side_check(const struct scene *scene);
struct check_result qualified_check(const struct scene *scene);
struct check_result flatness_check(const struct scene *scene);
struct check_result iron_check(const struct scene *scene);

#endif
