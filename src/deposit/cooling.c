/* cooling.c - cooling time from 800 to 500 degC.
 *
 * EN 1011-2, Annex D (also SEW 088), for unalloyed and low-alloyed ferritic steels, Q with the
 * efficiency of the arc in it, d the metal's thickness, T0 where cooling begins:
 *   three-dimensional  t = (6700 - 5 T0) Q (1/(500 - T0) - 1/(800 - T0)) F3
 *   two-dimensional    t = (4300 - 4.3 T0) 1e5 Q^2/d^2 (1/(500 - T0)^2 - 1/(800 - T0)^2) F2
 * with F2 = F3 = 1 for a run on a surface.  (Formulas from restatements that cite the standard; the
 * standard's own text was not seen.) */
#include "borelay/deposit.h"

#include <assert.h>
#include <math.h>

static const double LOW = COOLING_TO_DEGC, HIGH = 800;

struct cooling_time cooling_time_find(double heat_input, double from, double thickness) {
  assert(from < LOW && thickness > 0.0);
  double low = 1 / (LOW - from), high = 1 / (HIGH - from);
  double three = (6700 - 5 * from) * (low - high), two = (4300 - 4.3 * from) * 1e5;
  double spread = heat_input / thickness;
  struct cooling_time time = {.three_dimensional = three * heat_input,
                              .two_dimensional = two * spread * spread * (low * low - high * high)};
  /* Both alike: two Q^2/d^2 (low - high)(low + high) = three Q. */
  time.transition = sqrt(two * heat_input * (low + high) / (6700 - 5 * from));
  time.is_two_dimensional = thickness < time.transition;
  time.governing = fmax(time.three_dimensional, time.two_dimensional);
  return time;
}
