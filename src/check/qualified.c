/* qualified.c - each limit against its own quantity, for every procedure that a layer uses, with
 * the least and the most of it that sectors and their ramps ask for.
 *
 * The programmed values are compared.  The speed that a run really cruises at lies up to 0.5 %
 * below the programmed one, so that the run ends on a tick (semantics.md, Motion); the travel-speed
 * check keeps it within 1 %.  That small loss is not held against a limit, but is told. */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "check/rules.h"

struct quantity {
  const char *key, *unit;
  double per_unit; /* inside per shown unit */
};
static const struct quantity QUANTITIES[LIMIT_COUNT] = {
    [LIMIT_CURRENT] = {"current", "A", 1},
    [LIMIT_VOLTAGE] = {"voltage", "V", 1},
    [LIMIT_TRAVEL_SPEED] = {"travel_speed", "mm/min", 1.0 / 60},
    [LIMIT_WIRE_FEED_SPEED] = {"wire_feed_speed", "mm/min", 1.0 / 60},
    [LIMIT_WIRE_CURRENT] = {"wire_current", "A", 1},
    [LIMIT_ARC_LENGTH] = {"arc_length", "mm", 1},
    [LIMIT_ARC_ENERGY] = {"arc_energy", "kJ/mm", 1},
    [LIMIT_HEAT_INPUT] = {"heat_input", "kJ/mm", 1},
};

/* Least and most over a lap; one value where no sector says otherwise. */
static struct range values_of(const struct plan_layer *layer, enum limit_kind kind) {
  const struct procedure *p = layer->procedure;
  const struct lap_values *lo = &layer->values_least, *hi = &layer->values_most;
  switch (kind) {
  case LIMIT_CURRENT:
    return (struct range){lo->current, hi->current};
  case LIMIT_VOLTAGE:
    return (struct range){lo->voltage, hi->voltage};
  case LIMIT_TRAVEL_SPEED:
    return (struct range){lo->travel_speed, hi->travel_speed};
  case LIMIT_WIRE_FEED_SPEED:
    return (struct range){lo->wire_feed_speed, hi->wire_feed_speed};
  case LIMIT_WIRE_CURRENT:
    return (struct range){p->wire_current, p->wire_current};
  case LIMIT_ARC_LENGTH:
    return (struct range){p->arc_length, p->arc_length};
  case LIMIT_ARC_ENERGY:
    return layer->arc_energies;
  case LIMIT_HEAT_INPUT:
    return layer->heat_inputs;
  case LIMIT_COUNT:
    break;
  }
  return (struct range){0, 0};
}

/* How far the value goes towards an end of its range: 1 on it, more beyond. */
static double share_high(double value, struct range limit) {
  return limit.hi > 0 ? value / limit.hi : value > limit.hi ? 1e9 : 1;
}
static double share_low(double value, struct range limit) {
  if (isinf(limit.lo) || limit.lo <= 0)
    return value < limit.lo ? 1e9 : 0;
  return value > 0 ? limit.lo / value : 1e9;
}

/* Slowest cruise of the layer's runs, with sectors in the slowest of these, mm/s. */
static double slowest_cruise(const struct motion *motion, const struct plan_layer *layer) {
  double least = layer->values_least.travel_speed, slowest = least;
  bool is_one = least == layer->values_most.travel_speed;
  for (size_t i = 0; i < motion->phase_count; i++) {
    if (motion->phases[i].kind != PHASE_WELD || motion->phases[i].plan_layer != layer)
      continue;
    struct run_info info = phase_run_info(motion, &motion->phases[i]);
    slowest = fmin(slowest, is_one ? info.speed : info.pace * least);
  }
  return slowest;
}

static const char *along_text(const struct scene *scene, struct range values,
                              const struct quantity *q) {
  return values.lo == values.hi
             ? ""
             : arena_format(scene->arena, ", %.6g to %.6g %s along the lap",
                            values.lo / q->per_unit, values.hi / q->per_unit, q->unit);
}

static const char *text_of(const struct scene *scene, const struct plan_overlay *overlay,
                           const struct plan_layer *layer, enum limit_kind kind) {
  const struct quantity *q = &QUANTITIES[kind];
  struct range r = layer->procedure->limit[kind];
  const char *range =
      isinf(r.lo) ? arena_format(scene->arena, "at most %.6g %s", r.hi / q->per_unit, q->unit)
                  : arena_format(scene->arena, "%.6g .. %.6g %s", r.lo / q->per_unit,
                                 r.hi / q->per_unit, q->unit);
  const char *cruise = kind == LIMIT_TRAVEL_SPEED
                           ? arena_format(scene->arena, "; slowest cruise %.3f mm/min",
                                          slowest_cruise(scene->motion, layer) * 60)
                           : "";
  return arena_format(scene->arena,
                      "%s of procedure %s (overlay %s, layer %" PRId64 ")%s, qualified %s%s",
                      q->key, layer->procedure->name, overlay->overlay->name, layer->number,
                      along_text(scene, values_of(layer, kind), q), range, cruise);
}

