/* asked.c - the wall is cut wherever a ray or an end of a sector meets it; which sector holds the
 * middle of each cut tells the values, and where these differ from one cut to the next they turn.
 */
#include "verify/asked.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/lay.h"

enum { CUTS = 512 };
static const double SLIVER = 1e-5; /* mm: cuts nearer to one another are one */

static double into(double value, double whole) {
  return value - whole * floor(value / whole);
}

static bool holds(const struct sector *sector, const struct wall *wall, double s) {
  if (!sector->has_angles) {
    double length = sector->along.hi - sector->along.lo;
    return into(s - sector->along.lo, wall->perimeter) < length;
  }
  vec2 arm = vec2_sub(wall_spot(wall, s).at, wall->centre);
  return into(num_atan2(arm.y, arm.x) - sector->angles.lo, NUM_TURN) <
         sector->angles.hi - sector->angles.lo;
}

static const struct sector *sector_at(const struct overlay *overlay, const struct wall *wall,
                                      double s) {
  for (size_t i = 0; i < overlay->sector_count; i++)
    if (holds(&overlay->sectors[i], wall, s))
      return &overlay->sectors[i];
  return NULL;
}

static struct values values_of(const struct procedure *p, const struct sector *sector) {
  struct values v = {{p->current, p->voltage, p->travel_speed, p->wire_feed_speed}};
  if (!sector)
    return v;
  if (sector->has_current)
    v.of[ASKED_CURRENT] = sector->current;
  if (sector->has_voltage)
    v.of[ASKED_VOLTAGE] = sector->voltage;
  if (sector->has_travel_speed)
    v.of[ASKED_SPEED] = sector->travel_speed;
  if (sector->has_wire_feed_speed)
    v.of[ASKED_WIRE] = sector->wire_feed_speed;
  return v;
}

static double ramp_of(const struct sector *sector, const struct wall *wall,
                      const struct procedure *p) {
  if (!sector)
    return 0;
  double per = sector->ramp.is_angle ? wall->diameter / 2 : 1;
  return sector->has_ramp ? per * sector->ramp.value : 2 * (p->bead_width + p->oscillation.width);
}

/* -- cuts -------------------------------------------------------------------------------------- */

static size_t cuts_find(const struct overlay *overlay, const struct wall *wall, double *cuts) {
  size_t count = 0;
  for (size_t i = 0; i < overlay->sector_count && count + 2 < CUTS; i++) {
    const struct sector *sector = &overlay->sectors[i];
    if (!sector->has_angles) {
      cuts[count++] = into(sector->along.lo, wall->perimeter);
      cuts[count++] = into(sector->along.hi, wall->perimeter);
      continue;
    }
    for (int end = 0; end < 2; end++) {
      size_t room = CUTS - count;
      size_t met = wall_ray(wall, end ? sector->angles.hi : sector->angles.lo, cuts + count, room);
      count += met < room ? met : room;
    }
  }
  for (size_t i = 1; i < count; i++)
    for (size_t k = i; k > 0 && cuts[k] < cuts[k - 1]; k--) {
      double keep = cuts[k];
      cuts[k] = cuts[k - 1];
      cuts[k - 1] = keep;
    }
  size_t kept = 0;
  for (size_t i = 0; i < count; i++)
    if (kept == 0 || cuts[i] - cuts[kept - 1] > SLIVER)
      cuts[kept++] = cuts[i];
  if (kept > 1 && cuts[0] + wall->perimeter - cuts[kept - 1] <= SLIVER)
    kept--;
  return kept;
}

static bool differ(const struct values *a, const struct values *b) {
  for (int i = 0; i < ASKED_COUNT; i++)
    if (a->of[i] != b->of[i])
      return true;
  return false;
}

static double middle_after(const double *cuts, size_t count, size_t i, double whole) {
  double next = i + 1 < count ? cuts[i + 1] : cuts[0] + whole;
  return (cuts[i] + next) / 2;
}

