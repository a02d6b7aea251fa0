/* sway.c - the sway of one run, from how much deeper its rows lie than the lap's centre line.
 *
 * In time, in cruise: half sways of h = 1/(2 frequency), a crossing of C = h - dwell and then the
 * dwell.  The one thing that rows have to tell is when it began; every crossing tells that once
 * more, at its middle, where the tip goes fastest, and the mean is taken of as many as a ring of
 * rows holds.  Then each row is due, as soon as it is known that the sway goes on behind it. */
#include <math.h>

#include "borelay/arena.h"
#include "verify/judge.h"

static const double TIP_MOST = 0.001; /* mm: docs/semantics.md, tip-path */

static const double UNEVEN = 1e-4; /* share of a crossing: there the speed changes */

struct waving {
  const struct sway *sway;
  double amplitude, half, cross; /* mm; s */
  double began;                  /* s from the first row */
  int64_t halves;                /* whole sways, twice; more than any: not known yet */
  /* Where the speed changes along the lap a crossing is even with the pool's way, not with time. */
  bool is_by_way;
  double tick;
};

static size_t at(const struct sway *sway, int64_t row) {
  return (size_t)row & (sway->room - 1);
}

static const struct sway_row *row_of(const struct waving *w, int64_t row) {
  return &w->sway->rows[at(w->sway, row)];
}

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
  const struct sway *sway = w->sway;
  double rows = t / w->tick, below = floor(rows);
  int64_t first = sway->count > (int64_t)sway->room ? sway->count - (int64_t)sway->room : 0;
  if (below < (double)first)
    return sway->ways[at(sway, first)];
  if (below + 1 >= (double)sway->count)
    return sway->ways[at(sway, sway->count - 1)];
  double here = sway->ways[at(sway, (int64_t)below)];
  return here + (rows - below) * (sway->ways[at(sway, (int64_t)below + 1)] - here);
}

/* Share of a crossing that is behind the tip; by the pool's way it is known but for `doubt`. */
struct crossed {
  double share, doubt;
};

/* The first crossing begins between two rows of which the pool comes up to speed on the way to the
 * later one: from the two behind. */
static double way_first(const struct waving *w, double t) {
  double next = (floor(t / w->tick) + 1) * w->tick, way = way_at(w, next);
  return way - (way_at(w, next + w->tick) - way) * (next - t) / w->tick;
}

/* A crossing by the pool's way. */
struct crossing {
  double begin, from, length; /* s; mm */
};

static double share_of_way(const struct waving *w, const struct crossing *crossing, double t) {
  return (way_at(w, t) - crossing->from) / crossing->length;
}

/* The largest difference of the share by way from that by time, looked for at its quarters. */
static double uneven_most(const struct waving *w, const struct crossing *crossing) {
  double most = 0;
  for (int quarter = 1; quarter < 4; quarter++) {
    double share = quarter / 4.0, t = crossing->begin + share * w->cross;
    most = fmax(most, fabs(share_of_way(w, crossing, t) - share));
  }
  return most;
}

/* At a joint of the wall the pool may be ahead of its place, or behind (course.c), and the sway is
 * even with the places, not with the pool.  Where the speed stays it is even with time, so that
 * what both tell apart anywhere is doubt enough. */
static struct crossed crossed_at(const struct waving *w, double begin, double t) {
  double by_time = (t - begin) / w->cross;
  if (!w->is_by_way || t >= begin + w->cross)
    return (struct crossed){by_time, 0};
  struct crossing crossing = {begin, begin > w->began ? way_at(w, begin) : way_first(w, begin), 0};
  crossing.length = way_at(w, begin + w->cross) - crossing.from;
  if (!(crossing.length > 0))
    return (struct crossed){0, 0};
  double by_way = share_of_way(w, &crossing, t);
  double uneven = fmax(fabs(by_way - by_time), uneven_most(w, &crossing));
  return (struct crossed){by_way, fmin(uneven, 2 * COURSE_PLACE_MOST / crossing.length)};
}

/* How deep the tip has to be, and what is not known of that. */
struct due {
  double deeper, doubt;
};

