/* plan_job.h - a small job built by hand, for tests that change one thing in it. */
#ifndef TESTS_SUPPORT_PLAN_JOB_H
#define TESTS_SUPPORT_PLAN_JOB_H

#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/plan.h"
#include "support/close.h"

enum { PLAN_JOB_LAYERS = 3 };

struct plan_job {
  struct arena *arena;
  struct diag_list *diags;
  struct cell cell;
  struct procedure procedures[PLAN_JOB_LAYERS];
  struct shape wall;
  struct volume volume;
  struct envelope envelope;
  struct layer layers[PLAN_JOB_LAYERS];
  struct overlay overlay, *sequence[1];
  struct job job;
};

/* 1.2 mm wire at 1500 mm/min, 200 mm/min travel, beads of 10 mm: 8.482300 mm2 a bead. */
static inline struct procedure plan_job_procedure(void) {
  return (struct procedure){.name = "proc",
                            .process = PROCESS_GTAW,
                            .current = 250,
                            .voltage = 12,
                            .travel_speed = 200.0 / 60,
                            .wire_diameter = 1.2,
                            .wire_feed_speed = 1500.0 / 60,
                            .bead_width = 10,
                            .arc_length = 3,
                            .tie_in = 8};
}

/* A round bore of 100 mm, a spiral of one layer on 20 .. 80 mm at a pitch of 5 mm: 11 laps. */
static inline void plan_job_init(struct plan_job *made) {
  memset(made, 0, sizeof *made);
  made->arena = arena_new();
  made->diags = diag_list_new(made->arena, source_set_new(made->arena));
  made->cell.reach = 40;
  made->cell.axis[AXIS_HEAD].endless = true;
  made->wall = (struct shape){.name = "seal",
                              .kind = SHAPE_ROUND,
                              .has_dimensions = true,
                              .diameter = 100,
                              .fit_tolerance = 0.5};
  made->volume = (struct volume){.is_free = true, .shape = &made->wall, .depths = {0, 200}};
  made->envelope = (struct envelope){.name = "block", .volumes = &made->volume, .volume_count = 1};
  for (size_t k = 0; k < PLAN_JOB_LAYERS; k++) {
    made->procedures[k] = plan_job_procedure();
    made->layers[k] = (struct layer){
        .procedure = &made->procedures[k], .has_pitch = true, .pitch = 5, .depths = {20, 80}};
  }
  made->overlay = (struct overlay){.name = "seal_wall",
                                   .wall = &made->wall,
                                   .layers = made->layers,
                                   .layer_count = 1,
                                   .retract = 5};
  made->sequence[0] = &made->overlay;
  made->job = (struct job){.cell = &made->cell,
                           .envelope = &made->envelope,
                           .sequence = made->sequence,
                           .overlay_count = 1};
}

static inline void plan_job_free(struct plan_job *made) {
  arena_free(made->arena);
}

/* The plan of a job that must be accepted. */
static inline const struct plan *plan_job_plan(struct plan_job *made) {
  const struct plan *plan = plan_make(made->arena, &made->job, made->diags);
  if (!plan)
    for (size_t k = 0; k < diag_count(made->diags); k++)
      print_error("%s\n", diag_view_get(made->diags, k).message);
  assert_non_null(plan);
  return plan;
}

/* Length of the pool's path along the offset contour of one leg whose layer is not offset. */
static inline double plan_job_path(const struct plan_leg *leg) {
  double dz = leg->depth_to - leg->depth_from;
  return sqrt(leg->s_length * leg->s_length + dz * dz);
}

#endif
