/* sway.c - the sway of one run, from how much deeper its rows lie than the lap's centre line.
 *
 * In time, in cruise: half sways of h = 1/(2 frequency), a crossing of C = h - dwell and then the
 * dwell.  The one thing that rows have to tell is when it began; every crossing tells that once
 * more, at its middle, where the tip goes fastest, and the mean is taken.  Then each row is due. */
#include <math.h>

#include "borelay/arena.h"
#include "verify/judge.h"

static const double TIP_MOST = 0.001; /* mm: docs/semantics.md, tip-path */

static const double UNEVEN = 1e-4; /* share of a crossing: there the speed changes */

struct waving {
  double amplitude, half, cross; /* mm; s */
  double began;                  /* s from the first row */
  int64_t halves;                /* whole sways, twice */
  /* Where the speed changes along the lap a crossing is even with the pool's way, not with time. */
  const double *ways; /* at every row; NULL: one speed */
  size_t count;
  double tick;
};

/* Share of the way that is behind the tip after a share y of the crossing's time: jerk up, down
 * twice as long, up, each as strong. */
static double gone(double y) {
  double rest = 1 - y;
  if (y <= 0 || y >= 1)
    return y <= 0 ? 0 : 1;
  if (4 * y < 1)
    return 16 * y * y * y / 3;
  if (4 * rest < 1)
    return 1 - 16 * rest * rest * rest / 3;
  return (((-16 * y + 24) * y - 6) * y + 0.5) / 3; /* meets both, with slope and bend */
}

/* Between rows by proportion. */
static double way_at(const struct waving *w, double t) {
  double rows = t / w->tick, at = floor(rows);
  if (at < 0)
    return w->ways[0];
  if (at + 1 >= (double)w->count)
    return w->ways[w->count - 1];
  size_t i = (size_t)at;
  return w->ways[i] + (rows - at) * (w->ways[i + 1] - w->ways[i]);
}

/* Share of crossing j's way at t. */
static double crossed(const struct waving *w, double begin, double t) {
  if (!w->ways || t >= begin + w->cross)
    return (t - begin) / w->cross;
  double from = way_at(w, begin), to = way_at(w, begin + w->cross);
  return to > from ? (way_at(w, t) - from) / (to - from) : 0;
}

static double due(const struct waving *w, double t) {
  double since = t - w->began;
  double nth = floor(since / w->half);
  if (since < 0 || nth > (double)w->halves)
    return 0;
  double end = (int64_t)nth % 2 == 0 ? w->amplitude : -w->amplitude;
  double from = nth == 0 ? 0 : -end, to = nth == (double)w->halves ? 0 : end;
  return from + (to - from) * gone(crossed(w, w->began + nth * w->half, t));
}

/* Share of a crossing's time at which a share of its way is gone, in its middle half. */
static double time_gone(double share) {
  double lo = 0.25, hi = 0.75;
  for (int i = 0; i < 60; i++) {
    double mid = (lo + hi) / 2;
    if (gone(mid) < share)
      lo = mid;
    else
      hi = mid;
  }
  return lo;
}

/* -- when it began ----------------------------------------------------------------------------- */

/* What one row in the middle half of crossing j says; false: it is not there. */
static bool row_tells(const struct waving *w, int64_t j, double t, double deeper, double *began) {
  double end = j % 2 == 0 ? w->amplitude : -w->amplitude, from = j == 0 ? 0 : -end;
  double share = (deeper - from) / (end - from);
  if (share < 0.2 || share > 0.8)
    return false;
  *began = t - (double)j * w->half - time_gone(share) * w->cross;
  return true;
}

/* From the first crossing. */
static bool find_first(struct waving *w, const struct sway_row *rows, size_t count, double tick) {
  size_t i = 0;
  while (i < count && !row_tells(w, 0, (double)i * tick, rows[i].deeper, &w->began))
    i++;
  return i < count;
}

/* From the last row that is well off the centre line: the last crossing leads back to it. */
static void find_end(struct waving *w, const struct sway_row *rows, size_t count, double tick) {
  size_t last = count - 1;
  while (last > 0 && fabs(rows[last].deeper) < w->amplitude / 2)
    last--;
  double back = (double)last * tick - w->began - w->cross / 2;
  w->halves = 2 * (int64_t)floor(back / (2 * w->half) + 0.5);
}

/* The mean over all crossings from end to end that are where the first one lets them be looked for;
 * not where the centre line may be off itself. */
