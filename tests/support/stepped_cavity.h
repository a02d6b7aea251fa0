/* stepped_cavity.h - a bore over a racetrack cavity over a narrow bottom, a boss beside the mouth:
 * at random, for what moves near metal. */
#ifndef TESTS_STEPPED_CAVITY_H
#define TESTS_STEPPED_CAVITY_H

#include "support/hand_contour.h"
#include "support/random.h"

static inline void stepped_cavity(struct hand_scene *scene, struct arena *arena,
                                  struct random *random) {
  hand_scene_begin(scene, arena, 0);
  hand_volume(scene, true,
              hand_round(arena, "bore", (vec2){0, 0}, random_between(random, 50, 60), 1), 0, 60);
  hand_volume(scene, true,
              hand_racetrack(arena, "cavity", (vec2){0, 0}, random_between(random, 5, 50),
                             random_between(random, 48, 52), random_between(random, 0, 3)),
              60, 130);
  hand_volume(scene, false,
              hand_round(arena, "boss", hand_polar(random_between(random, 75, 95), 2), 25, 0), -40,
              10);
  hand_volume(scene, true,
              hand_round(arena, "bottom", (vec2){0, 0}, random_between(random, 20, 40), 1), 130,
              160);
}

#endif
