/* finding.h - what one check found, and how a place is told. */
#ifndef CHECK_FINDING_H
#define CHECK_FINDING_H

#include "borelay/check.h"
#include "check/search.h"

/* A value within this share of its limit counts as inside (semantics.md: a tolerance without a
 * figure is 1e-6 of the value). */
#define CHECK_SLACK 1e-6
#define DEGREE      (NUM_PI / 180)

struct scene { /* what every check reads, and the arena for texts */
  struct arena *arena;
  const struct motion *motion;
  bool is_brief; /* what holds is not told in words */
};

/* H and head at the peak. */
struct pose peak_pose(const struct scene *scene, const struct peak *peak);
/* "x 1.000 y 2.000 z 3.000 mm, head 4.000 deg; overlay bore, layer 1, lap 3, weld" */
const char *place_text(const struct scene *scene, const struct peak *peak);
/* Head of the overlay that the phase belongs or leads to; of the last one at the stream's end. */
span place_span(const struct scene *scene, const struct phase *phase);
/* The overlay of a phase; NULL after the last postflow. */
const struct plan_overlay *phase_overlay(const struct motion *motion, const struct phase *phase);

/* A check that has nothing to judge. */
struct check_result finding_not_asked(const char *name, const char *unit);
/* Are words of a check wanted that holds, or does not? */
bool finding_is_told(const struct scene *scene, bool passed);
/* A check with an instant: time, place and, where it is told, the place's text (behind `what`,
 * NULL: nothing) are filled in. */
struct check_result finding_at(const struct scene *scene, const char *name, const struct peak *peak,
                               bool passed, const char *what);

#endif
