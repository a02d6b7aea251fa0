/* motion.h - the plan becomes phases on ticks, each made of timed pieces.
 *
 * Phases are stored (a handful a run); pieces are made as they are asked for, lap by lap,
 * so that memory grows with runs and contour segments and not with rows or laps. */
#ifndef BORELAY_MOTION_H
#define BORELAY_MOTION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/path.h"
#include "borelay/plan.h"
#include "borelay/swings.h"

struct arena;
struct diag_list;
struct metal;

enum phase_kind {
  PHASE_MOVE,
  PHASE_TOUCH,
  PHASE_PREFLOW,
  PHASE_UPSLOPE,
  PHASE_WELD,
  PHASE_DOWNSLOPE,
  PHASE_POSTFLOW,
  PHASE_WAIT,
  PHASE_KIND_COUNT
};
const char *phase_name(enum phase_kind kind);

enum move_kind { /* what a move is for; PHASE_MOVE only */
                 MOVE_NONE,
                 MOVE_RAISE,    /* park, up to safe height */
                 MOVE_ACROSS,   /* over the entry, or between entries, at safe height */
                 MOVE_DOWN,     /* at the entry, to the start depth */
                 MOVE_TURN,     /* the head, at the entry, at the backed-off place or between */
                 MOVE_TO_START, /* to the backed-off start */
                 MOVE_IN,       /* along the normal to the start */
                 MOVE_BACK_OFF, /* along the normal, away from the wall */
                 MOVE_ALONG,    /* along the backed-off contour */
                 MOVE_CROSS,    /* over an off zone, along the tip's own locus */
                 MOVE_TO_ENTRY,
                 MOVE_UP, /* at the entry */
                 MOVE_TO_PARK,
                 MOVE_KIND_COUNT
};
const char *move_name(enum move_kind kind); /* "move to the start", for messages */

/* When wire and voltage control are on, in ticks from the start of the stream; for a WELD phase and
 * the DOWNSLOPE that follows it.  The wire feeds on ticks feed0 <= k < feed1 (WELD); it is drawn
 * back on the first retract_ticks ticks of the DOWNSLOPE, at `retract` but for the last of
 * them, at retract_last, so that exactly wire_retract comes back. */
struct wire_times {
  int64_t feed0, feed1;
  int64_t retract_ticks;
  double retract;      /* mm/s, > 0: the wire's feed speed where the downslope begins */
  double retract_last; /* mm/s, > 0 */
  int64_t avc0;        /* first tick with voltage control on; feed1 where never */
};

struct motion_run; /* private to src/motion: the timed track of one run or move */

struct phase {
  enum phase_kind kind;
  enum move_kind move;
  int32_t ways_tried; /* MOVE: how many ways were tried of which none was clear; 0: it is clear, or
                         there is only one way to go */
  int64_t tick0, ticks; /* rows tick0 .. tick0 + ticks - 1 carry this phase; ticks >= 1 */
  /* what its rows show: overlay from 1 (0 after the last postflow), layer, first lap of the run it
   * leads to or belongs to (welds: see phase_lap_at) */
  int32_t overlay, layer;
  int64_t lap;
  int32_t run;                         /* index of the run in its layer */
  const struct plan_layer *plan_layer; /* NULL after the last postflow */
  bool arc, gas;
  double current_from, current_to; /* A: upslope and downslope as semantics.md's k/N; else equal,
                                      but for a WELD with sectors (run_values_at) */
  struct wire_times wire;          /* WELD and DOWNSLOPE */
  const struct motion_run *track;  /* what gives its pieces */
  int64_t track_tick;              /* tick at which the track's own time is 0; <= tick0 */
};

/* Whole ticks that a standing phase or a delay takes, rounded up; 0 for 0. */
int64_t ticks_of(double seconds, double tick);

enum stream_mode { MODE_WELD, MODE_REHEARSAL, MODE_RESUME };
const char *mode_name(enum stream_mode mode); /* as the stream's header says it */

struct motion {
  enum stream_mode mode;
  const struct resume *resume; /* MODE_RESUME: what lies behind; otherwise NULL */
  const struct plan *plan;
  /* Of the plan, for what comes after: metal without clad, and as it stood at last, with clad of
   * true and of nominal thickness.  NULL where none was made. */
  const struct metal *bare, *solid, *electrode;
  struct phase *phases;
  size_t phase_count;
  int64_t ticks;   /* duration in ticks; the stream has ticks + 1 rows */
  double head_end; /* rad */
};

/* NULL when refused (errors in diags). */
const struct motion *motion_make(struct arena *arena, const struct plan *plan,
                                 struct diag_list *diags);

/* The same moves and runs with arc, wire, gas and voltage control off.  Everything but the moves
 * goes `times` (>= 1) as fast, or as near to it as the axes allow; with 1 the rows are the same but
 * for those.  For a plan whose motion was made before.  NULL when refused. */
const struct motion *motion_rehearse(struct arena *arena, const struct plan *plan, double times,
                                     struct diag_list *diags);
/* From a run that was broken off to the end; plan and resume are those of plan_resume(). */
const struct motion *motion_resume(struct arena *arena, const struct plan *plan,
                                   const struct resume *resume, struct diag_list *diags);