static struct due due_at(const struct waving *w, double t) {
  double since = t - w->began;
  double nth = floor(since / w->half);
  if (since < 0 || nth > (double)w->halves)
    return (struct due){0, 0};
  double end = (int64_t)nth % 2 == 0 ? w->amplitude : -w->amplitude;
  double from = nth == 0 ? 0 : -end, to = nth == (double)w->halves ? 0 : end;
  struct crossed at = crossed_at(w, w->began + nth * w->half, t);
  double here = gone(at.share), way = to - from;
  double doubt = fmax(gone(at.share + at.doubt) - here, here - gone(at.share - at.doubt));
  return (struct due){from + way * here, fabs(way) * doubt};
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
static bool find_first(struct waving *w, int64_t from, int64_t to) {
  while (from < to && !row_tells(w, 0, (double)from * w->tick, row_of(w, from)->deeper, &w->began))
    from++;
  return from < to;
}

/* From the last row that is well off the centre line: the last crossing leads back to it. */
static int64_t halves_until(const struct waving *w, int64_t far) {
  double back = (double)(far < 0 ? 0 : far) * w->tick - w->began - w->cross / 2;
  return 2 * (int64_t)floor(back / (2 * w->half) + 0.5);
}

/* The mean over all crossings from end to end that are where the first one lets them be looked for;
 * not where the centre line may be off itself. */
static void find_mean(struct waving *w, int64_t from, int64_t to) {
  double sum = 0, here;
  int64_t crossings = 0, last = 0;
  for (int64_t i = from; i < to; i++) {
    const struct sway_row *row = row_of(w, i);
    double t = (double)i * w->tick;
    int64_t j = (int64_t)floor((t - w->began) / w->half);
    if (j <= last || j >= w->halves || row->give > TIP_MOST / 4 ||
        !row_tells(w, j, t, row->deeper, &here))
      continue;
    last = j;
    double begin = w->began + (double)j * w->half;
    if (fabs(crossed_at(w, begin, begin + w->cross / 2).share - 0.5) > UNEVEN)
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

static void tell_row(struct judge *judge, int64_t row, const struct sway_row *at, struct due due) {
  double wanted = due.deeper, off = at->deeper - wanted;
  double below = fmax(fabs(off) - at->give - due.doubt, 0);
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
static void judge_extent(struct judge *judge, const struct waving *w, int64_t from, int64_t to) {
  double tick = judge->tick, period = 2 * w->half;
  double early = w->began - (double)from * tick;
  double late = (double)to * tick - w->began - (double)w->halves * w->half - w->cross;
  bool is_first = judge->mode == BORELAY_RESUME;
  /* run-up and run-down end where the rows reach their speed, but for its last per cent */
  double slack = (double)from * tick / 2 + 8 * tick;
  if (early > slack + (is_first ? period : 0))
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row + from,
                  "the tip begins to sway %.3f s late", early);
  if (late > period + slack)
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row + to,
                  "the tip stops swaying %.3f s before it has to, a sway takes %.3f s", late,
                  period);
}

static const int64_t MANY = (int64_t)1 << 60;

static bool is_swaying(const struct judge *judge) {
  return judge->lay->procedure->oscillation.width > 0;
}

static struct waving waving_of(const struct judge *judge) {
  const struct oscillation *asked = &judge->lay->procedure->oscillation;
  double half = 0.5 / asked->frequency;
  return (struct waving){.sway = &judge->sway,
                         .amplitude = asked->width / 2,
                         .half = half,
                         .cross = half - asked->dwell,
                         .began = judge->sway.is_found ? judge->sway.began : (double)INFINITY,
                         .halves = MANY,
                         .is_by_way = judge->lay->overlay->sector_count > 0,
                         .tick = judge->tick};
}

/* Rows up to this one. */
static void judge_rows(struct judge *judge, const struct waving *w, int64_t to) {
  struct sway *sway = &judge->sway;
  for (; sway->next < to; sway->next++)
    tell_row(judge, judge->run.way_row + sway->next, row_of(w, sway->next),
             due_at(w, (double)sway->next * w->tick));
}

/* -- rows as they come ------------------------------------------------------------------------ */

/* At a rehearsal's own speed: as far as asked for, and no farther. */
static void add_rehearsed(struct judge *judge, const struct sway_row *row) {
  struct sway *sway = &judge->sway;
  double amplitude = judge->lay->procedure->oscillation.width / 2;
  double wanted = fmin(fmax(row->deeper, -amplitude), amplitude);
  tell_row(judge, judge->run.way_row + sway->count++, row, (struct due){wanted, 0});
  sway->most = fmax(sway->most, row->deeper);
  sway->least = fmin(sway->least, row->deeper);
}

/* The ring is full for the first time.  What lies a crossing before a sway that has not begun yet
 * is due on the centre line. */
static void settle(struct judge *judge) {
  struct sway *sway = &judge->sway;
  struct waving w = waving_of(judge);
  sway->is_found = find_first(&w, sway->next, sway->count);
  if (!sway->is_found) {
    judge_rows(judge, &w, sway->count - (int64_t)sway->room / 2);
    return;
  }
  w.halves = halves_until(&w, sway->far);
  find_mean(&w, sway->next, sway->count);
  sway->began = w.began;
  sway->is_judging = true;
}

/* Rows of the ring that are not to be waited for: the next block's, and those of the crossing that
 * the oldest row not judged lies in. */
static int64_t rows_spare(const struct judge *judge) {
  double half = 0.5 / judge->lay->procedure->oscillation.frequency;
  return BLOCK_ROWS + 2 + (int64_t)(half / judge->tick);
}

/* Rows behind which the sway is known to go on, and whose crossing is told whole; and the oldest,
 * if it has to make room. */
static void judge_known(struct judge *judge) {
  struct sway *sway = &judge->sway;
  struct waving w = waving_of(judge);
  double known = w.began + (double)halves_until(&w, sway->far) * w.half;
  double told = (double)(sway->count - 2) * w.tick - (w.is_by_way ? w.cross : 0);
  int64_t to = (int64_t)floor(fmin(known, told) / w.tick) - 1;
  int64_t least = sway->count + rows_spare(judge) - (int64_t)sway->room;
  judge_rows(judge, &w, to > least ? to : least);
}

/* A sway takes so many rows; as many as 64 of them take are kept, in a MiB, but 8 in any case. */
static size_t rows_kept(const struct judge *judge) {
  const struct procedure *p = judge->lay->procedure;
  double rows = 1 / (p->oscillation.frequency * judge->tick);
  double wait = p->travel_start_delay / judge->tick;
  size_t room = 4096;
  while (((double)room < 64 * rows + wait && room < (size_t)1 << 15) ||
         ((double)room < 8 * rows + wait && room < (size_t)1 << 24))
    room *= 2;
  return room;
}

void sway_open(struct judge *judge) {
  struct sway *sway = &judge->sway;
  if (!is_swaying(judge))
    return;
  struct sway last = *sway;
  size_t room = rows_kept(judge);
  if (room > last.room) {
    last.rows = arena_alloc(judge->arena, room, sizeof *last.rows);
    last.ways = arena_alloc(judge->arena, room, sizeof *last.ways);
    last.room = room;
  }
  *sway = (struct sway){.rows = last.rows, .ways = last.ways, .room = last.room, .far = -1};
}

static void add_row(struct judge *judge, const struct sway_row *row, double way) {
  struct sway *sway = &judge->sway;
  sway->rows[at(sway, sway->count)] = *row;
  sway->ways[at(sway, sway->count)] = way;
  if (fabs(row->deeper) >= judge->lay->procedure->oscillation.width / 4)
    sway->far = sway->count;
  sway->count++;
}

void sway_add(struct judge *judge, const struct sway_row *rows, const double *ways, size_t count) {
  struct sway *sway = &judge->sway;
  if (!is_swaying(judge))
    return;
  for (size_t i = 0; i < count; i++)
    if (judge->is_timed)
      add_row(judge, &rows[i], ways[i]);
    else
      add_rehearsed(judge, &rows[i]);
  if (!judge->is_timed || sway->count - sway->next + rows_spare(judge) < (int64_t)sway->room)
    return;
  if (!sway->is_judging)
    settle(judge);
  if (sway->is_judging)
    judge_known(judge);
}

/* A short run that is hurried may have no room for a whole sway between its own run-up and
 * run-down. Its speed is no more than twice the mean, for it comes up to it and down again. */
static bool may_not_sway(const struct judge *judge) {
  double way = judge->run.way, time = (double)judge->sway.count * judge->tick;
  double frequency = judge->lay->procedure->oscillation.frequency;
  double period = judge->lay->asked.most.of[ASKED_SPEED] / frequency;
  return way < 2 * pace_way_to(judge, 2 * way / time) + 2 * period;
}

static void close_rehearsed(struct judge *judge) {
  const struct sway *sway = &judge->sway;
  double amplitude = judge->lay->procedure->oscillation.width / 2;
  if (fmax(sway->most, -sway->least) <= TIP_MOST && may_not_sway(judge))
    return;
  if (sway->most < 0.8 * amplitude || sway->least > -0.8 * amplitude)
    finding_fault(
        judge->findings, CHECK_TIP, judge->run.way_row,
        "the tip sways from %.4f to %.4f mm in this run, %.4f to either side are asked for",
        sway->least, sway->most, amplitude);
}

/* When the run is shorter than the ring, all its crossings tell. */
static bool find_sway(struct judge *judge, struct waving *w) {
  struct sway *sway = &judge->sway;
  bool is_found = sway->is_judging || find_first(w, sway->next, sway->count);
  if (!is_found)
    return false;
  w->halves = halves_until(w, sway->far);
  if (!sway->is_judging)
    find_mean(w, sway->next, sway->count);
  return true;
}

void sway_close(struct judge *judge) {
  struct sway *sway = &judge->sway;
  struct pace *pace = &judge->pace;
  if (!is_swaying(judge) || sway->count < 2 || (judge->is_timed && pace->from < 0))
    return;
  if (!judge->is_timed) {
    close_rehearsed(judge);
    return;
  }
  struct waving w = waving_of(judge);
  if (find_sway(judge, &w))
    judge_extent(judge, &w, pace->from, pace->to);
  else if (judge->mode != BORELAY_RESUME ||
           (double)(pace->to - pace->from) * judge->tick > 6 * w.half)
    /* what is left of a resumed run may be too short for one */
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row,
                  "the tip does not sway in this run");
  judge_rows(judge, &w, sway->count);
}