static void turnings_find(struct asked_lap *lap, const struct overlay *overlay,
                          const struct wall *wall, const struct procedure *p) {
  double cuts[CUTS];
  size_t count = cuts_find(overlay, wall, cuts);
  for (size_t i = 0; i < count; i++) {
    size_t last = (i + count - 1) % count;
    const struct sector *before =
        sector_at(overlay, wall, middle_after(cuts, count, last, wall->perimeter));
    const struct sector *after =
        sector_at(overlay, wall, middle_after(cuts, count, i, wall->perimeter));
    struct turning turning = {.at = cuts[i],
                              .ramp = fmax(ramp_of(before, wall, p), ramp_of(after, wall, p)),
                              .low = values_of(p, before),
                              .high = values_of(p, after)};
    if (before != after && differ(&turning.low, &turning.high))
      lap->turnings[lap->count++] = turning;
  }
}

/* -- figures of a lap -------------------------------------------------------------------------- */

static double area_of(const struct procedure *p, double wire, double speed) {
  return NUM_PI / 4 * p->wire_diameter * p->wire_diameter * wire / speed;
}

static struct values mixed(const struct values *a, const struct values *b, double u) {
  struct values v;
  for (int i = 0; i < ASKED_COUNT; i++)
    v.of[i] = a->of[i] * (1 - u) + b->of[i] * u;
  return v;
}

static void figures_meet(struct asked_lap *lap, const struct procedure *p, const struct values *v) {
  for (int i = 0; i < ASKED_COUNT; i++) {
    lap->least.of[i] = fmin(lap->least.of[i], v->of[i]);
    lap->most.of[i] = fmax(lap->most.of[i], v->of[i]);
  }
  double area = area_of(p, v->of[ASKED_WIRE], v->of[ASKED_SPEED]);
  double energy = v->of[ASKED_CURRENT] * v->of[ASKED_VOLTAGE] / v->of[ASKED_SPEED] / 1000;
  lap->area_least = fmin(lap->area_least, area);
  lap->area_most = fmax(lap->area_most, area);
  lap->arc_energy.lo = fmin(lap->arc_energy.lo, energy);
  lap->arc_energy.hi = fmax(lap->arc_energy.hi, energy);
}

/* Over a ramp the metal is the mean wire times its time; the energy is looked at in small steps, so
 * that what lies between two of them is off by the square of one. */
static void figures_find(struct asked_lap *lap, const struct wall *wall,
                         const struct procedure *p) {
  enum { STEPS = 2000 };
  double metal = 0;
  for (size_t i = 0; i < lap->count; i++) {
    const struct turning *t = &lap->turnings[i], *next = &lap->turnings[(i + 1) % lap->count];
    double apart = next->at - t->at + (i + 1 == lap->count ? wall->perimeter : 0);
    double level = apart - (t->ramp + next->ramp) / 2;
    double wire = (t->low.of[ASKED_WIRE] + t->high.of[ASKED_WIRE]) / 2;
    double speed = (t->low.of[ASKED_SPEED] + t->high.of[ASKED_SPEED]) / 2;
    metal += area_of(p, wire, speed) * t->ramp +
             area_of(p, t->high.of[ASKED_WIRE], t->high.of[ASKED_SPEED]) * level;
    for (int k = 0; k <= STEPS; k++) {
      struct values v = mixed(&t->low, &t->high, (double)k / STEPS);
      figures_meet(lap, p, &v);
    }
  }
  if (lap->count > 0)
    lap->area = metal / wall->perimeter;
}

struct asked_lap asked_lap_make(struct arena *arena, const struct overlay *overlay,
                                const struct wall *wall, const struct procedure *procedure) {
  struct asked_lap lap = {.area_least = INFINITY, .arc_energy = {INFINITY, -INFINITY}};
  if (overlay->sector_count > 0) {
    lap.turnings = arena_alloc(arena, CUTS, sizeof *lap.turnings);
    turnings_find(&lap, overlay, wall, procedure);
  }
  lap.even = values_of(procedure, sector_at(overlay, wall, 0));
  lap.least = lap.most = lap.even;
  lap.area = area_of(procedure, lap.even.of[ASKED_WIRE], lap.even.of[ASKED_SPEED]);
  figures_meet(&lap, procedure, &lap.even);
  figures_find(&lap, wall, procedure);
  return lap;
}

/* -- at a place -------------------------------------------------------------------------------- */

static double within(double value, double lo, double hi) {
  return fmin(fmax(value, lo), hi);
}

