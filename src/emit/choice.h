/* choice.h - layers and overlap that the plan chose, and what less would have missed. */
#ifndef EMIT_CHOICE_H
#define EMIT_CHOICE_H

#include <stdio.h>

#include "borelay/json.h"
#include "borelay/plan.h"

/* Nothing where there was nothing to choose (NULL). */
void choice_print(const struct plan_choice *choice, FILE *to);
/* null where there was nothing to choose. */
json_t *choice_object(const struct plan_choice *choice);

#endif
