/* An outline as a contour: edges, what is wrong with them, tangents, place in the cell. */
#include "shape/outline.h"

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "shape/place.h"
#include "shape/segments.h"

/* All that can be told of the shape is told before it is given up. */
static bool outline_sound(struct arena *arena, const struct shape *shape, struct diag_list *diags,
                          struct outline *outline) {
  if (!outline_bends_suffice(shape, diags))
    return false;
  bool parts = outline_edges(arena, shape, diags, outline);
  bool closed = outline_close(outline, diags);
  bool joints = outline_joints(outline, closed, diags);
  return parts && closed && joints && outline_is_simple(outline, diags);
}

static void seg_place(struct contour_seg *seg, const struct placement *placement) {
  seg->start = placement_point(placement, seg->start);
  seg->centre = placement_point(placement, seg->centre);
  seg->tangent = turned_about_zero(seg->tangent, placement->turned);
  seg->normal0 += placement->turned;
}

struct contour *contour_outline(struct arena *arena, const struct shape *shape,
                                const struct placement *placement, struct diag_list *diags) {
  struct outline outline;
  if (!outline_sound(arena, shape, diags, &outline))
    return NULL;
  vec2 centroid;
  if (outline_area(&outline, &centroid) < 0)
    outline_reverse(&outline);
  struct contour_seg *segs =
      arena_alloc(arena, OUTLINE_SEGS_PER_EDGE * outline.count, sizeof *segs);
  double zero;
  size_t count = outline_smooth(arena, &outline, segs, &zero);
  for (size_t i = 0; i < count; i++)
    seg_place(&segs[i], placement);
  struct contour *contour = contour_from_segments(arena, segs, count, zero);
  contour->centre = placement_point(placement, shape->has_centre ? shape->centre : centroid);
  contour->turned = placement->turned;
  return contour;
}