static void find_mean(struct waving *w, const struct sway_row *rows, size_t count, double tick) {
  double sum = 0, here;
  int64_t crossings = 0, last = 0;
  for (size_t i = 0; i < count; i++) {
    double t = (double)i * tick;
    int64_t j = (int64_t)floor((t - w->began) / w->half);
    if (j <= last || j >= w->halves || rows[i].give > TIP_MOST / 4 ||
        !row_tells(w, j, t, rows[i].deeper, &here))
      continue;
    last = j;
    double begin = w->began + (double)j * w->half;
    if (fabs(crossed(w, begin, begin + w->cross / 2) - 0.5) > UNEVEN)
      continue;
    if (fabs(here - w->began) > w->cross / 8)
      continue;
    sum += here;
    crossings++;
  }
  if (crossings > 0)
    w->began = sum / (double)crossings;
}

/* -- judging ----------------------------------------------------------------------------------- */

static void tell_row(struct judge *judge, int64_t row, const struct sway_row *at, double wanted) {
  double off = at->deeper - wanted, below = fmax(fabs(off) - at->give, 0);
  double rounding = 2 * ROUND_MM + 1e-5; /* so sharp is the time at which it began */
  if (finding_most(judge->findings, CHECK_TIP, row, below, TIP_MOST, rounding))
    return;
  finding_fault(judge->findings, CHECK_TIP, row,
                "the tip is %.4f mm too %s for its sway: %.4f mm %s than the lap's centre line, "
                "%.4f mm is asked for",
                fabs(off), off > 0 ? "deep" : "shallow", fabs(at->deeper),
                at->deeper > 0 ? "deeper" : "shallower", wanted);
}

/* Whole sways fill what there is between run-up and run-down, but for less than one. */
static void judge_extent(struct judge *judge, const struct waving *w, size_t from, size_t to) {
  double tick = judge->tick, period = 2 * w->half;
  double early = w->began - (double)from * tick;
  double late = (double)to * tick - w->began - (double)w->halves * w->half - w->cross;
  bool is_first = judge->mode == BORELAY_RESUME;
  /* run-up and run-down end where the rows reach their speed, but for its last per cent */
  double slack = (double)from * tick / 2 + 8 * tick;
  if (early > slack + (is_first ? period : 0))
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row + (int64_t)from,
                  "the tip begins to sway %.3f s late", early);
  if (late > period + slack)
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row + (int64_t)to,
                  "the tip stops swaying %.3f s before it has to, a sway takes %.3f s", late,
                  period);
}

/* At a rehearsal's own speed: as far as asked for, and no farther. */
static void judge_reach(struct judge *judge, const struct waving *w) {
  const struct run *run = &judge->run;
  double most = 0, least = 0;
  for (size_t i = 0; i < run->way_count; i++) {
    double deeper = run->sways[i].deeper, wanted = fmin(fmax(deeper, -w->amplitude), w->amplitude);
    tell_row(judge, run->way_row + (int64_t)i, &run->sways[i], wanted);
    most = fmax(most, deeper);
    least = fmin(least, deeper);
  }
  if (most < 0.8 * w->amplitude || least > -0.8 * w->amplitude)
    finding_fault(
        judge->findings, CHECK_TIP, run->way_row,
        "the tip sways from %.4f to %.4f mm in this run, %.4f to either side are asked for", least,
        most, w->amplitude);
}

void sway_judge(struct judge *judge, size_t from, size_t to) {
  const struct run *run = &judge->run;
  const struct oscillation *asked = &judge->lay->procedure->oscillation;
  if (asked->width == 0 || run->way_count < 2)
    return;
  struct waving w = {.amplitude = asked->width / 2, .half = 0.5 / asked->frequency};
  w.cross = w.half - asked->dwell;
  w.ways = judge->lay->overlay->sector_count > 0 ? run->ways : NULL;
  w.count = run->way_count;
  w.tick = judge->tick;
  if (!judge->is_timed) {
    judge_reach(judge, &w);
    return;
  }
  if (!find_first(&w, run->sways, run->way_count, judge->tick)) {
    /* what is left of a resumed run may be too short for one */
    if (judge->mode != BORELAY_RESUME || (double)(to - from) * judge->tick > 6 * w.half)
      finding_fault(judge->findings, CHECK_TIP, run->way_row, "the tip does not sway in this run");
    w.began = (double)INFINITY;
  } else {
    find_end(&w, run->sways, run->way_count, judge->tick);
    find_mean(&w, run->sways, run->way_count, judge->tick);
    judge_extent(judge, &w, from, to);
  }
  for (size_t i = 0; i < run->way_count; i++)
    tell_row(judge, run->way_row + (int64_t)i, &run->sways[i], due(&w, (double)i * judge->tick));
}
