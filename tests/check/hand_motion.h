/* hand_motion.h - the motion room's functions over phases and pieces put together by hand, so that
 * a check can be shown what the real one never makes.  For one test program each. */
#ifndef TESTS_CHECK_HAND_MOTION_H
#define TESTS_CHECK_HAND_MOTION_H

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/motion.h"
#include "support/hand_contour.h"

enum { HAND_PIECES = 512, HAND_LEGS = 32 };

struct motion_run {
  struct piece pieces[HAND_PIECES];
  size_t count;
  struct run_info info;
  double leg_start[HAND_LEGS + 1]; /* along the pool's path, mm */
  size_t leg_count;
  double travel_t0,
      speed; /* the pool's place: speed * (t - travel_t0), from 0 to the last leg's end */
};

const char *phase_name(enum phase_kind kind) {
  return kind == PHASE_WELD ? "weld" : kind == PHASE_MOVE ? "move" : "phase";
}
const char *move_name(enum move_kind kind) {
  return kind == MOVE_NONE ? "move" : "move somewhere";
}

void piece_iter_begin(struct piece_iter *iter, const struct motion *motion,
                      const struct phase *phase) {
  *iter = (struct piece_iter){.motion = motion, .phase = phase};
}
bool piece_iter_next(struct piece_iter *iter, struct piece *piece) {
  if (iter->curve >= iter->phase->track->count)
    return false;
  *piece = iter->phase->track->pieces[iter->curve++];
  return true;
}
void piece_iter_begin_joined(struct piece_iter *iter, const struct motion *motion,
                             const struct phase *phase) {
  piece_iter_begin(iter, motion, phase);
}
bool piece_iter_swings(const struct piece_iter *iter, const struct piece *piece,
                       struct swings *swings) {
  (void)iter, (void)piece, (void)swings;
  return false;
}
void piece_iter_release(struct piece_iter *iter) {
  (void)iter;
}
struct pose phase_pose(const struct motion *motion, const struct phase *phase, double t) {
  (void)motion;
  const struct motion_run *run = phase->track;
  size_t i = 0;
  while (i + 1 < run->count && run->pieces[i].t1 <= t)
    i++;
  return piece_at(&run->pieces[i], fmin(t, run->pieces[i].t1));
}

struct run_info phase_run_info(const struct motion *motion, const struct phase *phase) {
  (void)motion;
  return phase->track->info;
}
double run_leg_start(const struct motion *motion, const struct phase *phase, size_t leg) {
  (void)motion;
  return phase->track->leg_start[leg];
}
double run_length_at(const struct motion *motion, const struct phase *phase, double t) {
  (void)motion;
  const struct motion_run *run = phase->track;
  double way = run->speed * (t - run->travel_t0), most = run->leg_start[run->leg_count];
  return way < 0 ? 0 : way > most ? most : way;
}
size_t run_leg_at(const struct motion *motion, const struct phase *phase, double t) {
  double way = run_length_at(motion, phase, t) + 1e-9;
  size_t leg = 0;
  while (leg + 1 < phase->track->leg_count && phase->track->leg_start[leg + 1] <= way)
    leg++;
  return leg;
}

/* No sectors: what the procedure asks for. */
struct lap_values run_values_at(const struct motion *motion, const struct phase *phase, double t) {
  (void)motion, (void)t;
  return lap_values_of(phase->plan_layer->procedure);
}
bool run_values_change(const struct phase *phase) {
  (void)phase;
  return false;
}
struct range run_sway_crossing(const struct motion *motion, const struct phase *phase, int64_t j) {
  (void)motion, (void)phase, (void)j;
  return (struct range){0, 0};
}
double phase_arc_kj(const struct motion *motion, const struct phase *phase, double t_a,
                    double t_b) {
  const struct procedure *p = phase->plan_layer->procedure;
  (void)motion;
  return phase->arc ? p->voltage * p->current * (t_b - t_a) / 1000 : 0;
}
double run_wire_fed(const struct motion *motion, const struct phase *phase, double t_a,
                    double t_b) {
  return run_values_at(motion, phase, t_a).wire_feed_speed * (t_b - t_a);
}
double run_wire_time(const struct motion *motion, const struct phase *weld, double length) {
  return (double)weld->wire.feed0 * motion->plan->job->cell->tick +
         length / run_values_at(motion, weld, 0).wire_feed_speed;
}

