/* rules.c - wire side, required flatness and iron. */
#include "check/rules.h"

#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"

/* Seen from the axis looking out, anticlockwise travel goes to the left: a leading wire is then on
 * the left, a trailing one on the right; clockwise the other way round. */
static enum wire_side side_wanted(enum wire_position wire, bool clockwise) {
  bool left = (wire == WIRE_LEADING) != clockwise;
  return left ? WIRE_SIDE_LEFT : WIRE_SIDE_RIGHT;
}

static const char *side_name(enum wire_side side) {
  return side == WIRE_SIDE_LEFT ? "left" : "right";
}

static const char *side_text(const struct scene *scene, const struct plan_overlay *overlay,
                             const struct plan_layer *layer, enum wire_side has) {
  bool clockwise = layer->layer->clockwise, leading = layer->procedure->wire == WIRE_LEADING;
  return arena_format(scene->arena,
                      "overlay %s, layer %" PRId64
                      ": %s wire in %s travel comes from the %s of the torch; the cell's is on the "
                      "%s",
                      overlay->overlay->name, layer->number, leading ? "leading" : "trailing",
                      clockwise ? "clockwise" : "anticlockwise",
                      side_name(side_wanted(layer->procedure->wire, clockwise)), side_name(has));
}

/* The other direction has the same wire on the other side. */
static const char *side_help(const struct scene *scene, const struct plan_layer *layer) {
  return arena_format(scene->arena, "`direction %s` brings the %s wire to the cell's side",
                      layer->layer->clockwise ? "anticlockwise" : "clockwise",
                      layer->procedure->wire == WIRE_LEADING ? "leading" : "trailing");
}

struct check_result wire_side_check(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  enum wire_side has = plan->job->cell->wire_side;
  struct check_result result = finding_not_asked("wire-side", "layers");
  for (size_t i = 0; has != WIRE_SIDE_NONE && i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++) {
      const struct plan_overlay *overlay = &plan->overlays[i];
      const struct plan_layer *layer = &overlay->layers[k];
      if (layer->procedure->wire == WIRE_NONE)
        continue;
      bool wrong = side_wanted(layer->procedure->wire, layer->layer->clockwise) != has;
      if (!result.judged || (wrong && result.worst == 0)) {
        result.at = origin_of_key(&layer->layer->origin, "direction");
        result.detail = wrong ? side_text(scene, overlay, layer, has) : "";
        result.help = wrong ? side_help(scene, layer) : NULL;
      }
      result.judged = true;
      result.worst += wrong;
    }
  result.passed = result.worst == 0;
  if (!result.passed)
    result.told = result.worst > 1
                      ? arena_format(scene->arena, "in %.0f layers the wire is on the wrong side",
                                     result.worst)
                      : "in 1 layer the wire is on the wrong side";
  return result;
}

/* worst of a least or a most, whichever overlay comes nearest to its limit, as a share of it. */
struct asked {
  struct check_result result;
  double share;
  const struct plan_overlay *worst;
};

/* unit: of the check, in which the demand's value is told. */
static void asked_meet(struct asked *asked, const struct plan_overlay *planned, enum demand demand,
                       double unit, const char *detail) {
  struct plan_demand got = plan_demand_get(planned, demand);
  if (!got.is_asked || (asked->result.judged && got.share <= asked->share))
    return;
  asked->share = got.share;
  asked->worst = planned;
  asked->result.judged = true;
  asked->result.worst = got.value / unit;
  asked->result.limit = got.limit / unit;
  asked->result.at = origin_of_key(&planned->overlay->require_origin, demand_name(demand));
  asked->result.detail = detail;
  asked->result.passed = got.is_met;
}

struct check_result flatness_check(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  struct asked asked = {.result = finding_not_asked("flatness", "mm")};
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct plan_overlay *planned = &plan->overlays[i];
    asked_meet(&asked, planned, DEMAND_FLATNESS, 1,
               arena_format(scene->arena, "overlay %s, ridges over the valley floors",
                            planned->overlay->name));
  }
  return asked.result;
}

/* -- iron ------------------------------------------------------------------------------------- */

/* No more layers than the language takes. */
static const int64_t LAYERS_MOST = 1000;

/* What the last layer is laid with makes the further ones too. */
static const char *layers_that_do(const struct scene *scene, const struct plan_overlay *planned) {
  const struct plan_layer *last = &planned->layers[planned->layer_count - 1];
  const struct procedure *p = last->procedure;
  double wanted = planned->overlay->required_iron;
  int64_t more =
      iron_layers_more(last->iron, p->dilution, p->iron_wire, wanted, LAYERS_MOST - last->number);
  if (p->iron_wire > wanted)
    return arena_format(
        scene->arena, "no number of layers would do: the wire of procedure %s alone holds %.6g %%",
        p->name, 100 * p->iron_wire);
  if (more < 0)
    return arena_format(scene->arena, "no number of layers would do at a dilution of %.6g %%",
                        100 * p->dilution);
  return arena_format(scene->arena, "%" PRId64 " layers at a dilution of %.6g %% would do",
                      last->number + more, 100 * p->dilution);
}

/* Shown to a hundredth of a per cent, rounded down: still enough. */
static const char *dilution_that_does(const struct scene *scene,
                                      const struct plan_overlay *planned) {
  size_t count = planned->layer_count;
  double *wire = arena_alloc(scene->arena, count, sizeof *wire);
  for (size_t k = 0; k < count; k++)
    wire[k] = planned->layers[k].procedure->iron_wire;
  double most = iron_dilution_most(planned->layers[0].procedure->iron_base, wire, count,
                                   planned->overlay->required_iron);
  double shown = floor(most * 1e4) / 100;
  if (most <= 0 || shown <= 0)
    return "";
  return arena_format(scene->arena, "; a dilution of %.6g %% would do with %s", shown,
                      count == 1 ? "one layer" : arena_format(scene->arena, "%zu layers", count));
}

struct check_result iron_check(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  struct asked asked = {.result = finding_not_asked("iron", "%")};
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct plan_overlay *planned = &plan->overlays[i];
    asked_meet(&asked, planned, DEMAND_IRON, 0.01,
               arena_format(scene->arena, "overlay %s, layer %" PRId64 ", the last",
                            planned->overlay->name,
                            planned->layers[planned->layer_count - 1].number));
  }
  if (asked.worst && !asked.result.passed)
    asked.result.help = arena_format(scene->arena, "%s%s", layers_that_do(scene, asked.worst),
                                     dilution_that_does(scene, asked.worst));
  return asked.result;
}
