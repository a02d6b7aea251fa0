/* summary_parts.h - parts of the summary that have files of their own. */
#ifndef EMIT_SUMMARY_PARTS_H
#define EMIT_SUMMARY_PARTS_H

#include "borelay/buildup.h"
#include "borelay/emit.h"
#include "borelay/json.h"

/* Qualified heat, cooling, starts and ends of one layer (indices of the plan), put into its object.
 */
void heat_put(json_t *object, const struct outcome *outcome, size_t overlay, size_t layer);

/* What a part of the job takes, put into an object; and the list of procedures. */
void work_put(json_t *object, const struct work *work);
json_t *procedures_array(const struct verdict *verdict);

/* Bead, layer, build-up and bore after one layer (from 0); what lies on the wall in the end. */
void layer_buildup_put(json_t *object, const struct plan_overlay *overlay, size_t layer);
json_t *buildup_object(const struct buildup_figures *figures);

#endif
