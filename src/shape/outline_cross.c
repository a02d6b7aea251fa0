/* An outline that crosses or touches itself.
 *
 * Neighbours cannot meet again: a second crossing of two circles that cross at a joint, or of a
 * circle and a straight, lies ahead of the joint on both or behind it on both, within less than
 * half a turn, so that only one of them reaches it.  All other pairs that come near one another are
 * looked at, each by its exact distance. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/approach.h"
#include "shape/outline.h"
#include "shape/seg_tree.h"
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

static struct contour_seg *edges_as_segs(struct arena *arena, const struct outline *outline) {
  struct contour_seg *segs = arena_alloc(arena, outline->count, sizeof *segs);
  for (size_t i = 0; i < outline->count; i++)
    segs[i] = outline_edge_seg(&outline->edges[i]);
  return segs;
}

/* The first part before j that it meets, neighbours aside; j: none. */
static size_t first_met(const struct seg_tree *tree, const struct contour_seg *segs, size_t j,
                        struct approach *approach) {
  vec2 at = tree->circles[j].middle;
  double reach = tree->circles[j].radius + TOUCHING;
  for (size_t i = seg_tree_next(tree, 0, at, reach); i < j;
       i = seg_tree_next(tree, i + 1, at, reach)) {
    if (are_neighbours(i, j, tree->count))
      continue;
    *approach = seg_approach(&segs[i], &segs[j]);
    if (approach->distance <= TOUCHING)
      return i;
  }
  return j;
}

bool outline_is_simple(const struct outline *outline, struct diag_list *diags) {
  struct arena *scratch = arena_new();
  const struct contour_seg *segs = edges_as_segs(scratch, outline);
  struct seg_tree tree = seg_tree_make(scratch, segs, outline->count);
  bool simple = true;
  for (size_t j = 2; j < outline->count; j++) {
    struct approach approach;
    size_t i = first_met(&tree, segs, j, &approach);
    if (i == j)
      continue;
    crossing_tell(outline, i, j, &approach, diags); /* one a part is enough to see */
    simple = false;
  }
  arena_free(scratch);
  return simple;
}
