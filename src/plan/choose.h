/* choose.h - candidates for `layers auto` and `overlap auto`. */
#ifndef PLAN_CHOOSE_H
#define PLAN_CHOOSE_H

#include "plan/plan_parts.h"

struct chooser {
  const struct plan_site *site;
  const struct overlay *asked;
  size_t always;     /* so many layers are laid whatever is chosen */
  bool all_overlaps; /* as if `overlap auto` stood everywhere, for advice */
};

struct choice_point {
  size_t layers;
  double overlap; /* of the layers that have `overlap auto` */
};

/* The overlay with plain numbers; later stages see nothing of `auto`. */
struct overlay *choice_overlay(const struct chooser *chooser, const struct choice_point *point);
struct plan_try choice_try(const struct chooser *chooser, const struct choice_point *point);

/* Limits that depend on the choice, where the laps of all layers are known: the qualified ranges of
 * layers that not every choice has, and how far the head can turn in one run.  false: why tells
 * which does not hold. */
bool choice_keeps_limits(const struct chooser *chooser, const struct plan_overlay *made,
                         struct plan_try *got);
/* Notes on the qualified ranges that the layers of every choice leave. */
void choice_tell_limits(const struct chooser *chooser, const struct plan_try *nearest,
                        struct diag *diag);

struct choice_found {
  struct plan_choice choice; /* where the search found one */
  struct plan_try *tried; /* each count before it at its best; at least one where none is found */
  size_t count;
};
/* Counts of layers from least to most; true: found. */
bool choice_search(const struct chooser *chooser, size_t least, size_t most,
                   struct choice_found *found);

/* Nothing meets what is required: tells it at the key that cannot be met. */
void choice_refuse(const struct chooser *chooser, const struct choice_found *found);

#endif
