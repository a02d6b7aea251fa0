/* pace.c - the pool's mean speed over any 0.5 mm, outside run-up and run-down.
 *
 * The ways of the last rows only are kept.  A row's window is judged as soon as a row lies 0.5 mm
 * ahead of it; since run-down begins where the pool is at speed for the last time, what is judged
 * after that is taken back when the run ends. */
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/lanes.h"
#include "verify/judge.h"

static const double WINDOW = 0.5, PERCENT_MOST = 1; /* docs/semantics.md, travel-speed */
static const double SET_OUT = 1e-5; /* mm: more than rounded places make of no way */
/* %: two rounded places on 0.5 mm, and the proportion */
static const double PERCENT_ROUNDING = 100 * 8 * ROUND_MM / 0.5 + 1e-3;

/* Two ramps as the axes alone would take them for this speed, and as much again for what the
 * bends ask: the run-up takes little more than the limits do. */
static double ramp_most(const struct judge *judge, double pool_speed, double tick) {
  const struct cell *cell = judge->job->cell;
  double longest = 0;
  for (int axis = 0; axis < AXIS_COUNT; axis++) {
    const struct axis_limits *limits = &cell->axis[axis];
    /* the head turns about the tightest bend of the wall that is left for the pool */
    double speed = pool_speed * (axis == AXIS_HEAD ? 1 / (judge->lay->wall->perimeter / 40) : 2);
    longest = fmax(longest, speed / limits->accel + 2 * sqrt(speed / limits->jerk) +
                                limits->accel / limits->jerk);
  }
  return 4 * longest + 8 * tick;
}

double pace_way_to(const struct judge *judge, double speed) {
  return speed * ramp_most(judge, speed, judge->tick) / 2;
}

double pace_ramp_way(const struct judge *judge) {
  return pace_way_to(judge, judge->lay->asked.most.of[ASKED_SPEED]);
}

static void judge_run_up(struct judge *judge) {
  const struct pace *pace = &judge->pace;
  double tick = judge->tick;
  double most = ramp_most(judge, judge->lay->asked.most.of[ASKED_SPEED], tick);
  double stood = (double)ticks_for(judge->lay->procedure->travel_start_delay, tick) * tick;
  double up = (double)pace->from * tick - stood;
  if (up > most)
    finding_fault(judge->findings, CHECK_POOL, judge->run.way_row + pace->from,
                  "the pool takes %.3f s to come up to speed", up);
}

/* The pool sets out when the start delay is over.  It may be seen a little later: a ramp that takes
 * u to come to v by the least jerk goes (2 v/3 u^2) t^3 at first.  Twice that time is allowed, and
 * two ticks. */
static void judge_start_delay(struct judge *judge) {
  const struct pace *pace = &judge->pace;
  double tick = judge->tick;
  size_t from = (size_t)(pace->from - pace->base);
  double speed = (pace->ways[from + 1] - pace->ways[from]) / tick;
  double up = (double)(pace->from - pace->rest) * tick;
  double seen = cbrt(1.5 * SET_OUT * up * up / speed);
  int64_t over = pace->rest - ticks_for(judge->lay->procedure->travel_start_delay, tick);
  if ((double)over * tick > 2 * seen + 2.5 * tick)
    finding_fault(judge->findings, CHECK_ORDER, judge->run.way_row + pace->rest,
                  "the torch stands %.3f s longer at full current than travel_start_delay says",
                  (double)over * tick);
}

static void judge_run_down(struct judge *judge) {
  const struct pace *pace = &judge->pace;
  const struct procedure *p = judge->lay->procedure;
  double tick = judge->tick;
  double most = ramp_most(judge, judge->lay->asked.most.of[ASKED_SPEED], tick);
  double stands = p->downslope_travel ? 0 : (double)ticks_for(p->downslope, tick) * tick;
  double down = (double)(pace->count - 1 - pace->to) * tick - stands;
  if (down > most)
    finding_fault(judge->findings, CHECK_POOL, judge->run.way_row + pace->to,
                  "the pool falls below its speed %.3f s before the run's end", down);
}

/* Where the torch travels on while the current falls it stands through all of that only if the
 * slope is shorter than the run-down, which then lies before it.  What the rows show of a run-down
 * begins at 99 % of the speed, a little late: half as much again and four ticks are allowed. */
static void judge_slope(struct judge *judge) {
  const struct pace *pace = &judge->pace;
  const struct run *run = &judge->run;
  const struct procedure *p = judge->lay->procedure;
  int64_t slope = ticks_for(p->downslope, judge->tick), from = pace->count - 1 - slope;
  double shown = fmax((double)(from - pace->to), 0);
  double gone = fabs(run->sigma - run->weld_end); /* NAN: there was no slope */
  bool travels = !(gone < judge->lay->asked.most.of[ASKED_SPEED] * judge->tick);
  if (p->downslope_travel && !travels && 1.5 * shown + 4 < (double)slope)
    finding_fault(judge->findings, CHECK_ORDER, run->way_row + from,
                  "the torch stands while the current falls; it is to travel on");
}

