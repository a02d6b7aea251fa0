/* course_ends.c - where a run begins and where it ends: at its path's start, at a zone's edge,
 * behind its tie-in; and which way it went. */
#include <math.h>

#include "borelay/arena.h"
#include "verify/judge.h"

/* The arc has to be out from here on, or up to here. */
static bool is_at_edge(const struct judge *judge, double sigma) {
  const struct lay *lay = judge->lay;
  size_t path = judge->run.path;
  double half_sway = lay->procedure->oscillation.width / 2;
  double depth = lay_depth(lay, path, sigma).depth;
  return judge->room && arc_room_about(judge->room, lay_s(lay, path, sigma), depth, half_sway,
                                       NULL) < COURSE_EDGE_MOST;
}

/* Where its path does or where a zone ends, behind what has been gone. */
void course_begin(struct judge *judge, int64_t row) {
  const struct run *run = &judge->run;
  bool is_first = judge->gone == 0;
  if (!is_first && run->sigma < judge->gone - 2 * COURSE_PLACE_MOST)
    finding_fault(judge->findings, CHECK_ORDER, row,
                  "the run begins %.3f mm before the end of the one before it",
                  judge->gone - run->sigma);
  else if ((!is_first || fabs(run->sigma) > 2 * COURSE_PLACE_MOST) &&
           !is_at_edge(judge, run->sigma))
    finding_fault(judge->findings, CHECK_ORDER, row,
                  "the run begins %.3f mm behind the start of its laps, where no zone ends",
                  run->sigma);
}

/* Spirals and stepped layers tie in where zones leave their last turn unbroken.  Of a run that is
 * taken up within it the rest lies before. */
static bool ties_in(const struct judge *judge) {
  const struct lay *lay = judge->lay;
  const struct run *run = &judge->run;
  double last_turn = lay_path_length(lay, run->path) - lay->wall->perimeter;
  if (!judge->room || lay->overlay->pattern == PATTERN_RINGS ||
      run->sigma_from <= last_turn + 2 * COURSE_PLACE_MOST)
    return true;
  bool is_rest = judge->mode == BORELAY_RESUME && run->sigma_from == judge->cover.from_sigma;
  return is_rest && cover_is_open(judge, run->path, last_turn, run->sigma_from);
}

/* A closed lap runs over its own start by the tie-in, at full current, as far as no zone
 * intervenes. */
static void judge_tie_in(struct judge *judge, int64_t row, double arc_end) {
  const struct lay *lay = judge->lay;
  struct run *run = &judge->run;
  double end = lay_path_length(lay, run->path);
  double weld_end = isnan(run->weld_end) ? arc_end : run->weld_end;
  if (!judge->is_timed || arc_end < end - COURSE_PLACE_MOST)
    return;
  double tie = ties_in(judge) ? lay->tie : 0, off = weld_end - end - tie;
  bool is_cut_short = off < 0 && is_at_edge(judge, arc_end);
  if (fabs(off) > 2 * COURSE_PLACE_MOST && !is_cut_short)
    finding_fault(judge->findings, CHECK_ORDER, row,
                  "full current ends %.3f mm behind the lap's start, the tie-in is %.3f mm",
                  weld_end - end, tie);
}

/* Anticlockwise travel goes to the left, seen from the head's axis: a leading wire is there. */
static void judge_side(struct judge *judge, int64_t row) {
  enum wire_position wire = judge->lay->procedure->wire;
  enum wire_side side = judge->job->cell->wire_side;
  if (wire == WIRE_NONE || side == WIRE_SIDE_NONE || judge->run.sigma == judge->run.sigma_from)
    return;
  bool goes_on = judge->run.sigma > judge->run.sigma_from;
  bool is_left = (judge->lay->dir > 0) == goes_on;
  bool leads = is_left == (side == WIRE_SIDE_LEFT);
  finding_judged(judge->findings, CHECK_WIRE_SIDE);
  if (leads != (wire == WIRE_LEADING))
    finding_fault(judge->findings, CHECK_WIRE_SIDE, row,
                  "the wire goes %s the pool, it is to be %s", leads ? "before" : "behind",
                  leads ? "trailing" : "leading");
}

void course_end(struct judge *judge, int64_t row) {
  struct run *run = &judge->run;
  struct cover *cover = &judge->cover;
  if (!run->is_placed)
    return;
  course_end_bead(judge);
  judge->gone = run->sigma;
  judge_tie_in(judge, row, run->sigma);
  judge_side(judge, row);
  if (cover->end_count == cover->end_room) {
    size_t room = 2 * cover->end_room + 16;
    cover->ends =
        arena_grow(judge->arena, cover->ends, cover->end_count, room, sizeof *cover->ends);
    cover->end_room = room;
  }
  cover->ends[cover->end_count++] = (struct run_end){run->path, run->end_wire, run->sigma};
}
