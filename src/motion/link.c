/* Is a straight move clear of metal?  Only its way through space counts, so it is judged as if it
 * took one second at an even pace. */
#include <math.h>

#include "borelay/clear.h"
#include "motion/build.h"

static bool group_is_clear(const struct cell *cell, const struct metal *metal,
                           const struct piece *piece, struct clear_parts parts, double wanted) {
  struct clear_result worst = {.distance = INFINITY};
  clear_piece(cell, metal, piece, parts, &worst);
  return worst.distance >= wanted;
}

bool link_is_clear(struct builder *builder, size_t overlay, size_t layers, struct pose from,
                   struct pose to) {
  const struct plan *plan = builder->plan;
  size_t *laid = arena_alloc(builder->arena, plan->overlay_count, sizeof *laid);
  for (size_t i = 0; i < overlay; i++)
    laid[i] = plan->overlays[i].layer_count;
  laid[overlay] = layers;
  const struct metal *metal = metal_make(builder->arena, plan, (struct clad_state){laid, false});
  struct track track = track_straight(from, to);
  struct curve_list list = {0};
  track_leg_curves(&track, 0, &list);
  struct piece piece = {.t0 = 0, .t1 = 1, .q = {0, 1, 0, 0}, .curve = list.items[0].curve};
  curve_list_release(&list);
  const struct cell *cell = builder->cell;
  const struct procedure *procedure = plan->overlays[overlay].layers[0].procedure;
  struct clear_parts bodies = {.bodies = true, .shifted = true};
  struct clear_parts torch = {.torch = true, .shifted = true};
  struct clear_parts electrode = {.electrode = true};
  return group_is_clear(cell, metal, &piece, bodies, cell->clearance) &&
         group_is_clear(cell, metal, &piece, torch, cell->torch_clearance) &&
         group_is_clear(cell, metal, &piece, electrode, procedure->arc_length - 0.1);
}