/* Pieces of one phase in order of time, covering [tick0 * T, (tick0 + ticks) * T] without gap. */
struct piece_iter {
  const struct motion *motion;
  const struct phase *phase;
  double t;     /* where the next piece begins, s from the start of the stream */
  int64_t leg;  /* private */
  size_t curve; /* private */
  bool done, joins;
  struct piece_state *state; /* private; piece_iter_release() frees it */
};
void piece_iter_begin(struct piece_iter *iter, const struct motion *motion,
                      const struct phase *phase);
/* false: there is none, and *piece stays as it is. */
bool piece_iter_next(struct piece_iter *iter, struct piece *piece);
/* The same pieces, but where the tip sways evenly: there one of the centre line stands for all of
 * many half sways, wherever one more alike lies before them and behind, and each lasts three rows
 * or more. */
void piece_iter_begin_joined(struct piece_iter *iter, const struct motion *motion,
                             const struct phase *phase);
/* Whether the piece that was given last is such a one; what it stands for. */
bool piece_iter_swings(const struct piece_iter *iter, const struct piece *piece,
                       struct swings *swings);
void piece_iter_release(struct piece_iter *iter);
/* H and head at a stream time within the phase, without the pieces before. */
struct pose phase_pose(const struct motion *motion, const struct phase *phase, double t);

/* -- runs, for checks and rows ---------------------------------------------------------- */

/* The welding travel that a WELD or DOWNSLOPE phase belongs to.  Times in s from the phase's
 * run: t = 0 where travel begins (after travel_start_delay). */
struct run_info {
  const struct plan_overlay *overlay;
  const struct plan_layer *layer;
  const struct plan_run *run;
  double speed; /* pool's speed in cruise, mm/s, <= travel_speed; with sectors the
                   fastest of the lap's, at this run's pace */
  double pace;  /* speed in cruise over that asked for, <= 1 */
  /* Where sectors change the speed asked for; else 0.  Bounds, as shares of that speed: how far the
   * rounded ends of ramps lead off it, and how much it changes on 1 mm of the pool's path. */
  double speed_blur, speed_drift;
  double run_up, run_down; /* s */
  double length;           /* pool's path at full current, mm */
  double total;            /* with the downslope's run, mm */
  double travel_t0;        /* stream time at which travel begins, s */
  double travel_t1;        /* stream time at which it has come to rest */
  double weld_end;         /* stream time at which the downslope begins */
  bool run_down_in_weld;   /* tie-in ends at rest */
  /* Half sways of the tip, run_sway_crossing(); even numbers, none where they are equal.  A whole
   * run sways from 0 on; what is taken up again counts as the whole run does. */
  int64_t sway_first, sway_last;
};
struct run_info phase_run_info(const struct motion *motion, const struct phase *phase);

/* Pool path length from the run's start to the beginning of leg k (k = leg_count: all legs), mm.
 * A run that ends at a zone has its downslope within its legs. */
double run_leg_start(const struct motion *motion, const struct phase *phase, size_t leg);
/* Pool's nominal path length at stream time t in a WELD or DOWNSLOPE phase, mm. */
double run_length_at(const struct motion *motion, const struct phase *phase, double t);
/* Times between which run_length_at() is one cubic, from before the arc to the end of the postflow.
 * In order, without gap; at least one. */
struct run_stretch {
  double t0, t1;       /* stream time, s */
  struct cubic length; /* mm, in t - t0; never falls */
};
size_t run_stretch_count(const struct phase *phase);
struct run_stretch run_stretch_get(const struct motion *motion, const struct phase *phase,
                                   size_t i);
/* What sectors or the procedure ask for at stream time t in a WELD or DOWNSLOPE phase, and in one
 * that stands before or after (that of the run's start, or end).  travel_speed is that asked for,
 * not the run's own (run_info.pace), nor that of a run-up.  current in a DOWNSLOPE falls from its
 * first row's (phase.current_from) instead. */
struct lap_values run_values_at(const struct motion *motion, const struct phase *phase, double t);
/* Stream time up to which they stay what they are at t; t itself on a ramp, INFINITY behind all. */
double run_values_until(const struct motion *motion, const struct phase *phase, double t);
/* Has the run places where those values change? */
bool run_values_change(const struct phase *phase);
/* Stream time at which the pool's path first is `length` mm long (0 .. total). */
double run_time_at(const struct motion *motion, const struct phase *phase, double length);
/* mm of wire fed between two stream times in a WELD phase, as the rows have it: each row's speed
 * holds until the next row.  What is drawn back in a DOWNSLOPE is not in it. */
double run_wire_fed(const struct motion *motion, const struct phase *phase, double t_a, double t_b);
/* kJ of the arc between two stream times in a phase, as the rows have it. */
double phase_arc_kj(const struct motion *motion, const struct phase *phase, double t_a, double t_b);
/* Speed of the wire in the row of a tick: fed > 0, drawn back < 0. */
double phase_wire_speed(const struct motion *motion, const struct phase *phase, int64_t tick);
/* Stream time at which so much wire has been fed since the phase's first feeding row; feed1's where
 * that is not reached. */
double run_wire_time(const struct motion *motion, const struct phase *weld, double length);
/* Leg of the plan's run at stream time t (the later one on a border); legs[leg].lap is the lap. */
size_t run_leg_at(const struct motion *motion, const struct phase *phase, double t);
/* Pool path lengths from the run's start at which half sway j, sway_first <= j <= sway_last, begins
 * and at which its crossing ends: to the deeper end where j is even, to the other where it is odd,
 * from the centre line with the first one, back to it with the last. */
struct range run_sway_crossing(const struct motion *motion, const struct phase *phase, int64_t j);

#endif
