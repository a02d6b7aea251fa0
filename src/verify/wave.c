/* wave.c - where a tip that sways has to be.
 *
 * In time, in cruise: half sways of h = 1/(2 frequency), a crossing of C = h - dwell and then the
 * dwell.  The one thing that rows have to tell is when it began; every crossing tells that once
 * more, at its middle, where the tip goes fastest, and the mean is taken of as many as a ring of
 * rows holds. */
#include "verify/wave.h"

#include <math.h>

static const double UNEVEN = 1e-4; /* share of a crossing: there the speed changes */

static const struct sway_row *row_of(const struct wave *w, int64_t row) {
  return &w->sway->rows[sway_at(w->sway, row)];
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
static double way_at(const struct wave *w, double t) {
  const struct sway *sway = w->sway;
  double rows = t / w->tick, below = floor(rows);
  int64_t first = sway->count > (int64_t)sway->room ? sway->count - (int64_t)sway->room : 0;
  if (below < (double)first)
    return sway->ways[sway_at(sway, first)];
  if (below + 1 >= (double)sway->count)
    return sway->ways[sway_at(sway, sway->count - 1)];
  double here = sway->ways[sway_at(sway, (int64_t)below)];
  return here + (rows - below) * (sway->ways[sway_at(sway, (int64_t)below + 1)] - here);
}

/* Share of a crossing that is behind the tip; by the pool's way it is known but for `doubt`. */
struct crossed {
  double share, doubt;
};

/* The first crossing begins between two rows of which the pool comes up to speed on the way to the
 * later one: from the two behind. */
static double way_first(const struct wave *w, double t) {
  double next = (floor(t / w->tick) + 1) * w->tick, way = way_at(w, next);
  return way - (way_at(w, next + w->tick) - way) * (next - t) / w->tick;
}

/* A crossing by the pool's way. */
struct crossing {
  double begin, from, length; /* s; mm */
};

static double share_of_way(const struct wave *w, const struct crossing *crossing, double t) {
  return (way_at(w, t) - crossing->from) / crossing->length;
}

/* The largest difference of the share by way from that by time, looked for at its quarters. */
static double uneven_most(const struct wave *w, const struct crossing *crossing) {
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
static struct crossed crossed_at(const struct wave *w, double begin, double t) {
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

struct due wave_due(const struct wave *w, double t) {
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
static bool row_tells(const struct wave *w, int64_t j, double t, double deeper, double *began) {
  double end = j % 2 == 0 ? w->amplitude : -w->amplitude, from = j == 0 ? 0 : -end;
  double share = (deeper - from) / (end - from);
  if (share < 0.2 || share > 0.8)
    return false;
  *began = t - (double)j * w->half - time_gone(share) * w->cross;
  return true;
}

/* From the first crossing. */
bool wave_find_first(struct wave *w, int64_t from, int64_t to) {
  while (from < to && !row_tells(w, 0, (double)from * w->tick, row_of(w, from)->deeper, &w->began))
    from++;
  return from < to;
}

/* From the last row that is well off the centre line: the last crossing leads back to it. */
int64_t wave_halves_until(const struct wave *w, int64_t far) {
  double back = (double)(far < 0 ? 0 : far) * w->tick - w->began - w->cross / 2;
  return 2 * (int64_t)floor(back / (2 * w->half) + 0.5);
}

/* The mean over all crossings from end to end that are where the first one lets them be looked for;
 * not where the centre line may be off itself. */
void wave_find_mean(struct wave *w, int64_t from, int64_t to) {
  double sum = 0, here;
  int64_t crossings = 0, last = 0;
  for (int64_t i = from; i < to; i++) {
    const struct sway_row *row = row_of(w, i);
    double t = (double)i * w->tick;
    int64_t j = (int64_t)floor((t - w->began) / w->half);
    if (j <= last || j >= w->halves || row->give > COURSE_TIP_MOST / 4 ||
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
