/* An outline that crosses or touches itself.
 *
 * Neighbours cannot meet again: a second crossing of two circles that cross at a joint, or of a
 * circle and a straight, lies ahead of the joint on both or behind it on both, within less than
 * half a turn, so that only one of them reaches it.  All other pairs are looked at, each by its
 * exact distance. */
#include <math.h>

#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/approach.h"
#include "shape/outline.h"
#include "shape/segments.h"

/* Parts that come this near touch, mm. */
#define TOUCHING 1e-3

static bool are_neighbours(size_t i, size_t j, size_t count) {
  return j - i <= 1 || j - i == count - 1;
}

/* What is worked out is told to the micrometre; an origin's last bits are no figure. */
static double told(double mm) {
  return floor(mm * 1000 + 0.5) / 1000;
}

static void crossing_tell(const struct outline *outline, size_t i, size_t j,
                          const struct approach *approach, struct diag_list *diags) {
  const struct outline_edge *earlier = &outline->edges[i], *later = &outline->edges[j];
  struct contour_seg seg = outline_edge_seg(earlier);
  vec2 at = seg_point(&seg, approach->u_a, 0).at;
  struct diag *diag =
      diag_error(diags, DIAG_OUTLINE_CROSSES, later->place,
                 "the outline %s itself: this %s meets an earlier %s at (%.9g, %.9g) mm",
                 approach->distance > 0 ? "touches" : "crosses", outline_edge_word(later),
                 outline_edge_word(earlier), told(at.x), told(at.y));
  diag_note(diag, earlier->place, "the earlier %s", outline_edge_word(earlier));
}

bool outline_is_simple(const struct outline *outline, struct diag_list *diags) {
  bool simple = true;
  for (size_t j = 2; j < outline->count; j++) {
    struct contour_seg later = outline_edge_seg(&outline->edges[j]);
    for (size_t i = 0; i < j; i++) {
      if (are_neighbours(i, j, outline->count))
        continue;
      struct contour_seg earlier = outline_edge_seg(&outline->edges[i]);
      struct approach approach = seg_approach(&earlier, &later);
      if (approach.distance > TOUCHING)
        continue;
      crossing_tell(outline, i, j, &approach, diags);
      simple = false;
      break; /* one crossing a part is enough to see */
    }
  }
  return simple;
}
