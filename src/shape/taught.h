/* taught.h - what touches say of a shape, told as fits or as refusals. */
#ifndef SHAPE_TAUGHT_H
#define SHAPE_TAUGHT_H

#include "borelay/contour.h"

/* The touches of a shape or of the job's datum, and whom to tell of. */
struct touch_set {
  const char *name;          /* "datum", or the shape's */
  const struct shape *shape; /* kind, sizes where it has them, fit_tolerance */
  const struct touch *touches;
  size_t count;
  span at; /* where what concerns all touches is told */
};

/* Fit of the touches, checked: residuals, soundness of the centre, the order of a racetrack's
 * touches, and the sizes against the shape's where it has dimensions.  false: told. */
bool touches_fit(const struct touch_set *set, double reach, struct diag_list *diags,
                 struct fit *fit);

/* The same for a taught shape, in the cell frame, with its warning where nothing checks it.
 * A racetrack's `turned` is counted to the whole turn nearest to where the shape would lie. */
bool taught_fit(const struct shape *shape, const struct placement *placement, double reach,
                struct diag_list *diags, struct fit *fit);

#endif
