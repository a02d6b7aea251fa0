/* taught_kinds.h - touches of each kind of shape; taught.h is the way in. */
#ifndef SHAPE_TAUGHT_KINDS_H
#define SHAPE_TAUGHT_KINDS_H

#include "shape/taught.h"

struct arena;

/* A bound on an error, taken as evenly likely inside, stands for a standard error of the bound
 * over the root of 3 (JCGM 100:2008, "Guide to the expression of uncertainty in measurement",
 * 4.3.7).  Exactly determined fits take fit_tolerance, a bound, for the touches' error. */
#define BOUND_PER_SIGMA 1.7320508075688772

/* No touch is taken to be better than this share of fit_tolerance, however well few of them agree:
 * docs/fits.md. */
#define TOUCH_FLOOR 0.1

/* Where the tip stood when it touched; cell frame. */
vec2 touch_tip(const struct touch *touch, double reach);
/* A fitted size against the one given under the key `size`; true where none is given. */
bool size_agrees(const struct touch_set *set, struct diag_list *diags, const char *size,
                 double fitted, double nominal);

bool round_touches_fit(const struct touch_set *set, double reach, struct arena *scratch,
                       struct diag_list *diags, struct fit *fit);
bool racetrack_touches_fit(const struct touch_set *set, double reach, struct diag_list *diags,
                           struct fit *fit);

#endif
