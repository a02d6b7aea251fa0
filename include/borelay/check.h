/* check.h - proved verdicts on the motion, and the quantities of the job. */
#ifndef BORELAY_CHECK_H
#define BORELAY_CHECK_H

#include "borelay/motion.h"

/* A further limit that does not hold, of a check that judges several: figures in `unit`. */
struct check_violation {
  double worst, limit;
  const char *unit;
  span at;
  const char *detail;
};

struct check_result {
  const char *name; /* as in semantics.md: "axis-speed", ... */
  bool passed;
  bool judged; /* false: the job gives nothing to judge (no shell, no limits): "not asked" */
  double worst, limit; /* in unit */
  const char *unit;    /* "mm", "mm/s", "deg/s2", "kJ/mm", "%", ... */
  double t;            /* s; < 0: no instant */
  span at;             /* the overlay's head or the key */
  const char *detail;  /* one line: axis, body, place */
  const char *note;    /* what stands at note_at, told beside a refusal; NULL: nothing */
  span note_at;
  const char *help; /* what would do, as a line of help; NULL: nothing was found */
  /* Limits violated besides the one shown, in the order in which they are met. */
  const struct check_violation *further;
  size_t further_count;
};

struct layer_quantities {
  double path_length; /* mm, pool's path with the arc at full current or sloping */
  double arc_time;    /* s */
  int64_t starts;
  double bare; /* mm, sum of bare lengths */
};

struct quantities {
  double duration, arc_time; /* s */
  int64_t rows;
  double wire_length_m, wire_mass_kg, gas_l; /* sums over rows of value * tick */
  struct layer_quantities **layers;          /* [overlay][layer] */
};

/* Why a length stays bare. */
enum bare_kind {
  BARE_ZONE,      /* a zone keeps the arc out, with its margin */
  BARE_DOWNSLOPE, /* the downslope before a zone's edge, wire off */
  BARE_WIRE       /* neither: the wire comes too late, or nothing is laid there at all */
};

/* A stretch of a lap's centre line on which no bead lies. */
struct bare_length {
  enum bare_kind kind;
  size_t overlay, layer; /* of the plan, from 0 */
  int64_t lap;
  double s;      /* of the contour, where it begins in the direction of travel, mm */
  double length; /* along the pool's path, mm */
};

/* One start of the arc and the stop that belongs to it. */
struct arc_place {
  int64_t lap;
  double s, depth; /* of the contour, mm; mm */
};
struct arc_run {
  size_t overlay, layer; /* of the plan, from 0 */
  struct arc_place start, stop;
  double length; /* of the pool's path with the arc on, mm */
};

struct verdict {
  bool passed;
  struct check_result *results;
  size_t result_count;
  struct quantities quantities;
  struct bare_length *bare;
  size_t bare_count;
  struct arc_run *runs; /* in the order of welding */
  size_t run_count;
};

/* Every check in the order of docs/semantics.md.  Reads no rows: the motion's pieces decide. */
const struct verdict *check_motion(struct arena *arena, const struct motion *motion);

#endif
