/* outlines.c - loops from the plan's contours. */
#include "metal/outlines.h"

#include "borelay/arena.h"

struct outlines outlines_make(struct arena *arena, const struct plan *plan) {
  size_t volumes = plan->job->envelope->volume_count;
  struct outlines outlines = {
      .volumes = arena_alloc(arena, volumes + 1, sizeof *outlines.volumes),
      .walls = arena_alloc(arena, plan->overlay_count + 1, sizeof *outlines.walls)};
  for (size_t i = 0; i < volumes; i++)
    outlines.volumes[i] = loop_make(arena, plan->volume_contours[i], NULL, METAL_VOLUME, i);
  for (size_t i = 0; i < plan->overlay_count; i++)
    outlines.walls[i] = loop_make(arena, plan->overlays[i].contour, NULL, METAL_CLAD, i);
  return outlines;
}

/* On each segment of the wall. */
static const double *thickness_of(struct arena *arena, const struct plan_overlay *overlay,
                                  size_t layers, bool nominal) {
  const struct contour *contour = overlay->contour;
  double *thickness = arena_alloc(arena, contour->count, sizeof *thickness);
  for (size_t i = 0; i < contour->count; i++)
    thickness[i] = nominal ? plan_clad_nominal(overlay, layers)
                           : plan_clad_true(overlay, layers, &contour->segs[i]);
  return thickness;
}

struct loop outline_of_clad(struct arena *arena, const struct plan *plan, size_t overlay,
                            size_t layers, bool nominal) {
  const struct plan_overlay *clad = &plan->overlays[overlay];
  return loop_make(arena, clad->contour, thickness_of(arena, clad, layers, nominal), METAL_CLAD,
                   overlay);
}

struct box outline_box_of_clad(struct arena *arena, const struct plan_overlay *overlay,
                               size_t layers, bool nominal) {
  return loop_box(overlay->contour, thickness_of(arena, overlay, layers, nominal));
}