/* What a way on a stepped layer is longer than level for its steps; from <= to. */
static double over_steps(const struct lay *lay, size_t path, double from, double to) {
  if (lay->overlay->pattern != PATTERN_STEPPED || lay->laps == 1 || to <= 0)
    return 0;
  double sum = 0, last = fmin(floor(to / lay->unit), (double)lay->laps - 2);
  for (double n = fmax(floor(from / lay->unit), 0); n <= last; n++) {
    double end = (n + 1) * lay->unit, begin = end - lay->step;
    double lo = within(from, begin, end), hi = within(to, begin, end);
    if (lo >= hi)
      continue;
    double way = lay_pool_way(lay, path, end) - lay_pool_way(lay, path, begin);
    double share = (lay_pool_way(lay, path, hi) - lay_pool_way(lay, path, lo)) / way;
    sum += share * (num_hypot(way, lay_sink(lay, n)) - way);
  }
  return sum;
}

static double way_between(const struct lay *lay, size_t path, double from, double to) {
  return lay_pool_way(lay, path, to) - lay_pool_way(lay, path, from) +
         over_steps(lay, path, from, to);
}

/* Beside all ramps: what the last turning before s leads to. */
static const struct values *level_at(const struct asked_lap *lap, double s, double whole) {
  const struct values *level = &lap->even;
  double nearest = INFINITY;
  for (size_t i = 0; i < lap->count; i++) {
    double behind = into(s - lap->turnings[i].at, whole);
    if (behind < nearest) {
      nearest = behind;
      level = &lap->turnings[i].high;
    }
  }
  return level;
}

struct values asked_at(const struct lay *lay, size_t path, double sigma) {
  const struct asked_lap *lap = &lay->asked;
  if (lap->count == 0)
    return lap->even;
  double s = lay_s(lay, path, sigma), whole = lay->wall->perimeter;
  for (size_t i = 0; i < lap->count; i++) {
    const struct turning *t = &lap->turnings[i];
    double from_low = into(s - (t->at - t->ramp / 2), whole);
    if (from_low >= t->ramp)
      continue;
    double begin = sigma - (lay->dir > 0 ? from_low : t->ramp - from_low);
    double x =
        way_between(lay, path, begin, sigma) / way_between(lay, path, begin, begin + t->ramp);
    const struct values *a = lay->dir > 0 ? &t->low : &t->high;
    const struct values *b = lay->dir > 0 ? &t->high : &t->low;
    double va = a->of[ASKED_SPEED], vb = b->of[ASKED_SPEED];
    double v = sqrt(va * va + (vb * vb - va * va) * x);
    return mixed(a, b, fabs(vb - va) > 1e-9 * va ? (v - va) / (vb - va) : x);
  }
  return *level_at(lap, s, whole);
}

struct asked_level asked_level_at(const struct lay *lay, size_t path, double sigma) {
  const struct asked_lap *lap = &lay->asked;
  struct asked_level level = {lap->even, {-INFINITY, INFINITY}};
  double s = lay_s(lay, path, sigma), whole = lay->wall->perimeter;
  for (size_t i = 0; i < lap->count; i++) {
    const struct turning *t = &lap->turnings[i];
    double low = t->at - t->ramp / 2, below = into(low - s, whole), in_ramp = into(s - low, whole);
    double above = in_ramp - t->ramp; /* behind the ramp; it is next to be met going down */
    if (above < 0)
      return (struct asked_level){level.values, {sigma, sigma}};
    level.sigma.hi = fmin(level.sigma.hi, sigma + (lay->dir > 0 ? below : above));
    level.sigma.lo = fmax(level.sigma.lo, sigma - (lay->dir > 0 ? above : below));
  }
  if (lap->count > 0)
    level.values = *level_at(lap, s, whole);
  return level;
}

struct asked_span asked_about(const struct lay *lay, size_t path, double sigma, double back,
                              double ahead) {
  struct values here = asked_at(lay, path, sigma);
  struct asked_span about = {here, here};
  if (lay->asked.count == 0)
    return about;
  for (int end = 0; end < 2; end++) {
    struct values v = asked_at(lay, path, end ? sigma + ahead : sigma - back);
    for (int i = 0; i < ASKED_COUNT; i++) {
      about.lo.of[i] = fmin(about.lo.of[i], v.of[i]);
      about.hi.of[i] = fmax(about.hi.of[i], v.of[i]);
    }
  }
  return about;
}