/* -- windows ---------------------------------------------------------------------------------- */

static size_t at(const struct pace *pace, int64_t row) {
  return (size_t)(row - pace->base);
}

/* Rows that 0.5 mm may take, so that a window is known to be neither a fault nor the worst. */
struct quiet {
  double least, most;
};

/* With one speed asked for: the rows' time at that speed is 0.5 mm, within a share. */
static struct quiet quiet_find(const struct judge *judge) {
  static const double SURE = 1e-9; /* %: far more than roundings */
  const struct finding *finding = &judge->findings->items[CHECK_POOL];
  double rows = WINDOW / (judge->lay->asked.most.of[ASKED_SPEED] * judge->tick);
  if (!finding->has_worst || judge->lay->asked.count > 0)
    return (struct quiet){INFINITY, -INFINITY};
  double calm = fmin(PERCENT_MOST - finding->distance, PERCENT_MOST) - SURE;
  return (struct quiet){rows / (1 + calm / 100), rows / (1 - calm / 100)};
}

/* The window that opens at row i and closes before row `end`. */
static bool is_calm(const struct pace *pace, const struct quiet *quiet, int64_t i, int64_t end) {
  double last = pace->ways[at(pace, end - 1)], chord = pace->ways[at(pace, end)] - last;
  double rest = pace->ways[at(pace, i)] + WINDOW - last, whole = (double)(end - 1 - i);
  return chord > 0 && rest >= (quiet->least - whole) * chord &&
         rest <= (quiet->most - whole) * chord;
}

/* Mean speed over just 0.5 mm from row i on; the end within the chord to row `end` by proportion.
 * Where the pool is so slow that row i is forgotten first: over what there is. */
static void judge_window(struct judge *judge, int64_t i, int64_t end) {
  const struct pace *pace = &judge->pace;
  const double *ways = pace->ways, *asks = pace->asks;
  double way = fmin(WINDOW, ways[at(pace, end)] - ways[at(pace, i)]);
  double last = ways[at(pace, end - 1)], chord = ways[at(pace, end)] - last;
  double share = chord > 0 ? (ways[at(pace, i)] + way - last) / chord : 1;
  double ticks = (double)(end - 1 - i) + share;
  double mean = way / (ticks * judge->tick), asked = judge->lay->asked.most.of[ASKED_SPEED];
  if (judge->lay->asked.count > 0 && way > 0) {
    double before = asks[at(pace, end - 1)];
    asked = way / (before - asks[at(pace, i)] + share * (asks[at(pace, end)] - before));
  }
  double off = 100 * fabs(mean / asked - 1);
  int64_t row = judge->run.way_row + i;
  if (!finding_most(judge->findings, CHECK_POOL, row, off, PERCENT_MOST, PERCENT_ROUNDING))
    finding_fault(judge->findings, CHECK_POOL, row,
                  "the pool goes at %.4f mm/s over 0.5 mm, %.4f are asked for", mean, asked);
}

/* The windows that row `end` closes. */
static void close_windows(struct judge *judge, struct quiet *quiet, int64_t end, bool is_fast) {
  struct pace *pace = &judge->pace;
  struct finding *finding = &judge->findings->items[CHECK_POOL];
  for (; pace->next < end; pace->next++) {
    bool is_forgotten = end - pace->next >= (int64_t)pace->room - 2 * BLOCK_ROWS;
    double way = pace->ways[at(pace, end)] - pace->ways[at(pace, pace->next)];
    if (way < WINDOW && !is_forgotten)
      return;
    if (!is_forgotten && is_calm(pace, quiet, pace->next, end))
      continue;
    if (!is_fast && !pace->is_kept) {
      pace->kept = *finding;
      pace->is_kept = true;
    }
    judge_window(judge, pace->next, end);
    *quiet = quiet_find(judge);
  }
}

/* Windows that open at rows i.. and close before `end`.., as many rows later each: are all of them
 * calm, and the pool at speed in every row?  firsts: ways at i..; lasts: those at end - 1.. */
LANES(bool, are_calm,
      (struct quiet quiet, double whole, double fast, const double *restrict firsts,
       const double *restrict lasts, size_t count),
      (quiet, whole, fast, firsts, lasts, count)) {
  double least = quiet.least - whole, most = quiet.most - whole;
  int beyond = 0;
  for (size_t k = 0; k < count; k++) {
    double first = firsts[k], chord = lasts[k + 1] - lasts[k], rest = first + WINDOW - lasts[k];
    beyond |= !(chord >= fast) | !(rest > 0) | !(lasts[k + 1] - first >= WINDOW);
    beyond |= !(rest >= least * chord) | !(rest <= most * chord);
  }
  return !beyond;
}

