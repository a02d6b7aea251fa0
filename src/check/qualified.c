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

static const char *along_text(const struct scene *scene, const struct plan_limit *q) {
  return q->values.lo == q->values.hi
             ? ""
             : arena_format(scene->arena, ", %.6g to %.6g %s along the lap",
                            q->values.lo / q->per_unit, q->values.hi / q->per_unit, q->unit);
}

static const char *text_of(const struct scene *scene, const struct plan_overlay *overlay,
                           const struct plan_layer *layer, enum limit_kind kind) {
  struct plan_limit limit = plan_limit_get(layer, kind);
  const struct plan_limit *q = &limit;
  struct range r = limit.limit;
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
                      along_text(scene, q), range, cruise);
}

/* One limit of one layer's procedure. */
struct case_at {
  const struct plan_overlay *overlay;
  const struct plan_layer *layer;
  enum limit_kind kind;
};

static double share_of(const struct case_at *c) {
  struct plan_limit limit = plan_limit_get(c->layer, c->kind);
  return fmax(limit.high, limit.low);
}

static struct check_result case_result(const struct scene *scene, const struct case_at *c) {
  const struct procedure *procedure = c->layer->procedure;
  struct plan_limit limit = plan_limit_get(c->layer, c->kind);
  bool is_high = limit.high >= limit.low;
  struct check_result result = finding_not_asked("qualified-range", limit.unit);
  result.judged = true;
  result.passed = limit.is_kept;
  result.worst = (is_high ? limit.values.hi : limit.values.lo) / limit.per_unit;
  result.limit = (is_high ? limit.limit.hi : limit.limit.lo) / limit.per_unit;
  result.at = origin_of_key(&procedure->limit_origin, limit.key);
  if (finding_is_told(scene, result.passed))
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
    if (!is_same_range(plan_limit_get(a, (enum limit_kind)kind).values,
                       plan_limit_get(b, (enum limit_kind)kind).values))
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
          (*cases)[count++] = (struct case_at){&plan->overlays[i], layer, (enum limit_kind)kind};
    }
  return count;
}

/* All that are violated but the one shown. */
static void tell_further(const struct scene *scene, const struct case_at *cases, size_t count,
                         size_t shown, struct check_result *result) {
  struct check_violation *further = arena_alloc(scene->arena, count, sizeof *further);
  for (size_t i = 0; i < count; i++) {
    if (i == shown || plan_limit_get(cases[i].layer, cases[i].kind).is_kept)
      continue;
    struct check_result one = case_result(scene, &cases[i]);
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