/* One phase, one overlay of one layer on a contour, one run that is its whole path. */
struct hand_motion {
  struct arena *arena;
  struct hand_scene scene;
  struct motion_run *run;
  struct phase phase;
  struct motion motion;
  struct procedure procedure;
  struct plan_path plan_path;
  struct plan_run plan_run;
  struct plan_leg legs[HAND_LEGS];
};

/* Each test's own, as its *state; the teardown gives it back. */
static inline struct hand_motion *hand_motion_new(void) {
  struct hand_motion *hand = calloc(1, sizeof *hand);
  hand->arena = arena_new();
  return hand;
}

static inline int hand_motion_teardown(void **state) {
  struct hand_motion *hand = *state;
  arena_free(hand->arena);
  free(hand);
  return 0;
}

static inline void hand_motion_begin(struct hand_motion *hand, const struct contour *contour) {
  static const double thickness[1] = {2};
  static const struct range band[1] = {{20, 80}};
  hand_scene_begin(&hand->scene, hand->arena, 0);
  struct cell *cell = &hand->scene.cell;
  cell->tick = 0.008;
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    cell->axis[axis] =
        (struct axis_limits){.travel = {-1000, 1000}, .speed = 100, .accel = 500, .jerk = 5000};
  hand_overlay(&hand->scene, "wall", contour, 1, thickness, band);
  struct plan_layer *layer = &hand->scene.overlays[0].layers[0];
  hand->procedure = (struct procedure){.name = "p",
                                       .travel_speed = 3,
                                       .arc_length = 3,
                                       .bead_width = 8,
                                       .angle_tolerance = 3 * hand_pi / 180,
                                       .wire_feed_speed = 25};
  layer->procedure = &hand->procedure;
  layer->values = layer->values_least = layer->values_most = lap_values_of(&hand->procedure);
  layer->dir = 1;
  layer->runs = &hand->plan_run;
  layer->run_count = 1;
  layer->paths = &hand->plan_path;
  layer->path_count = 1;
  hand->plan_path.legs = hand->plan_run.legs = hand->legs;
  hand->plan_run.room = (double)INFINITY;
  hand->run = arena_alloc(hand->arena, 1, sizeof *hand->run);
  hand->run->info.overlay = &hand->scene.overlays[0];
  hand->run->info.layer = layer;
  hand->run->info.run = &hand->plan_run;
  hand->phase = (struct phase){.kind = PHASE_WELD,
                               .ticks = 1,
                               .overlay = 1,
                               .layer = 1,
                               .lap = 1,
                               .plan_layer = layer,
                               .arc = true,
                               .gas = true,
                               .track = hand->run};
  hand->motion = (struct motion){
      .plan = &hand->scene.plan, .phases = &hand->phase, .phase_count = 1, .ticks = 1};
}

/* A level leg, or one that sinks; length both on the contour and along the pool's path. */
static inline void hand_leg(struct hand_motion *hand, double s_length, double length, double from,
                            double to) {
  size_t i = hand->plan_run.leg_count++;
  hand->plan_path.leg_count = hand->plan_run.leg_count;
  hand->plan_run.to += s_length;
  hand->legs[i] = (struct plan_leg){
      .s_length = s_length, .depth_from = from, .depth_to = to, .lap = (int64_t)i + 1};
  hand->run->leg_start[i + 1] = hand->run->leg_start[i] + length;
  hand->run->leg_count = i + 1;
  hand->run->info.length = hand->run->info.total = hand->run->leg_start[i + 1];
}

static inline struct piece *hand_piece(struct hand_motion *hand, double t0, double t1) {
  struct piece *piece = &hand->run->pieces[hand->run->count++];
  *piece = (struct piece){.t0 = t0, .t1 = t1};
  return piece;
}

static inline struct jet_stretch whole_of(const struct piece *piece) {
  struct jet_stretch whole;
  piece_jet_stretch(piece, piece->t0, piece->t1, &whole);
  return whole;
}

#endif