/* -- rows ------------------------------------------------------------------------------------- */

/* Twice the rows that 0.5 mm take at the least speed that is asked for. */
static size_t rows_kept(const struct judge *judge) {
  double rows = WINDOW / (judge->lay->asked.most.of[ASKED_SPEED] * judge->tick);
  size_t room = 1024;
  while ((double)room < 2 * rows && room < (size_t)1 << 24)
    room *= 2;
  return room;
}

void pace_open(struct judge *judge) {
  struct pace *pace = &judge->pace;
  struct pace last = *pace;
  size_t room = rows_kept(judge);
  if (room > last.room) {
    last.ways = arena_alloc(judge->arena, 2 * room, sizeof *last.ways);
    last.asks = arena_alloc(judge->arena, 2 * room, sizeof *last.asks);
    last.room = room;
  }
  *pace =
      (struct pace){.ways = last.ways, .asks = last.asks, .room = last.room, .from = -1, .to = -1};
}

/* Rows before the last `room` are forgotten where there is no room left for a block. */
static void make_room(struct pace *pace) {
  size_t held = at(pace, pace->count), keep = pace->room - BLOCK_ROWS;
  if (held + BLOCK_ROWS <= 2 * pace->room)
    return;
  memmove(pace->ways, pace->ways + (held - keep), keep * sizeof *pace->ways);
  memmove(pace->asks, pace->asks + (held - keep), keep * sizeof *pace->asks);
  pace->base = pace->count - (int64_t)keep;
}

static double fast_way(const struct judge *judge) {
  double speed = judge->lay->asked.count > 0 ? 1 : judge->lay->asked.most.of[ASKED_SPEED];
  return 0.99 * judge->tick * speed;
}

/* Row `row`, whose way is there. */
static void judge_row(struct judge *judge, struct quiet *quiet, int64_t row) {
  struct pace *pace = &judge->pace;
  const double *gone = judge->lay->asked.count > 0 ? pace->asks : pace->ways;
  if (row == 0)
    return;
  bool is_fast = gone[at(pace, row)] - gone[at(pace, row - 1)] >= fast_way(judge);
  if (pace->from < 0 && pace->ways[at(pace, row)] < SET_OUT)
    pace->rest = row;
  if (is_fast && pace->from < 0) {
    pace->from = pace->next = row - 1;
    judge_run_up(judge);
    judge_start_delay(judge);
  }
  if (is_fast) {
    pace->to = row;
    pace->is_kept = false;
  }
  if (pace->from >= 0)
    close_windows(judge, quiet, row, is_fast);
}

/* Rows in the middle of cruise, in which nothing is told. */
static bool pass_rows(struct judge *judge, const struct quiet *quiet, size_t count) {
  struct pace *pace = &judge->pace;
  int64_t row = pace->count, lag = row - 1 - pace->next;
  if (pace->from < 0 || judge->lay->asked.count > 0 || lag < 1)
    return false;
  const double *ways = pace->ways;
  if (!are_calm(*quiet, (double)lag, fast_way(judge), ways + at(pace, pace->next),
                ways + at(pace, row - 1), count))
    return false;
  pace->next += (int64_t)count;
  pace->to = row + (int64_t)count - 1;
  pace->is_kept = false;
  return true;
}

void pace_add(struct judge *judge, const double *ways, const double *asks, size_t count) {
  struct pace *pace = &judge->pace;
  if (!judge->is_timed)
    return;
  make_room(pace);
  memcpy(pace->ways + at(pace, pace->count), ways, count * sizeof *ways);
  if (asks)
    memcpy(pace->asks + at(pace, pace->count), asks, count * sizeof *asks);
  struct quiet quiet = quiet_find(judge);
  if (!pass_rows(judge, &quiet, count))
    for (size_t i = 0; i < count; i++)
      judge_row(judge, &quiet, pace->count + (int64_t)i);
  pace->count += (int64_t)count;
}

void pace_close(struct judge *judge) {
  struct pace *pace = &judge->pace;
  if (pace->is_kept)
    judge->findings->items[CHECK_POOL] = pace->kept;
  if (pace->count < 2)
    return;
  if (pace->from < 0) {
    finding_fault(judge->findings, CHECK_POOL, judge->run.way_row,
                  "the pool never comes up to %.4f mm/s in this run",
                  judge->lay->asked.most.of[ASKED_SPEED]);
    return;
  }
  judge_run_down(judge);
  judge_slope(judge);
}
