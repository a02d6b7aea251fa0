/* choice.h - layers and overlap that the plan chose, and what less would have missed. */
#ifndef EMIT_CHOICE_H
#define EMIT_CHOICE_H

#include <stdio.h>

#include "borelay/check.h"
#include "borelay/diag.h"
#include "borelay/json.h"
#include "borelay/plan.h"

/* Nothing where there was nothing to choose (NULL). */
void choice_print(const struct plan_choice *choice, FILE *to);
/* Where the check told by diag lies in an overlay of which something was chosen, and had no part in
 * that: so as a note. */
void choice_note(const struct plan *plan, const struct check_result *result, struct diag *diag);
/* null where there was nothing to choose. */
json_t *choice_object(const struct plan_choice *choice);

#endif
