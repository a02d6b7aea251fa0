/* Laps over the valleys of the layer below: midway between its laps, and one at either edge. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>

#include "borelay/deposit.h"
#include "plan/plan_parts.h"

/* Lengths that are equal on paper may differ by this after conversion of units, mm. */
static const double SAME_LENGTH = 1e-9;

/* The layer at hand, and the one on which it is to lie. */
struct pair {
  const struct plan_site *site;
  const struct plan_layer *below, *layer;
};

static struct diag *refuse(const struct pair *pair, const char *key, const char *why) {
  struct diag *diag = diag_error(
      pair->site->diags, DIAG_VALLEYS_UNLIKE, site_layer_place(pair->site, pair->layer->layer, key),
      "layer %" PRId64 " cannot lie over the valleys of layer %" PRId64 ": %s", pair->layer->number,
      pair->below->number, why);
  diag_note(diag, origin_of_key(&pair->site->overlay->origin, "over_valleys"),
            "which is asked for here");
  return diag;
}

static bool bands_are_equal(const struct pair *pair) {
  struct range a = pair->below->layer->depths, b = pair->layer->layer->depths;
  char why[160];
  if (fabs(a.lo - b.lo) <= SAME_LENGTH && fabs(a.hi - b.hi) <= SAME_LENGTH)
    return true;
  snprintf(why, sizeof why, "its band lies from %.6g to %.6g mm, that one's from %.6g to %.6g mm",
           b.lo, b.hi, a.lo, a.hi);
  refuse(pair, "depths", why);
  return false;
}

static bool beads_are_equal(const struct pair *pair) {
  const struct procedure *a = pair->below->procedure, *b = pair->layer->procedure;
  char why[120];
  if (fabs(bead_width_laid(a) - bead_width_laid(b)) <= SAME_LENGTH)
    return true;
  snprintf(why, sizeof why, "its beads are %.6g mm wide, that one's %.6g mm", bead_width_laid(b),
           bead_width_laid(a));
  struct diag *diag = refuse(pair, "procedure", why);
  diag_note(diag, origin_of_key(&b->origin, "bead_width"), "the bead's width stands here");
  return false;
}

static bool laps_are_close_enough(const struct pair *pair) {
  char why[120];
  double most = pair->layer->wanted_pitch;
  if (pair->below->pitch <= most + SAME_LENGTH)
    return true;
  snprintf(why, sizeof why,
           "it asks for a step of %.6g mm at most; that one's laps lie %.6g mm apart", most,
           pair->below->pitch);
  refuse(pair, pair->layer->layer->has_pitch ? "pitch" : "overlap", why);
  return false;
}

/* Spirals of opposite hand cross each other in every turn. */
static bool hands_are_equal(const struct pair *pair) {
  const struct layer *a = pair->below->layer, *b = pair->layer->layer;
  bool is_turned = a->clockwise != b->clockwise, is_reversed = a->deeper != b->deeper;
  if (pair->site->overlay->pattern != PATTERN_SPIRAL || is_turned == is_reversed)
    return true;
  struct diag *diag =
      refuse(pair, is_turned ? "direction" : "progress", "the two spirals are of opposite hand");
  diag_help(diag, "change `direction` and `progress` in the same layers, or neither");
  return false;
}

bool valley_laps(const struct plan_site *site, const struct plan_layer *below,
                 struct plan_layer *layer) {
  struct pair pair = {site, below, layer};
  if (!bands_are_equal(&pair) || !beads_are_equal(&pair) || !laps_are_close_enough(&pair) ||
      !hands_are_equal(&pair))
    return false;
  layer->is_over_valleys = below->laps > 1; /* one lap has no valley */
  layer->laps = below->laps + layer->is_over_valleys;
  layer->pitch = below->pitch;
  return true;
}
