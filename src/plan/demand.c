/* What `require` asks of an overlay, beside what its plan gives: one reading for the checks and for
 * the choice of layers and overlap. */
#include "borelay/plan.h"

#include <math.h>

#include "borelay/arena.h"

/* Of a limit: docs/semantics.md, first lines. */
static const double SLACK = 1e-6;

const char *demand_name(enum demand demand) {
  static const char *const NAMES[DEMAND_COUNT + 1] = {"thickness", "flatness", "iron", ""};
  return NAMES[demand];
}

/* Where the value goes up to its limit. */
static double share_of_most(double value, double most) {
  return most > 0 ? value / most : value > 0 ? HUGE_VAL : 0;
}

struct plan_demand plan_demand_get(const struct plan_overlay *planned, enum demand demand) {
  const struct overlay *overlay = planned->overlay;
  const struct plan_layer *last = &planned->layers[planned->layer_count - 1];
  struct plan_demand got = {0};
  struct plan_remaining remaining = {0};
  switch (demand) {
  case DEMAND_THICKNESS:
    remaining = plan_remaining_get(planned);
    got = (struct plan_demand){.is_asked = remaining.is_asked,
                               .value = remaining.value,
                               .limit = remaining.limit,
                               .share = remaining.share};
    break;
  case DEMAND_FLATNESS:
    got = (struct plan_demand){.is_asked = overlay->has_required_flatness,
                               .value = planned->ridge,
                               .limit = overlay->required_flatness};
    got.share = share_of_most(got.value, got.limit);
    break;
  case DEMAND_IRON:
    got = (struct plan_demand){.is_asked = overlay->has_required_iron && last->has_iron,
                               .value = last->iron,
                               .limit = overlay->required_iron};
    got.share = share_of_most(got.value, got.limit);
    break;
  case DEMAND_COUNT:
    break;
  }
  got.key = demand_name(demand);
  if (demand == DEMAND_THICKNESS && got.is_asked && remaining.is_clean_up)
    got.key = "finish";
  got.is_met = got.share <= 1 + SLACK;
  return got;
}
