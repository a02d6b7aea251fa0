/* Where the tip passes: see passes.h. */
#include "motion/passes.h"

static const double SAME_TIP = 1e-12; /* mm */

/* Tip's progress at q, rounded; `near`: a stretch that is not far away. */
static double tip_at(const struct layout *layout, double widest, size_t near, double q) {
  size_t i = near;
  while (i > 0 && q < layout->stretches[i].q0)
    i--;
  while (i + 1 < layout->count && q >= layout->stretches[i].q1)
    i++;
  const struct stretch *stretch = &layout->stretches[i];
  double tip = stretch->tip + stretch->d_tip * (q - stretch->q0);
  size_t k = i;
  while (k > 0 && layout->knots[k - 1].q > q - widest)
    k--;
  for (; k + 1 < layout->count && layout->knots[k].q < q + widest; k++) {
    const struct knot *knot = &layout->knots[k];
    if (knot->d_tip != 0 && bump_alive(q, knot->q, knot->tip_half)) {
      struct cubic p = {0};
      bump_add(&p, q, q, knot->q, knot->tip_half, knot->d_tip);
      tip += p.c0;
    }
  }
  return tip;
}

/* q between lo and hi at which the rounded tip has come so far.  Progress rises with q, so
 * bisection holds; it ends at the last bit. */
static double tip_reaches(const struct layout *layout, double widest, size_t near, double wanted,
                          double lo, double hi) {
  for (int i = 0; i < 60; i++) {
    double mid = lo + (hi - lo) / 2;
    if (mid <= lo || mid >= hi)
      break;
    if (tip_at(layout, widest, near, mid) < wanted)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

/* q at which the rounded tip passes the knot before stretch k: the tip is late where it slows down,
 * early where it speeds up. */
static double knot_pass(const struct layout *layout, double widest, size_t k) {
  const struct knot *knot = &layout->knots[k - 1];
  if (knot->d_tip == 0 || knot->tip_half <= 0)
    return knot->q;
  return tip_reaches(layout, widest, k - 1, layout->stretches[k].tip, knot->q - knot->tip_half,
                     knot->q + knot->tip_half);
}

/* q at which it passes from one segment of a group to the next: straight from the stretch but where
 * a rounding reaches in. */
static double inner_pass(const struct layout *layout, double widest, const struct place *place) {
  size_t k = place->stretch;
  const struct stretch *stretch = &layout->stretches[k];
  double q = stretch->q0 + (place->tip - stretch->tip) / stretch->d_tip;
  if (fabs(tip_at(layout, widest, k, q) - place->tip) <= SAME_TIP)
    return q;
  return tip_reaches(layout, widest, k, place->tip, q - widest, q + widest);
}

double place_pass(const struct layout *layout, double widest, size_t p) {
  const struct place *place = &layout->places[p];
  return layout->stretches[place->stretch].place == p ? knot_pass(layout, widest, place->stretch)
                                                      : inner_pass(layout, widest, place);
}
