/* pace.c - the pool's mean speed over any 0.5 mm, outside run-up and run-down. */
#include <math.h>

#include "verify/judge.h"

static const double WINDOW = 0.5, PERCENT_MOST = 1; /* docs/semantics.md, travel-speed */

struct pace {
  struct judge *judge;
  const double *ways, *asks; /* asks: NULL where one speed is asked for */
  size_t count;
  size_t from, to; /* rows of cruise: from the first to the last at speed */
  double speed, tick;
};

/* Rows at which the pool is at speed: from the first stretch at 99 % on to the last. */
static bool find_cruise(struct pace *pace) {
  const double *ways = pace->asks ? pace->asks : pace->ways;
  double least = 0.99 * pace->tick * (pace->asks ? 1 : pace->speed);
  size_t first = 0, last = pace->count - 1;
  while (first + 1 < pace->count && ways[first + 1] - ways[first] < least)
    first++;
  while (last > first && ways[last] - ways[last - 1] < least)
    last--;
  pace->from = first;
  pace->to = last;
  return last > first;
}

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

double pace_ramp_way(const struct judge *judge) {
  double speed = judge->lay->asked.most.of[ASKED_SPEED];
  return speed * ramp_most(judge, speed, judge->tick) / 2;
}

static void judge_ramps(const struct pace *pace) {
  double most = ramp_most(pace->judge, pace->speed, pace->tick);
  double up = (double)pace->from * pace->tick;
  double down = (double)(pace->count - 1 - pace->to) * pace->tick;
  int64_t row = pace->judge->run.way_row;
  const struct procedure *p = pace->judge->lay->procedure;
  double stood = (double)ticks_for(p->travel_start_delay, pace->tick) * pace->tick;
  double slope = p->downslope_travel ? 0 : (double)ticks_for(p->downslope, pace->tick) * pace->tick;
  if (up - stood > most)
    finding_fault(pace->judge->findings, CHECK_POOL, row + (int64_t)pace->from,
                  "the pool takes %.3f s to come up to speed", up - stood);
  if (down - slope > most)
    finding_fault(pace->judge->findings, CHECK_POOL, row + (int64_t)pace->to,
                  "the pool falls below its speed %.3f s before the run's end", down - slope);
}

/* Mean speeds over stretches of just 0.5 mm; the end within a row's chord by proportion. */
static void judge_windows(const struct pace *pace) {
  struct judge *judge = pace->judge;
  size_t end = pace->from;
  for (size_t i = pace->from; i < pace->to; i++) {
    double wanted = pace->ways[i] + WINDOW;
    while (end < pace->to && pace->ways[end] < wanted)
      end++;
    if (pace->ways[end] < wanted)
      return;
    double chord = pace->ways[end] - pace->ways[end - 1];
    double ticks = (double)(end - 1 - i) + (wanted - pace->ways[end - 1]) / chord;
    double mean = WINDOW / (ticks * pace->tick), asked = pace->speed;
    if (pace->asks) {
      double share = (wanted - pace->ways[end - 1]) / chord;
      asked = WINDOW / (pace->asks[end - 1] - pace->asks[i] +
                        share * (pace->asks[end] - pace->asks[end - 1]));
    }
    double off = 100 * fabs(mean / asked - 1);
    /* two rounded places on 0.5 mm */
    double rounding = 100 * 8 * ROUND_MM / WINDOW + 1e-3;
    if (finding_is_calm(judge->findings, CHECK_POOL, off, PERCENT_MOST, rounding))
      continue;
    int64_t row = judge->run.way_row + (int64_t)i;
    if (!finding_most(judge->findings, CHECK_POOL, row, off, PERCENT_MOST, rounding))
      finding_fault(judge->findings, CHECK_POOL, row,
                    "the pool goes at %.4f mm/s over 0.5 mm, %.4f are asked for", mean, asked);
  }
}

void pace_judge(struct judge *judge) {
  struct run *run = &judge->run;
  if (!judge->is_timed)
    sway_judge(judge, 0, run->way_count);
  if (!judge->is_timed || run->way_count < 2)
    return;
  struct pace pace = {.judge = judge,
                      .ways = run->ways,
                      .count = run->way_count,
                      .asks = judge->lay->asked.count > 0 ? run->asks : NULL,
                      .speed = judge->lay->asked.most.of[ASKED_SPEED],
                      .tick = judge->tick};
  if (!find_cruise(&pace)) {
    finding_fault(judge->findings, CHECK_POOL, run->way_row,
                  "the pool never comes up to %.4f mm/s in this run", pace.speed);
    return;
  }
  judge_ramps(&pace);
  judge_windows(&pace);
  sway_judge(judge, pace.from, pace.to);
}