/* One limit of one layer's procedure. */
struct case_at {
  const struct plan_overlay *overlay;
  const struct plan_layer *layer;
  enum limit_kind kind;
  double value, high, low; /* high, low: shares */
};

static double share_of(const struct case_at *c) {
  return fmax(c->high, c->low);
}

static struct case_at case_make(const struct plan_overlay *overlay, const struct plan_layer *layer,
                                enum limit_kind kind) {
  struct range limit = layer->procedure->limit[kind];
  struct range values = values_of(layer, kind);
  double high = share_high(values.hi, limit), low = share_low(values.lo, limit);
  double value = high >= low ? values.hi : values.lo;
  return (struct case_at){overlay, layer, kind, value, high, low};
}

static struct check_result case_result(const struct scene *scene, const struct case_at *c) {
  const struct procedure *procedure = c->layer->procedure;
  const struct quantity *q = &QUANTITIES[c->kind];
  struct range limit = procedure->limit[c->kind];
  struct check_result result = finding_not_asked("qualified-range", q->unit);
  result.judged = true;
  result.passed = share_of(c) <= 1 + CHECK_SLACK;
  result.worst = c->value / q->per_unit;
  result.limit = (c->high >= c->low ? limit.hi : limit.lo) / q->per_unit;
  result.at = origin_of_key(&procedure->limit_origin, q->key);
  result.detail = text_of(scene, c->overlay, c->layer, c->kind);
  return result;
}

static bool is_same_range(struct range a, struct range b) {
  return a.lo == b.lo && a.hi == b.hi;
}

/* The same procedure, and sectors alike. */
static bool is_alike(const struct plan_layer *a, const struct plan_layer *b) {
  if (a->procedure != b->procedure)
    return false;
  for (int kind = 0; kind < LIMIT_COUNT; kind++)
    if (!is_same_range(values_of(a, (enum limit_kind)kind), values_of(b, (enum limit_kind)kind)))
      return false;
  return true;
}

/* Whether the same limit of the same procedure was met before, in an earlier layer. */
static bool is_repeated(const struct plan *plan, size_t overlay, size_t layer) {
  const struct plan_layer *asked = &plan->overlays[overlay].layers[layer];
  for (size_t i = 0; i <= overlay; i++)
    for (size_t k = 0; k < (i == overlay ? layer : plan->overlays[i].layer_count); k++)
      if (is_alike(&plan->overlays[i].layers[k], asked))
        return true;
  return false;
}

/* Every limit that the plan's procedures state, in the order of their first use. */
static size_t cases_find(const struct scene *scene, struct case_at **cases) {
  const struct plan *plan = scene->motion->plan;
  size_t layers = 0, count = 0;
  for (size_t i = 0; i < plan->overlay_count; i++)
    layers += plan->overlays[i].layer_count;
  *cases = arena_alloc(scene->arena, layers * LIMIT_COUNT, sizeof **cases);
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++) {
      const struct plan_layer *layer = &plan->overlays[i].layers[k];
      for (int kind = 0; kind < LIMIT_COUNT && !is_repeated(plan, i, k); kind++)
        if (layer->procedure->has_limit[kind])
          (*cases)[count++] = case_make(&plan->overlays[i], layer, (enum limit_kind)kind);
    }
  return count;
}

/* All that are violated but the one shown. */
static void tell_further(const struct scene *scene, const struct case_at *cases, size_t count,
                         size_t shown, struct check_result *result) {
  struct check_violation *further = arena_alloc(scene->arena, count, sizeof *further);
  for (size_t i = 0; i < count; i++) {
    struct check_result one = case_result(scene, &cases[i]);
    if (i != shown && !one.passed)
      further[result->further_count++] =
          (struct check_violation){one.worst, one.limit, one.unit, one.at, one.detail};
  }
  result->further = further;
}

struct check_result qualified_check(const struct scene *scene) {
  struct case_at *cases;
  size_t count = cases_find(scene, &cases), worst = 0;
  for (size_t i = 1; i < count; i++)
    if (share_of(&cases[i]) > share_of(&cases[worst]))
      worst = i;
  if (count == 0)
    return finding_not_asked("qualified-range", "");
  struct check_result result = case_result(scene, &cases[worst]);
  tell_further(scene, cases, count, worst, &result);
  return result;
}
