/* asked.h - what sectors ask for at a place of a layer's path, worked out anew from
 * docs/semantics.md, Sectors. */
#ifndef VERIFY_ASKED_H
#define VERIFY_ASKED_H

#include "verify/wall.h"

struct lay;

enum asked_value { ASKED_CURRENT, ASKED_VOLTAGE, ASKED_SPEED, ASKED_WIRE, ASKED_COUNT };
struct values {
  double of[ASKED_COUNT]; /* A, V, mm/s, mm/s */
};

/* A place of the wall at which what is asked for changes, s rising: over `ramp` mm about it. */
struct turning {
  double at, ramp;
  struct values low, high;
};

struct asked_lap {
  struct turning *turnings;
  size_t count; /* 0: `even` all round */
  struct values even, least, most;
  double area, area_least, area_most; /* of a bead: on the mean over a lap, and its ends */
  struct range arc_energy;            /* kJ/mm, ramps included */
};
struct asked_lap asked_lap_make(struct arena *arena, const struct overlay *overlay,
                                const struct wall *wall, const struct procedure *procedure);

/* At sigma of a path. */
struct values asked_at(const struct lay *lay, size_t path, double sigma);
/* The stretch about sigma on which nothing changes; empty within a ramp. */
struct asked_level {
  struct values values;
  struct range sigma; /* from lo to hi; infinite without sectors */
};
struct asked_level asked_level_at(const struct lay *lay, size_t path, double sigma);
/* The least and most of each value from `back` mm before to `ahead` mm behind sigma, which is a way
 * shorter than a ramp and what follows it. */
struct asked_span {
  struct values lo, hi;
};
struct asked_span asked_about(const struct lay *lay, size_t path, double sigma, double back,
                              double ahead);

#endif
