/* outlines.c - loops from the plan's contours. */
#include "metal/outlines.h"

#include "borelay/arena.h"

struct outlines outlines_make(struct arena *arena, const struct plan *plan) {
  size_t volumes = plan->job->envelope->volume_count;
  struct outlines outlines = {
      .volumes = arena_alloc(arena, volumes + 1, sizeof *outlines.volumes),
      .walls = arena_alloc(arena, plan->overlay_count + 1, sizeof *outlines.walls)};
  for (size_t i = 0; i < volumes; i++)
    outlines.volumes[i] = loop_make(arena, plan->volume_contours[i], NULL);
  for (size_t i = 0; i < plan->overlay_count; i++)
    outlines.walls[i] = loop_make(arena, plan->overlays[i].contour, NULL);
  return outlines;
}

struct loop outline_of_clad(struct arena *arena, const struct plan_overlay *overlay, size_t layers,
                            bool nominal) {
  const struct contour *contour = overlay->contour;
  double *thickness = arena_alloc(arena, contour->count, sizeof *thickness);
  for (size_t i = 0; i < contour->count; i++)
    thickness[i] = nominal ? plan_clad_nominal(overlay, layers)
                           : plan_clad_true(overlay, layers, &contour->segs[i]);
  return loop_make(arena, contour, thickness);
}
