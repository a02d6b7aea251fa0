/* What a welding run is refused for, told with what would do. */
#include "motion/run_refuse.h"

#include <math.h>

#include "borelay/num.h"

/* The key that asks for the fastest pool. */
static span fastest_place(const struct plan_overlay *overlay, const struct plan_layer *layer) {
  for (size_t i = 0; i < overlay->overlay->sector_count; i++) {
    const struct sector *sector = &overlay->overlay->sectors[i];
    if (sector->has_travel_speed && sector->travel_speed == layer->values_most.travel_speed)
      return origin_of_key(&sector->origin, "travel_speed");
  }
  return origin_of_key(&layer->procedure->origin, "travel_speed");
}

void run_refuse_speed(struct builder *builder, const struct track *track,
                      const struct plan_overlay *overlay, const struct plan_layer *layer,
                      struct speed_verdict verdict, double best) {
  double wanted = layer->values_most.travel_speed;
  static const char *const why[] = {
      [SPEED_FITS] = "",
      [SPEED_AXIS] = "an axis would pass its limits on the arc",
      [SPEED_ANGLE] = "rounding the joint would turn the torch past angle_tolerance",
      [SPEED_SLIP] = "slowing the tip at the joint would change the pool's speed by more than 1 %",
      [SPEED_SLOPE] = "sinking from lap to lap asks more of the axes than they have"};
  span at = fastest_place(overlay, layer);
  struct diag *diag =
      diag_error(builder->diags, DIAG_SPEED_TOO_HIGH, at,
                 "layer %d of overlay `%s` cannot be travelled at %.1f mm/min: %s",
                 (int)layer->number, overlay->overlay->name, wanted * 60, why[verdict.bar]);
  diag_note(diag, overlay->overlay->origin.head, "the overlay is here");
  const struct contour_seg *seg = &track->contour->segs[verdict.seg];
  if (verdict.bar != SPEED_SLOPE && seg->turn != 0)
    diag_note(diag, overlay->overlay->wall->origin.head, "on the arc of radius %.3f mm",
              seg->radius);
  if (best > 0)
    diag_help(diag, "%.1f mm/min would do", floor(best * 600) / 10);
  else
    diag_help(diag, "no travel speed would do in this cell");
  builder->refused = true;
}

/* What the run needs: of the turns that it may be laid at, the one that the travel lacks least for.
 */
void run_refuse_turn(struct builder *builder, const struct plan_overlay *overlay,
                     const struct plan_layer *layer, struct range turned) {
  const struct axis_limits *axis = &builder->cell->axis[AXIS_HEAD];
  double middle = (axis->travel.lo + axis->travel.hi - turned.lo - turned.hi) / 2;
  double shift = NUM_TURN * floor(middle / NUM_TURN + 0.5);
  double lo = turned.lo + shift, hi = turned.hi + shift;
  struct diag *diag = diag_error(
      builder->diags, DIAG_HEAD_RANGE, overlay->overlay->origin.head,
      "a run of layer %d turns the head by %.1f deg, from %.1f to %.1f deg or as much at another "
      "turn; its travel of %.1f .. %.1f deg does not hold it",
      (int)layer->number, num_degrees(hi - lo), num_degrees(lo), num_degrees(hi),
      num_degrees(axis->travel.lo), num_degrees(axis->travel.hi));
  diag_note(diag, origin_of_key(&axis->origin, "travel"), "the head's travel is given here");
  diag_help(diag, "a travel of %.1f .. %.1f deg would hold it",
            floor(num_degrees(fmin(lo, axis->travel.lo)) * 10 + 1e-6) / 10,
            ceil(num_degrees(fmax(hi, axis->travel.hi)) * 10 - 1e-6) / 10);
  builder->refused = true;
}

/* Both lengths, and where the run lies; a zone on either side is what mostly makes it short. */
void run_refuse_short(struct builder *builder, const struct motion_run *run,
                      const struct weld_timing *timing) {
  const struct plan_overlay *overlay = run->info.overlay;
  const struct plan_run *plan_run = run->info.run;
  struct diag *diag =
      diag_error(builder->diags, DIAG_RUN_SHORT, overlay->overlay->origin.head,
                 "a run of layer %d (lap %d, from s = %.3f mm) is %.3f mm long; its slopes need "
                 "%.3f mm: %.3f mm to come up to speed, %.3f mm %s",
                 (int)run->info.layer->number, (int)plan_run->legs[0].lap, plan_run->s_start,
                 timing->has, timing->needs_up + timing->needs_down, timing->needs_up,
                 timing->needs_down, timing->down_in_weld ? "to stop" : "for the downslope");
  for (size_t i = 0; i < overlay->overlay->zone_count; i++)
    diag_note(diag, overlay->overlay->zones[i].origin.head, "zone `%s` breaks laps here",
              overlay->overlay->zones[i].name);
  const char *slope =
      timing->down_in_weld
          ? ""
          : ", or a shorter `downslope`, or `downslope_travel off`, which need less";
  if (overlay->overlay->zone_count > 0)
    diag_help(diag, "zones would do that leave the run %.3f mm%s",
              ceil((timing->needs_up + timing->needs_down) * 1000) / 1000, slope);
  else
    diag_help(diag, "a `tie_in` would do that is longer by %.3f mm%s",
              ceil((timing->needs_up + timing->needs_down - timing->has) * 1000) / 1000, slope);
  builder->refused = true;
}

