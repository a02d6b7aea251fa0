/* motion_make, and what checks and rows ask about runs. */
#include "borelay/motion.h"

#include <math.h>

#include "motion/link.h"
#include "motion/sequence.h"

const char *phase_name(enum phase_kind kind) {
  static const char *const names[PHASE_KIND_COUNT] = {
      [PHASE_MOVE] = "move",         [PHASE_TOUCH] = "touch", [PHASE_PREFLOW] = "preflow",
      [PHASE_UPSLOPE] = "upslope",   [PHASE_WELD] = "weld",   [PHASE_DOWNSLOPE] = "downslope",
      [PHASE_POSTFLOW] = "postflow", [PHASE_WAIT] = "wait"};
  return names[kind];
}

const char *move_name(enum move_kind kind) {
  static const char *const names[MOVE_KIND_COUNT] = {[MOVE_NONE] = "move",
                                                     [MOVE_RAISE] = "move up from park",
                                                     [MOVE_ACROSS] = "move across",
                                                     [MOVE_DOWN] = "move down at the entry",
                                                     [MOVE_TURN] = "move, turning the head",
                                                     [MOVE_TO_START] = "move to the start",
                                                     [MOVE_IN] = "move in",
                                                     [MOVE_BACK_OFF] = "move off the wall",
                                                     [MOVE_ALONG] = "move along the wall",
                                                     [MOVE_CROSS] = "move over a zone",
                                                     [MOVE_TO_ENTRY] = "move to the entry",
                                                     [MOVE_UP] = "move up at the entry",
                                                     [MOVE_TO_PARK] = "move to park"};
  return names[kind];
}

const char *mode_name(enum stream_mode mode) {
  static const char *const names[] = {
      [MODE_WELD] = "weld", [MODE_REHEARSAL] = "rehearsal", [MODE_RESUME] = "resume"};
  return names[mode];
}

/* A hundred days: whatever takes longer was not meant, and a row's time stays well within the
 * digits that the stream gives it. */
static const double LONGEST_S = 8.64e6;

static bool is_endless(const struct builder *builder) {
  double seconds = (double)builder->now * builder->tick;
  if (seconds <= LONGEST_S)
    return false;
  diag_error(builder->diags, DIAG_JOB_TOO_LONG, builder->plan->job->origin.head,
             "the job would take %.0f days; a speed or a time in it is not what was meant",
             seconds / 86400);
  return true;
}

static struct builder builder_begin(struct arena *arena, const struct plan *plan,
                                    struct diag_list *diags) {
  struct builder builder = {.arena = arena,
                            .diags = diags,
                            .plan = plan,
                            .cell = plan->job->cell,
                            .tick = plan->job->cell->tick,
                            .times = 1};
  link_begin(&builder);
  return builder;
}

static struct motion *motion_build(struct builder *builder) {
  if (!sequence_build(builder) || is_endless(builder)) {
    link_release(builder);
    return NULL;
  }
  struct motion *motion = arena_alloc(builder->arena, 1, sizeof *motion);
  *motion = (struct motion){.plan = builder->plan,
                            .resume = builder->resume,
                            .phases = builder->phases,
                            .phase_count = builder->phase_count,
                            .ticks = builder->now,
                            .head_end = builder->pose.head};
  link_give(builder, motion);
  return motion;
}

const struct motion *motion_make(struct arena *arena, const struct plan *plan,
                                 struct diag_list *diags) {
  struct builder builder = builder_begin(arena, plan, diags);
  return motion_build(&builder);
}

static void phase_put_out(struct phase *phase) {
  phase->arc = phase->gas = false;
  phase->current_from = phase->current_to = 0;
  phase->wire = (struct wire_times){
      .feed0 = phase->tick0, .feed1 = phase->tick0, .avc0 = phase->tick0 + phase->ticks};
}

const struct motion *motion_rehearse(struct arena *arena, const struct plan *plan, double times,
                                     struct diag_list *diags) {
  struct builder builder = builder_begin(arena, plan, diags);
  builder.times = times;
  struct motion *motion = motion_build(&builder);
  if (!motion)
    return NULL;
  motion->mode = MODE_REHEARSAL;
  for (size_t i = 0; i < motion->phase_count; i++)
    phase_put_out(&motion->phases[i]);
  return motion;
}

const struct motion *motion_resume(struct arena *arena, const struct plan *plan,
                                   const struct resume *resume, struct diag_list *diags) {
  struct builder builder = builder_begin(arena, plan, diags);
  builder.resume = resume;
  struct motion *motion = motion_build(&builder);
  if (motion)
    motion->mode = MODE_RESUME;
  return motion;
}

static double run_zero(const struct motion *motion, const struct phase *phase) {
  return (double)phase->track_tick * motion->plan->job->cell->tick;
}

struct run_info phase_run_info(const struct motion *motion, const struct phase *phase) {
  struct run_info info = phase->track->info;
  double zero = run_zero(motion, phase);
  info.travel_t0 += zero;
  info.travel_t1 += zero;
  info.weld_end += zero;
  return info;
}

double run_leg_start(const struct motion *motion, const struct phase *phase, size_t leg) {
  (void)motion;
  const struct motion_run *run = phase->track;
  const struct track_leg *last = &run->track.legs[run->weld_legs - 1];
  return leg < run->weld_legs ? run->track.legs[leg].q0 : last->q0 + last->length;
}

double run_length_at(const struct motion *motion, const struct phase *phase, double t) {
  return profile_at(&phase->track->profile, t - run_zero(motion, phase));
}

size_t run_leg_at(const struct motion *motion, const struct phase *phase, double t) {
  const struct motion_run *run = phase->track;
  size_t leg = track_leg_index(&run->track, run_length_at(motion, phase, t) + 1e-9);
  return leg < run->weld_legs ? leg : run->weld_legs - 1;
}

size_t run_stretch_count(const struct phase *phase) {
  return profile_seg_count(&phase->track->profile);
}

struct run_stretch run_stretch_get(const struct motion *motion, const struct phase *phase,
                                   size_t i) {
  struct profile_seg seg = profile_seg_get(&phase->track->profile, i);
  double t0 = run_zero(motion, phase) + seg.t0;
  return (struct run_stretch){t0, t0 + seg.duration, seg.q};
}

struct range run_sway_crossing(const struct motion *motion, const struct phase *phase, int64_t j) {
  (void)motion;
  return sway_crossing(&phase->track->track.sway, j);
}
