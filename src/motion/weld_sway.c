/* The sway of a welding run: whether axis z can follow it, and where it lies. */
#include "motion/weld_sway.h"

#include <math.h>

#include "motion/run_refuse.h"
#include "motion/weld_size.h"

/* Of the acceleration and jerk of axis z, where no slope asks for any. */
static const double SLOPELESS_PART = 0.98;

/* Shortest crossing that axis z bears at `speed`, s. */
static double least_crossing(const struct builder *builder, const struct motion_run *run,
                             double speed) {
  const struct track *track = &run->track;
  double sink = 0, part = SLOPELESS_PART;
  for (size_t i = 0; i < track->leg_count; i++)
    sink = fmax(sink, fabs(track->legs[i].sink));
  if (sink > 0)
    part = SWAY_PART;
  if (weld_speed_changes(run->info.layer))
    part *= LEFT_BY_RAMPS;
  return sway_least_crossing(builder->cell, run->procedure->oscillation.width, sink * speed, part);
}

/* times: as fast as the weld goes */
bool weld_sway_fits(const struct builder *builder, const struct motion_run *run, double times) {
  const struct oscillation *oscillation = &run->procedure->oscillation;
  return oscillation->width == 0 || oscillation_crossing(oscillation) / times >=
                                        least_crossing(builder, run, run->procedure->travel_speed);
}

/* q of the whole run at which what is left of it begins, `behind` mm of contour on. */
static double q_behind(const struct track *whole, double behind) {
  size_t i = 0;
  while (i + 1 < whole->leg_count && behind > whole->legs[i].s_length)
    behind -= whole->legs[i++].s_length;
  const struct track_leg *leg = &whole->legs[i];
  double s0 = leg->s0, s1 = s0 + whole->dir * behind;
  double level =
      contour_offset_length(whole->contour, whole->pool_offset, fmin(s0, s1), fmax(s0, s1));
  return leg->q0 + level / leg->flat;
}

static struct sway sway_of(const struct motion_run *run) {
  const struct run_info *info = &run->info;
  return sway_make(&run->info.layer->procedure->oscillation, &run->profile,
                   info->travel_t0 + info->run_up, info->travel_t1 - info->run_down);
}

bool weld_sway_lay(struct builder *builder, struct motion_run *run,
                   const struct motion_run *welded) {
  struct track *track = &run->track;
  struct run_info *info = &run->info;
  if (run->procedure->oscillation.width == 0)
    return true;
  if (builder->times == 1 && !weld_sway_fits(builder, run, 1)) {
    run_refuse_sway(builder, run, least_crossing(builder, run, run->procedure->travel_speed));
    return false;
  }
  struct sway sway = sway_of(run);
  if (welded) {
    sway = sway_of(welded);
    sway.q_shift = q_behind(&welded->track, info->run->from - welded->info.run->from);
    sway_limit(&sway, profile_at(&run->profile, info->travel_t0 + info->run_up),
               profile_at(&run->profile, info->travel_t1 - info->run_down));
  } else if (!sway_exists(&sway)) {
    run_refuse_swayless(builder, run);
    return false;
  }
  track->sway = sway;
  info->sway_first = sway.first;
  info->sway_last = sway.last;
  return true;
}