/* Speeds nearer to one another, where no longer ramp would do, or the run begins within this one.
 */
static void help_nearer(const struct builder *builder, const struct motion_run *run,
                        const struct course_change *steep, struct diag *diag) {
  const struct course *course = &run->course;
  const char *lead = steep->u0 > 0 ? "the run begins within this ramp; elsewhere, or " : "";
  double apart = fabs(course_to(steep).travel_speed - course_from(steep).travel_speed);
  double fits =
      floor(600 * apart * course_share_that_fits(builder, &run->track, course, steep)) / 10;
  if (fits > 0)
    diag_help(diag, "%sspeeds no more than %.1f mm/min apart would do", lead, fits);
  else
    diag_help(diag, "%sone travel speed on both sides would do", lead);
}

/* Over the ramp of an edge the axes cannot change the speed. */
void run_refuse_ramp(struct builder *builder, const struct motion_run *run,
                     const struct course_change *steep) {
  const struct lap_change *change = steep->change;
  const struct sector *sector = change->sector;
  struct diag *diag = diag_error(
      builder->diags, DIAG_RAMP_STEEP, origin_of_key(&sector->origin, "ramp"),
      "over the ramp of %.3f mm at an edge of sector `%s` the axes cannot change the speed "
      "of overlay %s, layer %d, from %.1f to %.1f mm/min",
      change->to - change->from, sector->name, run->info.overlay->overlay->name,
      (int)run->info.layer->number, change->before.travel_speed * 60,
      change->after.travel_speed * 60);
  struct course course = run->course;
  double length = course_ramp_that_fits(builder, &run->track, &course, steep);
  double per = (change->to - change->from) / (steep->q1 - steep->q0);
  if (length > 0 && steep->u0 <= 0)
    diag_help(diag, "a ramp of %.1f mm would do", ceil(length * per * 10) / 10);
  else
    help_nearer(builder, run, steep, diag);
  builder->refused = true;
}

/* Slower crossings ask less of the axis in every respect, so that what is told here would do. */
void run_refuse_sway(struct builder *builder, const struct motion_run *run, double least) {
  const struct oscillation *oscillation = &run->procedure->oscillation;
  const struct overlay *overlay = run->info.overlay->overlay;
  double best = floor(500 / (least + oscillation->dwell)) / 1000;
  struct diag *diag = diag_error(
      builder->diags, DIAG_SWAY_TOO_FAST, origin_of_key(&oscillation->origin, "frequency"),
      "axis z cannot sway by %.6g mm at %.6g Hz: that leaves %.4f s for a crossing, and it needs "
      "%.4f s",
      oscillation->width, oscillation->frequency, oscillation_crossing(oscillation), least);
  diag_note(diag, builder->cell->axis[AXIS_Z].origin.head, "its limits are given here");
  diag_note(diag, overlay->origin.head, "the overlay is here");
  if (best > 0)
    diag_help(diag, "%.3f Hz would do", best);
  builder->refused = true;
}

void run_refuse_swayless(struct builder *builder, const struct motion_run *run) {
  const struct oscillation *oscillation = &run->procedure->oscillation;
  const struct run_info *info = &run->info;
  struct diag *diag =
      diag_error(builder->diags, DIAG_RUN_WITHOUT_SWAY, info->overlay->overlay->origin.head,
                 "a run of layer %d (lap %d, from s = %.3f mm) travels for %.3f s at its full "
                 "speed; one sway, "
                 "out from the centre line and back to it, takes %.3f s",
                 (int)info->layer->number, (int)info->run->legs[0].lap, info->run->s_start,
                 info->travel_t1 - info->travel_t0 - info->run_up - info->run_down,
                 1 / oscillation->frequency + oscillation_crossing(oscillation));
  diag_note(diag, origin_of_key(&oscillation->origin, "frequency"), "the frequency is given here");
  builder->refused = true;
}
