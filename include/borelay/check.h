/* check.h - proved verdicts on the motion, the quantities of the job, the heat of its runs. */
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
  const char *told;    /* what a refusal says instead of worst and limit; NULL: just these */
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

/* What a part of the job takes. */
struct work {
  double time;     /* s, with the moves and waits that lead to its runs; of a procedure alike */
  double arc_time; /* s */
  double wire_length_m, wire_mass_kg, gas_l; /* sums over rows of value * tick */
  int64_t starts;                            /* of the arc, and as many stops */
};
/* kg/h of arc time, and the share of the time with the arc on; 0 where there is no such time. */
double work_deposition(const struct work *work);
double work_arc_share(const struct work *work);

struct procedure_work {
  const struct procedure *procedure;
  struct work work;
};

struct quantities {
  double duration, arc_time; /* s */
  int64_t rows;
  double wire_length_m, wire_mass_kg, gas_l; /* sums over rows of value * tick */
  struct layer_quantities **layers;          /* [overlay][layer] */
  /* The same by overlay and by procedure; what is left of the time is `afterwards`: from the last
   * postflow to the stream's end. */
  struct work whole;
  struct work *overlays;             /* of the plan, in its order */
  struct procedure_work *procedures; /* in the order in which they are first used */
  size_t procedure_count;
  double afterwards; /* s */
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

/* -- heat along a run --------------------------------------------------------------------------
 * The pool stands while the arc comes up, and is slower than travel_speed while it comes up to
 * speed and while it stops: there more energy goes into a place than the figures of the layer
 * tell. */
enum heat_part {
  HEAT_STANDING_START, /* upslope, travel_start_delay */
  HEAT_RUN_UP,
  HEAT_TRAVEL,
  HEAT_RUN_DOWN,    /* at full current, where the tie-in ends at rest */
  HEAT_DOWNSLOPE,   /* travelling, its run-down in it */
  HEAT_STANDING_END /* downslope of a head that stands */
};
const char *heat_part_name(enum heat_part part); /* "standing", "run-up", ... */

struct heat_stretch {
  enum heat_part part;
  double from, length;    /* of the pool's path from the run's start, mm; length 0: it stands */
  double time;            /* s */
  double arc_kj, wire_kj; /* energy of the arc (U I, without efficiency) and of a hot wire */
};

struct run_heat {
  struct heat_stretch *stretches; /* in the order of time, without gap; none lasts no time */
  size_t stretch_count;
  /* Arc energy put in until the pool has gone one bead width, and from one bead width before it
   * comes to rest until the arc is out, standing included, over that width: kJ/mm.  A run that is
   * shorter counts whole. */
  double first_bead, last_bead;
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
  struct run_heat *heats; /* of each of the runs; all nothing in a rehearsal */
};

/* Of a layer's runs (of the plan, from 0) the one whose start gets most, as an index into runs and
 * heats; run_count: it has none. */
size_t verdict_hottest_run(const struct verdict *verdict, size_t overlay, size_t layer);

/* Every check in the order of docs/semantics.md.  Reads no rows: the motion's pieces decide. */
const struct verdict *check_motion(struct arena *arena, const struct motion *motion);
/* The same for who shows only what does not hold: the detail of what holds may be "". */
const struct verdict *check_motion_briefly(struct arena *arena, const struct motion *motion);

#endif
