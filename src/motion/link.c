/* The same pieces, metals and limits as in src/check, for a few moves at a time: what is clear here
 * is clear there. */
#include "motion/link.h"

#include <math.h>

#include "borelay/metal.h"

/* A value within 1e-6 of its limit counts as inside (docs/checks.md). */
static const double LIMIT_SLACK = 1e-6, ELECTRODE_LESS_MM = 0.1;

/* -- what stands ------------------------------------------------------------------------------ */

static const struct phase *weld_before(const struct builder *builder, size_t first) {
  while (first-- > 0)
    if (builder->phases[first].kind == PHASE_WELD)
      return &builder->phases[first];
  return NULL;
}

static const struct metal *metal_of(struct builder *builder, struct metal_kept *kept,
                                    size_t overlay, size_t layers, bool nominal) {
  const struct plan *plan = builder->plan;
  struct link_metals *metals = &builder->metals;
  if (!metals->laid)
    metals->laid = arena_alloc(builder->arena, plan->overlay_count + 1, sizeof *metals->laid);
  for (; metals->laid_to < overlay; metals->laid_to++)
    metals->laid[metals->laid_to] = plan->overlays[metals->laid_to].layer_count;
  for (; metals->laid_to > overlay; metals->laid_to--)
    metals->laid[metals->laid_to] = 0;
  metals->laid[overlay] = layers;
  return metal_keep(kept, plan, (struct clad_state){metals->laid, nominal});
}

/* The layer being laid counts as finished for bodies and torch from its first run on, for the
 * electrode when its last run is left behind: when the moves lead to something else. */
static void metals_find(struct builder *builder, const struct phase *weld) {
  struct link_metals *metals = &builder->metals;
  size_t overlay = weld ? (size_t)weld->overlay - 1 : 0, solid = 0, electrode = 0;
  if (weld) {
    solid = (size_t)(weld->plan_layer - builder->plan->overlays[overlay].layers) + 1;
    electrode = builder->label.plan_layer == weld->plan_layer ? solid - 1 : solid;
  } else if (builder->resume) {
    overlay = builder->resume->overlay;
    electrode = builder->resume->layer;
    solid = electrode + 1;
  }
  if (!metals->solid || metals->overlay != overlay || metals->solid_layers != solid)
    metals->solid = metal_of(builder, &metals->solid_kept, overlay, solid, false);
  if (!metals->electrode || metals->overlay != overlay || metals->electrode_layers != electrode)
    metals->electrode = metal_of(builder, &metals->electrode_kept, overlay, electrode, true);
  metals->overlay = overlay;
  metals->solid_layers = solid;
  metals->electrode_layers = electrode;
}

/* On the way from one procedure's run to another's the electrode keeps the lesser arc length. */
static double electrode_limit(const struct builder *builder, const struct phase *weld) {
  double least = INFINITY;
  if (builder->label.plan_layer)
    least = builder->label.plan_layer->procedure->arc_length;
  if (weld)
    least = fmin(least, weld->plan_layer->procedure->arc_length);
  return least - ELECTRODE_LESS_MM;
}

/* -- the judgement ---------------------------------------------------------------------------- */

/* One kind of part, asked for what lacks more than all before. */
struct kind_ask {
  double limit, bar;
  struct clear_result least;
};

static struct clear_ask kind_begin(struct kind_ask *kind, const struct metal *metal,
                                   struct clear_parts parts, const struct link_near *near) {
  kind->bar = kind->limit - fmax(near->shortfall, LIMIT_SLACK * kind->limit);
  kind->least = clear_begin(kind->bar);
  return (struct clear_ask){metal, parts, &kind->least};
}

static void kind_end(const struct kind_ask *kind, struct link_near *near) {
  /* Where parts meet there is no more or less of it. */
  double distance = fmax(kind->least.distance, 0), shortfall = kind->limit - distance;
  if (!(kind->least.distance < kind->bar) || !(shortfall > near->shortfall))
    return;
  *near = (struct link_near){shortfall, kind->limit, kind->least};
}

static void pieces_judge(struct builder *builder, size_t count, double arc_length,
                         struct link_near *near) {
  const struct link_metals *metals = &builder->metals;
  const struct cell *cell = builder->cell;
  struct kind_ask kinds[3] = {
      {.limit = cell->clearance}, {.limit = cell->torch_clearance}, {.limit = arc_length}};
  const struct metal *of[3] = {metals->solid, metals->solid, metals->electrode};
  const struct clear_parts parts[3] = {
      {.bodies = true, .shifted = true}, {.torch = true, .shifted = true}, {.electrode = true}};
  size_t kind_count = isfinite(arc_length) ? 3 : 2;
  struct clear_ask asks[3];
  for (size_t i = 0; i < kind_count; i++)
    asks[i] = kind_begin(&kinds[i], of[i], parts[i], near);
  clear_pieces(cell, metals->pieces, count, 0, count, asks, kind_count);
  for (size_t i = 0; i < kind_count; i++)
    kind_end(&kinds[i], near);
}

static size_t pieces_load(struct builder *builder, const struct phase *phase) {
  struct link_metals *metals = &builder->metals;
  struct motion motion = {.plan = builder->plan, .phases = builder->phases};
  struct piece_iter iter;
  struct piece piece;
  size_t count = 0;
  piece_iter_begin(&iter, &motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    if (count == metals->room) {
      size_t room = metals->room ? 2 * metals->room : 8;
      metals->pieces = arena_grow(builder->arena, metals->pieces, count, room, sizeof piece);
      metals->room = room;
    }
    metals->pieces[count++] = piece;
  }
  piece_iter_release(&iter);
  return count;
}

void link_begin(struct builder *builder) {
  struct link_metals *metals = &builder->metals;
  metals->bare = metal_make(builder->arena, builder->plan, (struct clad_state){.layers = NULL});
  metals->solid_kept.bare = metals->electrode_kept.bare = metals->bare;
  metals->solid_kept.home = metals->electrode_kept.home = builder->arena;
}

void link_give(struct builder *builder, struct motion *motion) {
  struct link_metals *metals = &builder->metals;
  motion->bare = metals->bare;
  motion->solid = metal_kept_give(&metals->solid_kept, builder->arena);
  motion->electrode = metal_kept_give(&metals->electrode_kept, builder->arena);
}

void link_release(struct builder *builder) {
  metal_kept_release(&builder->metals.solid_kept);
  metal_kept_release(&builder->metals.electrode_kept);
}

struct link_near link_judge(struct builder *builder, size_t first) {
  const struct phase *weld = weld_before(builder, first);
  double arc_length = electrode_limit(builder, weld);
  struct link_near near = {0};
  metals_find(builder, weld);
  for (size_t i = first; i < builder->phase_count; i++) {
    size_t count = pieces_load(builder, &builder->phases[i]);
    pieces_judge(builder, count, arc_length, &near);
  }
  return near;
}

const char *link_text(const struct builder *builder, const struct link_near *near) {
  struct arena *arena = builder->arena;
  const struct clear_result *least = &near->least;
  const char *part = clear_part_name(arena, builder->cell, least);
  const char *metal = metal_hit_name(arena, builder->metals.bare, least->metal); /* of the plan */
  const char *how =
      arena_format(arena, "%s comes to %.3f mm from %s", part, least->distance, metal);
  if (least->distance <= 0)
    how = arena_format(arena, "%s strikes %s", part, metal);
  return arena_format(arena, "%s (%.3f mm wanted) at x %.3f y %.3f z %.3f mm, head %.3f deg", how,
                      near->limit, least->pose.x, least->pose.y, least->pose.z,
                      num_degrees(least->pose.head));
}
