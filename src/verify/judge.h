/* judge.h - the walk over the rows: runs of the arc, where they lie, what they lay down. */
#ifndef VERIFY_JUDGE_H
#define VERIFY_JUDGE_H

#include "borelay/stretches.h"
#include "borelay_reader.h"
#include "verify/axes.h"
#include "verify/block.h"
#include "verify/finding.h"
#include "verify/head.h"
#include "verify/lay.h"
#include "verify/moves.h"
#include "verify/room.h"

/* Where a run of the arc left a layer's path. */
struct run_end {
  size_t path;
  double wire, arc; /* sigma at which the wire and the arc went out */
};

/* What has been laid of the layer at hand. */
struct cover {
  struct stretches *beads; /* one a path: sigma with a bead */
  struct run_end *ends;
  size_t end_count, end_room;
  double from_sigma; /* resume: where the first run took it up */
  double asked_from; /* and from where on a bead is asked for: cover_taken_up() */
  size_t from_path;
};

/* A row of a run whose tip sways. */
struct sway_row {
  double deeper; /* than the lap's centre line, mm */
  double give;   /* by so much may the centre line be off */
};

/* The pool's ways at the last rows of a run: that of row n lies at n - base. */
struct pace {
  double *ways, *asks; /* as they are told to pace_add(); twice `room` */
  size_t room;         /* so many are there at least */
  int64_t base;
  int64_t count;    /* rows told */
  int64_t rest;     /* the last row at which the pool had not set out */
  int64_t from, to; /* rows of cruise: from the first to the last at speed; -1: none yet */
  int64_t next;     /* the first row whose window is still open */
  bool is_kept;     /* windows after `to` have been judged: they count if speed is met once more */
  struct finding kept; /* the finding without them */
};
/* How the tip sways at the last rows of a run: row n lies at n % room, a power of two. */
struct sway {
  struct sway_row *rows;
  double *ways; /* with sectors: as those of pace */
  size_t room;
  int64_t count;
  int64_t next;       /* the first row not judged */
  int64_t far;        /* the last row well off the centre line; -1: none */
  bool is_found;      /* began is known */
  bool is_judging;    /* and will not change */
  double began;       /* s from the first row */
  double most, least; /* in a rehearsal: how far it went */
};

/* One run of the arc, from touch or preflow to the last row before the next move. */
struct run {
  bool active;
  uint8_t phase;
  int64_t phase_from; /* row with which the phase began */
  bool may_shift;     /* the first run of a resumed stepped layer: a turn may be missing in sigma */
  bool is_placed;     /* path, sigma, s are known */
  size_t path;
  uint32_t lap;  /* with which it begins */
  int64_t began; /* its first row */
  double turned_from;
  struct range turned; /* the head's angle in that row, and in all so far: of a limited head */
  double sigma, sigma_from, s, depth;
  double bead_from, bead_to; /* the stretch of bead that still grows */
  bool was_arc, was_wire;    /* at the row before */
  double end_wire;           /* sigma at the wire's end */
  double owed;               /* mm of wire drawn back and not yet made good */
  int64_t full;              /* row of full current */
  double fallen, drawn;      /* with sectors: current and wire in the downslope's first row */
  bool has_way;              /* travel has begun */
  int64_t way_row;           /* row with which it did */
  double way;                /* the pool's since then, mm */
  double ask;                /* s that it takes at the speeds that sectors ask for */
  bool is_swaying;           /* this row may sway */
  double weld_end;           /* sigma where the downslope begins; NAN: not yet */
};

/* Rows that repeat the row before in all but their place: calm.c. */
struct calm {
  bool is_calm;   /* the row before was judged by itself, and no fault of order or setpoints met */
  uint64_t retry; /* row before which no further attempt is worth its while */
  uint64_t rest;  /* rows that the next attempt in vain puts it off by */
};

struct ahead;
struct collide;
struct judge {
  struct arena *arena;
  const struct job *job;
  const struct lay_stack *stack;
  struct findings *findings;
  enum borelay_mode mode;
  bool has_process; /* arc and wire are to be seen: not in a rehearsal */
  bool is_timed;    /* phases last as the procedure says: not in a rehearsal */
  double tick;
  const struct lay *lay; /* of the last run; NULL: none yet */
  const struct arc_room *room;
  struct cover cover;
  struct run run;
  struct pace pace; /* of the run; its rings are used again */
  struct sway sway;
  double owed; /* wire drawn back by the run before */
  size_t path; /* of the last run */
  double gone; /* sigma at its end, while the path lasts */
  int64_t waited;
  struct borelay_row before;
  struct head head_before;
  struct axes axes;
  struct collide *collide;
  struct calm calm;
  struct moves moves;
  struct ahead *ahead;                         /* along.c: room for figures; NULL: none yet */
  uint32_t last_overlay, last_layer, last_lap; /* labels of the moves that lead to a run */
  bool has_labels;
};

