/* Whether each part of an outline runs on tangent from the one before it. */
#include <math.h>

#include "borelay/diag.h"
#include "borelay/num.h"
#include "shape/outline.h"

/* A bend with its centre on the other side has the same chord, and its end tangents exchanged. */
static void side_help(const struct outline_edge *before, const struct outline_edge *after,
                      struct diag *diag) {
  double other_after = outline_angle(after->heading1 - before->heading1);
  double other_before = outline_angle(after->heading0 - before->heading0);
  const struct outline_edge *bend = NULL;
  if (after->turn != 0 && fabs(other_after) <= OUTLINE_JOINT_ANGLE)
    bend = after;
  else if (before->turn != 0 && fabs(other_before) <= OUTLINE_JOINT_ANGLE)
    bend = before;
  if (bend)
    diag_help(diag, "with `side %s` the bend would run on tangent there",
              bend->turn > 0 ? "right" : "left");
}

static bool joint_holds(const struct outline_edge *before, const struct outline_edge *after,
                        struct diag_list *diags) {
  double angle = outline_angle(after->heading0 - before->heading1);
  if (before->is_broken || after->is_broken || fabs(angle) <= OUTLINE_JOINT_ANGLE)
    return true;
  struct diag *diag = diag_error(
      diags, DIAG_OUTLINE_JOINT, after->place,
      "this %s leaves (%.9g, %.9g) mm %.4g deg off the tangent of the %s before it; 0.1 deg "
      "is the most",
      outline_edge_word(after), after->from.x, after->from.y, fabs(angle) * (180 / NUM_PI),
      outline_edge_word(before));
  diag_note(diag, before->place, "the %s before it", outline_edge_word(before));
  side_help(before, after, diag);
  return false;
}

bool outline_joints(const struct outline *outline, bool is_closed, struct diag_list *diags) {
  bool hold = true;
  for (size_t i = is_closed ? 0 : 1; i < outline->count; i++) {
    const struct outline_edge *before = &outline->edges[i == 0 ? outline->count - 1 : i - 1];
    hold = joint_holds(before, &outline->edges[i], diags) && hold;
  }
  return hold;
}
