/* hand_job.h - a job put together by hand: one round wall, two layers, an envelope. */
#ifndef TESTS_VERIFY_HAND_JOB_H
#define TESTS_VERIFY_HAND_JOB_H

#include <string.h>

#include "borelay/arena.h"
#include "support/close.h"
#include "verify/lay.h"

struct hand_job {
  struct arena *arena;
  struct cell cell;
  struct procedure procedures[2];
  struct shape shapes[2];
  struct volume volumes[3];
  struct envelope envelope;
  struct layer layers[2];
  struct overlay overlay;
  struct overlay *sequence[1];
  struct job job;
};

static inline void hand_procedure(struct procedure *p, double travel_speed_mm_s) {
  *p = (struct procedure){.name = "p",
                          .travel_speed = travel_speed_mm_s,
                          .wire_diameter = 1.2,
                          .wire_feed_speed = 1600.0 / 60,
                          .bead_width = 8,
                          .arc_length = 3,
                          .tie_in = 8};
}

/* Band 90 mm, overlap 45 %, two layers at 170 and 185 mm/min, a bore of 178 mm. */
static inline struct hand_job *hand_job_new(void) {
  struct arena *arena = arena_new();
  struct hand_job *hand = arena_alloc(arena, 1, sizeof *hand);
  hand->arena = arena;
  hand->cell.reach = 40;
  hand_procedure(&hand->procedures[0], 170.0 / 60);
  hand_procedure(&hand->procedures[1], 185.0 / 60);
  hand->shapes[0] = (struct shape){.name = "bore", .kind = SHAPE_ROUND, .diameter = 178};
  hand->volumes[0] =
      (struct volume){.is_free = true, .shape = &hand->shapes[0], .depths = {0, 120}};
  hand->envelope = (struct envelope){"e", hand->volumes, 1, {{0}, NULL, 0}};
  for (int k = 0; k < 2; k++)
    hand->layers[k] =
        (struct layer){.procedure = &hand->procedures[k], .overlap = 0.45, .depths = {20, 110}};
  hand->overlay = (struct overlay){
      .name = "o", .wall = &hand->shapes[0], .layers = hand->layers, .layer_count = 2};
  hand->sequence[0] = &hand->overlay;
  hand->job = (struct job){.cell = &hand->cell,
                           .envelope = &hand->envelope,
                           .sequence = hand->sequence,
                           .overlay_count = 1};
  return hand;
}

#endif