/* -- run.c ----------------------------------------------------------------- */
void run_row(struct judge *judge, const struct borelay_row *row, const struct head *head);
void run_close(struct judge *judge, const struct borelay_row *row, const struct head *head);
/* How far the head has turned in the run, from row `from` of the block to before `to`. */
void run_turned(struct judge *judge, const struct block *block, size_t from, size_t to);
int64_t ticks_for(double seconds, double tick);
/* Does the head stand still between these two?  By 1 in the last decimal each may be rounded. */
bool run_stands(const struct borelay_row *row, const struct borelay_row *before);
/* May H and the head move up to this row? */
bool run_may_travel(const struct judge *judge, int64_t row);
/* -- calm.c: how many rows of the block from `from` on were judged at once; `room`: so many repeat
 * the row before them.  None: the row has to be judged by itself. */
size_t calm_rows(struct judge *judge, const struct block *block, size_t from, size_t room);
/* A row was judged by itself; faults: in order and setpoints, before it. */
void calm_after_row(struct judge *judge, uint64_t faults);
uint64_t calm_faults(const struct judge *judge);
/* -- setpoints.c: current, voltage, wire, gas and voltage control of a row. */
void setpoints_row(struct judge *judge, const struct borelay_row *row);
/* Do the row's current, voltage and wire keep to values that do not change with the place? */
bool setpoints_are(const struct borelay_row *row, const struct values *values);
/* -- course.c: the tip on its locus, the torch, the zones; what is laid. */
void course_row(struct judge *judge, const struct borelay_row *row, const struct head *head);
/* The stretch of bead that still grows is whole. */
void course_end_bead(struct judge *judge);
/* How far the depth of a lap's centre line may be off: its place, on a slope, and the ease. */
double course_depth_give(const struct judge *judge, const struct lay_depth *asked);
/* -- turns.c: sigma of a place of the wall in a lap; least: what has been gone of the path before.
 */
double turns_place(const struct lay *lay, size_t path, int64_t lap, double s, double depth,
                   double least);
/* Of a stepped layer that is taken up again: is it on its locus in a later turn of the lap? */
void turns_settle(struct judge *judge, const struct borelay_row *row, double depth);
/* Takes the run to the first later turn in which this lap is due, and its step at this depth (NULL:
 * with or without). */
bool turns_find(struct judge *judge, uint32_t lap, double give, const double *depth);
/* -- course_ends.c: the run is placed; it has ended. */
void course_begin(struct judge *judge, int64_t row);
void course_end(struct judge *judge, int64_t row);
#define COURSE_TIP_MOST 0.001 /* mm: docs/semantics.md, tip-path */
/* mm: a rounded joint may put the pool this far from its nominal place (docs/semantics.md,
 * arc-zones and Motion); on a slope that is depth. */
#define COURSE_PLACE_MOST 0.005
/* mm: a place with less room than this lies at a zone's edge: twice what a rounding may shift it */
#define COURSE_EDGE_MOST 0.01
/* deg: the place is rounded too, which turns the normal of a tight bend */
#define COURSE_ANGLE_ROUNDING 1e-4
double course_tip_rounding(const struct judge *judge);
/* Within `window` of a knee by which the slope changes by `slope` the depth is eased. */
struct ease {
  double window, slope;
};
struct ease course_ease(const struct judge *judge, double knee_slope);
/* mm that the pool goes from row to row, from place to place of the path, its depth by `sink`.
 * Where a knee of the slope lies between, rows do not tell how much of it is cut off: as far as is
 * asked for, no less than straight and no more than round by the knee. */
double course_step(const struct judge *judge, double from, double to, double sink);
/* -- along.c: rows in the middle of a run, many at a time; how many it could do so. */
size_t along_rows(struct judge *judge, const struct block *block, size_t from, size_t room);
/* -- pace.c: the pool's speed over any 0.5 mm of a run. */
void pace_open(struct judge *judge);
/* The pool's way at rows that follow on one another, mm, and the s that it takes at the speeds that
 * sectors ask for (NULL without sectors).  At most BLOCK_ROWS. */
void pace_add(struct judge *judge, const double *ways, const double *asks, size_t count);
/* The run has ended. */
void pace_close(struct judge *judge);
/* The longest way of a run-up or run-down. */
double pace_ramp_way(const struct judge *judge);
/* At another speed, mm/s. */
double pace_way_to(const struct judge *judge, double speed);
/* -- sway.c: the sway of a run, of the same rows. */
void sway_open(struct judge *judge);
void sway_add(struct judge *judge, const struct sway_row *rows, const double *ways, size_t count);
/* After pace_close(), which finds the rows of cruise. */
void sway_close(struct judge *judge);
/* -- cover.c */
void cover_open(struct judge *judge, const struct lay *lay);
/* sigma from which on a bead is asked for, where a run takes up at `sigma` what was broken off. */
double cover_taken_up(const struct judge *judge, size_t path, double sigma);
/* Does no zone, of which there have to be some, keep the arc from this stretch? */
bool cover_is_open(const struct judge *judge, size_t path, double from, double to);
void cover_close(struct judge *judge);
/* What the job alone decides. */
void job_judge(struct judge *judge);

#endif
