/* sway.c - the sway of one run, from how much deeper its rows lie than the lap's centre line.
 *
 * When it began is found from its crossings (wave.c).  Then each row is due, as soon as it is known
 * that the sway goes on behind it. */
#include <math.h>

#include "borelay/arena.h"
#include "verify/wave.h"

/* -- judging ----------------------------------------------------------------------------------- */

static const char *deeper_or_not(double deeper) {
  return deeper > 0 ? "deeper" : "shallower";
}

static void tell_row(struct judge *judge, int64_t row, const struct sway_row *at, struct due due) {
  double wanted = due.deeper, off = at->deeper - wanted;
  double below = fmax(fabs(off) - at->give - due.doubt, 0);
  double rounding = 2 * ROUND_MM + 1e-5; /* so sharp is the time at which it began */
  if (finding_most(judge->findings, CHECK_TIP, row, below, COURSE_TIP_MOST, rounding))
    return;
  finding_fault(judge->findings, CHECK_TIP, row,
                "the tip is %.4f mm too %s for its sway: %.4f mm %s than the lap's centre line, "
                "where %.4f mm %s is asked for",
                fabs(off), off > 0 ? "deep" : "shallow", fabs(at->deeper),
                deeper_or_not(at->deeper), fabs(wanted), deeper_or_not(wanted));
}

/* Whole sways fill what there is between run-up and run-down, but for less than one. */
static void judge_extent(struct judge *judge, const struct wave *w, int64_t from, int64_t to) {
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

static struct wave wave_of(const struct judge *judge) {
  const struct oscillation *asked = &judge->lay->procedure->oscillation;
  double half = 0.5 / asked->frequency;
  return (struct wave){.sway = &judge->sway,
                       .amplitude = asked->width / 2,
                       .half = half,
                       .cross = half - asked->dwell,
                       .began = judge->sway.is_found ? judge->sway.began : (double)INFINITY,
                       .halves = MANY,
                       .is_by_way = judge->lay->overlay->sector_count > 0,
                       .tick = judge->tick};
}

/* Rows up to this one. */
static void judge_rows(struct judge *judge, const struct wave *w, int64_t to) {
  struct sway *sway = &judge->sway;
  for (; sway->next < to; sway->next++)
    tell_row(judge, judge->run.way_row + sway->next, &sway->rows[sway_at(sway, sway->next)],
             wave_due(w, (double)sway->next * w->tick));
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
  struct wave w = wave_of(judge);
  sway->is_found = wave_find_first(&w, sway->next, sway->count);
  if (!sway->is_found) {
    judge_rows(judge, &w, sway->count - (int64_t)sway->room / 2);
    return;
  }
  w.halves = wave_halves_until(&w, sway->far);
  wave_find_mean(&w, sway->next, sway->count);
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
  struct wave w = wave_of(judge);
  double known = w.began + (double)wave_halves_until(&w, sway->far) * w.half;
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
  sway->rows[sway_at(sway, sway->count)] = *row;
  sway->ways[sway_at(sway, sway->count)] = way;
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
  if (fmax(sway->most, -sway->least) <= COURSE_TIP_MOST && may_not_sway(judge))
    return;
  if (sway->most < 0.8 * amplitude || sway->least > -0.8 * amplitude)
    finding_fault(
        judge->findings, CHECK_TIP, judge->run.way_row,
        "the tip sways from %.4f to %.4f mm in this run, %.4f to either side are asked for",
        sway->least, sway->most, amplitude);
}

/* When the run is shorter than the ring, all its crossings tell. */
static bool find_sway(struct judge *judge, struct wave *w) {
  struct sway *sway = &judge->sway;
  bool is_found = sway->is_judging || wave_find_first(w, sway->next, sway->count);
  if (!is_found)
    return false;
  w->halves = wave_halves_until(w, sway->far);
  if (!sway->is_judging)
    wave_find_mean(w, sway->next, sway->count);
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
  struct wave w = wave_of(judge);
  if (find_sway(judge, &w))
    judge_extent(judge, &w, pace->from, pace->to);
  else if (judge->mode != BORELAY_RESUME ||
           (double)(pace->to - pace->from) * judge->tick > 6 * w.half)
    /* what is left of a resumed run may be too short for one */
    finding_fault(judge->findings, CHECK_TIP, judge->run.way_row,
                  "the tip does not sway in this run");
  judge_rows(judge, &w, sway->count);
}
