/* turns.c - in which turn of its lap a place of the wall lies.
 *
 * Where a run begins only the place on the wall, its depth and the lap that the row tells are
 * known; from there on sigma goes on from row to row. */
#include <math.h>

#include "verify/judge.h"

/* rest of a closed contour, -0.05 mm .. whole - 0.05 mm: a start may lie a rounding before s. */
static double rest_of(double value, double whole) {
  double shifted = value + 0.05;
  return shifted - whole * floor(shifted / whole) - 0.05;
}

/* A stepped lap is longer than a turn, so that a place may lie in it twice, and more often where
 * `stagger` is longer than a turn: the depth tells which it is, or, where they are level, what has
 * been gone: the run takes the first that has not. */
static double turn_of(const struct lay *lay, size_t path, struct range sigma, double depth,
                      double least) {
  double found = sigma.lo, off = fabs(lay_depth(lay, path, found).depth - depth);
  double whole = lay->wall->perimeter;
  for (double later = sigma.lo + whole; later < sigma.hi; later += whole) {
    double there = fabs(lay_depth(lay, path, later).depth - depth);
    if (found >= least - 0.05 && there >= off - COURSE_TIP_MOST)
      continue;
    found = later;
    off = there;
  }
  return found;
}

/* least: what has been gone of the path before. */
double turns_place(const struct lay *lay, size_t path, int64_t lap, double s, double depth,
                   double least) {
  double whole = lay->wall->perimeter, base = lay_lap_start(lay, lap);
  double sigma = base + rest_of(lay->dir * (s - lay_s(lay, path, base)), whole);
  if (lay->overlay->pattern == PATTERN_STEPPED)
    return turn_of(lay, path, (struct range){sigma, base + lay->unit}, depth, least);
  /* or a zone ends just before the lap does */
  return sigma < least - 0.05 && sigma < base - 2e-5 ? sigma + whole : sigma;
}

/* -- a stepped layer taken up again: in which turn of its lap ---------------------------------- */

/* Is a tip at this depth on its locus at sigma? */
static bool has_depth(const struct judge *judge, double sigma, double depth) {
  struct lay_depth asked = lay_depth(judge->lay, judge->run.path, sigma);
  double off = fabs(depth - asked.depth) - course_depth_give(judge, &asked);
  return off <= COURSE_TIP_MOST + course_tip_rounding(judge);
}

/* Is the lap's step due at sigma, and has the tip its depth?  It begins eased. */
static bool is_step_due(const struct judge *judge, double sigma, double give, double depth) {
  const struct run *run = &judge->run;
  bool is_step = lay_depth(judge->lay, run->path, sigma + give).is_step;
  if (run->is_swaying)
    return is_step;
  return has_depth(judge, sigma, depth) && (is_step || !has_depth(judge, run->sigma, depth));
}

/* Nothing has been gone before, and where the lap is level for more than a turn its depth does not
 * tell which it is: the first is taken until the lap's step tells another (depth), or the next
 * lap's number does.  Beads laid meanwhile lie at the same depth. */
bool turns_find(struct judge *judge, uint32_t lap, double give, const double *depth) {
  struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  int64_t told = lap;
  double turn = lay->wall->perimeter, end = lay_path_length(lay, run->path);
  for (double way = turn; run->sigma + way < end; way += turn) {
    double sigma = run->sigma + way;
    bool is_lap = lay_lap(lay, run->path, sigma - give) <= told &&
                  lay_lap(lay, run->path, sigma + give) >= told;
    if (!is_lap || (depth && !is_step_due(judge, sigma, give, *depth)))
      continue;
    run->may_shift = false;
    run->sigma = sigma;
    run->sigma_from += way;
    judge->cover.from_sigma += way;
    judge->cover.asked_from += way;
    course_end_bead(judge);
    return true;
  }
  return false;
}

/* Has the step begun, though not at sigma?  Where it is too flat to tell, voltage control does. */
static bool is_elsewhere(const struct judge *judge, const struct borelay_row *row, double depth) {
  const struct borelay_row *before = &judge->before;
  const struct run *run = &judge->run;
  bool goes_out = before->phase == row->phase && before->avc && !row->avc;
  struct lay_depth here = lay_depth(judge->lay, run->path, run->sigma);
  return (!run->is_swaying && !has_depth(judge, run->sigma, depth)) ||
         (goes_out && !here.is_step && here.knee > 2 * COURSE_PLACE_MOST);
}

void turns_settle(struct judge *judge, const struct borelay_row *row, double depth) {
  struct run *run = &judge->run;
  const struct lay *lay = judge->lay;
  double give = 2 * COURSE_PLACE_MOST;
  if (lay_lap(lay, run->path, run->sigma - give) > lay_lap(lay, run->path, run->sigma_from))
    run->may_shift = false;
  else if (is_elsewhere(judge, row, depth))
    turns_find(judge, row->lap, give, &depth);
}
