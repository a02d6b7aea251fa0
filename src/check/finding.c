/* finding.c - places in words. */
#include "check/finding.h"

#include <inttypes.h>

#include "borelay/arena.h"
#include "borelay/digits.h"

const struct plan_overlay *phase_overlay(const struct motion *motion, const struct phase *phase) {
  return phase->overlay > 0 ? &motion->plan->overlays[phase->overlay - 1] : NULL;
}

span place_span(const struct scene *scene, const struct phase *phase) {
  const struct plan *plan = scene->motion->plan;
  const struct plan_overlay *overlay = phase_overlay(scene->motion, phase);
  if (!overlay && plan->overlay_count > 0)
    overlay = &plan->overlays[plan->overlay_count - 1];
  return overlay ? overlay->overlay->origin.head : plan->job->origin.head;
}

struct pose peak_pose(const struct scene *scene, const struct peak *peak) {
  return phase_pose(scene->motion, peak->phase, peak->t);
}

static int64_t lap_at(const struct motion *motion, const struct phase *phase, double t) {
  if (phase->kind != PHASE_WELD && phase->kind != PHASE_DOWNSLOPE)
    return phase->lap;
  return phase_run_info(motion, phase).run->legs[run_leg_at(motion, phase, t)].lap;
}

/* What the head does there; where no way is clear, of how many this is the nearest to it. */
static const char *doing_text(struct arena *arena, const struct phase *phase) {
  if (phase->kind != PHASE_MOVE)
    return phase_name(phase->kind);
  if (phase->ways_tried <= 1)
    return move_name(phase->move);
  return arena_format(arena, "%s, the best of %d ways", move_name(phase->move),
                      (int)phase->ways_tried);
}

const char *place_text(const struct scene *scene, const struct peak *peak) {
  const struct phase *phase = peak->phase;
  struct pose pose = peak_pose(scene, peak);
  const char *at = arena_format(scene->arena, "x %.3f y %.3f z %.3f mm, head %.3f deg",
                                digits_shown(pose.x, 3), digits_shown(pose.y, 3),
                                digits_shown(pose.z, 3), digits_shown(pose.head / DEGREE, 3));
  const struct plan_overlay *overlay = phase_overlay(scene->motion, phase);
  const char *doing = doing_text(scene->arena, phase);
  if (!overlay)
    return arena_format(scene->arena, "%s; %s", at, doing);
  return arena_format(scene->arena, "%s; overlay %s, layer %d, lap %" PRId64 ", %s", at,
                      overlay->overlay->name, (int)phase->layer,
                      lap_at(scene->motion, phase, peak->t), doing);
}

struct check_result finding_not_asked(const char *name, const char *unit) {
  return (struct check_result){.name = name, .passed = true, .unit = unit, .t = -1, .detail = ""};
}

bool finding_is_told(const struct scene *scene, bool passed) {
  return !passed || !scene->is_brief;
}

struct check_result finding_at(const struct scene *scene, const char *name, const struct peak *peak,
                               bool passed, const char *what) {
  struct check_result result = {.name = name,
                                .judged = true,
                                .passed = passed,
                                .t = peak->t,
                                .at = place_span(scene, peak->phase),
                                .detail = ""};
  if (!finding_is_told(scene, passed))
    return result;
  const char *place = place_text(scene, peak);
  result.detail = what ? arena_format(scene->arena, "%s at %s", what, place) : place;
  return result;
}
