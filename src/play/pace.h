/* pace.h - when each row is due.
 *
 * Times are seconds on one steady clock that only moves forward.  No row is due before its own
 * time. Programme time may fall behind while the arc is out; what is lost stays lost. */
#ifndef PLAY_PACE_H
#define PLAY_PACE_H

#include <stdbool.h>

/* A tenth of the speed while a hold is asked for, and half a second of rows to get there: common
 * practice, no source.  A sudden change of rate would be a step of velocity for every axis. */
#define PACE_SLOW   0.1
#define PACE_RAMP_S 0.5
/* Lateness that is made good; with the arc out more is lost time.  What a busy machine does to a
 * process that sleeps, and no more: rows that catch up come faster than their time. */
#define PACE_JITTER_S 0.05

struct pace {
  double due_s;  /* of the next row */
  double step_s; /* from row to row at full rate: tick / times */
  double rate;   /* of programme time, PACE_SLOW to 1 */
  double target; /* where rate is going */
};

/* The next row is due at now_s.  from_rest: somewhere in the middle, where the axes stand. */
void pace_begin(struct pace *pace, double now_s, double step_s, bool from_rest);
void pace_aim(struct pace *pace, bool slow);
/* The row that was due is with the receiver.  burns_before, burns: whether the arc was on before it
 * and is on from it. */
void pace_delivered(struct pace *pace, double now_s, bool burns_before, bool burns);
/* Programme time has stood; it goes on now. */
void pace_stood(struct pace *pace, double now_s);

#endif
