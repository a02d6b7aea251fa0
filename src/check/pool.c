/* pool.c - what the pool gains on one that goes at constant speed.
 *
 * In cruise q = v t.  The pool lies below the tip, so over a piece its place along the wall is
 * G(q) = k turn(q), k = 1 on a line, the pool's radius on an arc, and its depth goes with z(q). Its
 * own speed is v sqrt(G'^2 + z'^2) = v sigma; it gains E(q) = integral (sigma - 1) dq on the
 * nominal one.  If E changes by e over a stretch on which the pool goes w = 0.5 mm, that takes (w -
 * e) / v, and the mean speed is v w / (w - e).
 *
 * With z' constant, flat^2 = 1 - z'^2, sigma - 1 = (G' - flat)(G' + flat) / (sigma + 1): the first
 * factor integrates to the cubic G - flat q exactly, the second is nearly constant; its range makes
 * E known to second order.  On an eased slope z' varies, and the range of sigma - 1 is taken in
 * short steps. */
#include "check/pool.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

static const double WINDOW = 0.5; /* mm */
static const double LIMIT = 0.01;

struct pool_judge pool_begin(const struct scene *scene) {
  return (struct pool_judge){.scene = scene, .worst = {.value = -1}};
}

static struct range range_of(struct cubic p, double a, double b) {
  struct range r;
  cubic_range(p, a, b, &r.lo, &r.hi);
  return r;
}

static struct cubic slope_of(struct cubic p) {
  return (struct cubic){p.c1, 2 * p.c2, 3 * p.c3, 0};
}

static struct range sum(struct range a, struct range b) {
  return (struct range){a.lo + b.lo, a.hi + b.hi};
}

static struct range hull(struct range a, struct range b) {
  return (struct range){fmin(a.lo, b.lo), fmax(a.hi, b.hi)};
}

static struct range widened(struct range a, double by) {
  return (struct range){a.lo - by, a.hi + by};
}

static double speed_ratio(double along, double sink) {
  return sqrt(along * along + sink * sink);
}

/* z' constant: the part from the cubic of G - flat q over x = 0 .. length. */
static struct pool_part part_even(struct cubic place, double sink, double length) {
  double flat = sqrt(fmax(0, 1 - sink * sink));
  struct range along = range_of(slope_of(place), 0, length);
  double at_lo = (along.lo + flat) / (speed_ratio(along.lo, sink) + 1);
  double at_hi = (along.hi + flat) / (speed_ratio(along.hi, sink) + 1);
  double factor = (at_lo + at_hi) / 2; /* the factor rises with G' */
  double doubt =
      fabs(at_hi - at_lo) / 2 * fmax(fabs(along.lo - flat), fabs(along.hi - flat)) * length;
  struct cubic gain = {0, factor * (place.c1 - flat), factor * place.c2, factor * place.c3};
  double end = cubic_at(gain, length);
  struct range reached = range_of(gain, 0, length);
  struct pool_part part = {.length = length};
  part.whole = widened((struct range){end, end}, doubt);
  part.head = widened(reached, doubt);
  part.tail = widened((struct range){end - reached.hi, end - reached.lo}, doubt);
  double swing = reached.hi - reached.lo;
  /* Where G' - flat keeps its sign the gain only rises, or only falls. */
  part.inside =
      widened((struct range){along.lo >= flat ? 0 : -swing, along.hi <= flat ? 0 : swing}, doubt);
  return part;
}

static struct pool_part part_eased(struct cubic place, struct cubic z, double length) {
  struct range along = range_of(slope_of(place), 0, length);
  struct range sink = range_of(slope_of(z), 0, length);
  double least = sink.lo <= 0 && sink.hi >= 0 ? 0 : fmin(fabs(sink.lo), fabs(sink.hi));
  double most = fmax(fabs(sink.lo), fabs(sink.hi));
  struct range gain = {(speed_ratio(fmax(along.lo, 0), least) - 1) * length,
                       (speed_ratio(along.hi, most) - 1) * length};
  struct pool_part part = {.length = length, .whole = gain};
  part.head = part.tail = part.inside = hull(gain, (struct range){0, 0});
  return part;
}

/* Place along the wall and height over the way, seen from its beginning; the place rises. */
struct advance {
  struct cubic place, z;
  double length;
};

static struct advance advance_of(const struct curve *curve, const struct tip_way *way,
                                 const struct contour_seg *seg, double offset) {
  double k = seg->turn == 0 ? 1 : seg->radius - seg->turn * offset;
  double length = way->qb - way->qa;
  struct cubic place = cubic_shift(curve->turn, way->qa), z = cubic_shift(curve->z, way->qa);
  if (cubic_at(place, length) < place.c0)
    k = -k;
  place = (struct cubic){0, k * place.c1, k * place.c2, k * place.c3};
  return (struct advance){place, z, length};
}

/* The speed asked for is one all along the run. */
static bool is_even(const struct pool_judge *judge) {
  return judge->info.speed_blur == 0 && judge->info.speed_drift == 0;
}

/* On a ramp between sectors the speed asked for is that of the place.  What is asked for the pool's
 * own 0.5 mm and what the profile takes for the nominal path, shorter by the gain and shifted by no
 * more than a window's slip, are means of the speed over stretches that differ by so much of their
 * length; the rounded ends of ramps come on top. */
static double blur_of(const struct pool_judge *judge, double gain) {
  if (is_even(judge))
    return 0;
  return judge->info.speed_blur + judge->info.speed_drift * (fabs(gain) + LIMIT * WINDOW);
}

/* The pool gains `gain` on a stretch of 0.5 mm, at nominal speed v. */
static void judge_gain(struct pool_judge *judge, struct range gain, double v, double wanted,
                       double t) {
  double ends[2] = {gain.lo, gain.hi};
  for (int i = 0; i < 2; i++) {
    double mean = v * WINDOW / fmax(WINDOW - ends[i], 1e-9);
    double blur = blur_of(judge, ends[i]);
    double off = fabs(mean / wanted - 1);
    if (blur > 0) {
      bool slow = mean < wanted;
      mean *= slow ? 1 - blur : 1 + blur;
      off = fabs(mean / wanted - 1);
    }
    if (off > judge->worst.value) {
      judge->worst = (struct peak){off, t, judge->phase};
      judge->mean = mean;
    }
  }
}

/* Parts that lie too far behind to share a window with what comes. */
static void forget(struct pool_judge *judge) {
  double behind = 0;
  size_t keep = 0;
  if (judge->count == 0)
    return;
  while (keep < judge->count && behind <= 1.1 * WINDOW)
    behind += judge->parts[judge->count - ++keep].length;
  memmove(judge->parts, judge->parts + judge->count - keep, keep * sizeof *judge->parts);
  judge->count = keep;
}

static void remember(struct pool_judge *judge, const struct pool_part *part) {
  if (judge->count == judge->room)
    forget(judge);
  if (judge->count == judge->room) {
    size_t room = 2 * judge->room + 64;
    judge->parts =
        arena_grow(judge->scene->arena, judge->parts, judge->count, room, sizeof *judge->parts);
    judge->room = room;
  }
  judge->parts[judge->count++] = *part;
}

/* The mean speed rises with the gain, so that of many windows with one nominal speed the least gain
 * or the most leads farthest off; where the speed asked for changes, each is judged. */
static void part_add(struct pool_judge *judge, struct pool_part part, double v, double wanted,
                     double t) {
  bool even = is_even(judge);
  struct range all = part.inside;
  struct range ahead = part.head; /* from the end of parts[i - 1] to anywhere in the new one */
  double between = 0;
  if (!even)
    judge_gain(judge, part.inside, v, wanted, t);
  for (size_t i = judge->count; i > 0 && between <= 1.1 * WINDOW; i--) {
    const struct pool_part *before = &judge->parts[i - 1];
    struct range gain = sum(before->tail, ahead);
    if (!even)
      judge_gain(judge, gain, v, wanted, t);
    all.lo = gain.lo < all.lo ? gain.lo : all.lo;
    all.hi = gain.hi > all.hi ? gain.hi : all.hi;
    ahead = sum(ahead, before->whole);
    between += before->length;
  }
  if (even)
    judge_gain(judge, all, v, wanted, t);
  remember(judge, &part);
}

/* An eased slope in so many steps: what the ranges hold too much shrinks with their width. */
enum { EASED_STEPS = 32 };

static void advance_add(struct pool_judge *judge, const struct advance *advance, double v,
                        double wanted, double t) {
  if (advance->z.c2 == 0 && advance->z.c3 == 0) {
    part_add(judge, part_even(advance->place, advance->z.c1, advance->length), v, wanted, t);
    return;
  }
  double step = advance->length / EASED_STEPS;
  for (int i = 0; i < EASED_STEPS; i++)
    part_add(
        judge,
        part_eased(cubic_shift(advance->place, i * step), cubic_shift(advance->z, i * step), step),
        v, wanted, t + i * step / v);
}

/* In cruise the profile is straight and the pool moves. */
static bool is_cruise(const struct run_info *info, const struct piece *piece) {
  double mid = piece->t0 + (piece->t1 - piece->t0) / 2;
  return mid > info->travel_t0 + info->run_up && mid < info->travel_t1 - info->run_down &&
         piece->q.c1 > 0;
}

/* The profile's speed over that asked for, at the end of a piece at which it is farther off;
 * between the ends it is off by no more than the blur of the ramps' rounded ends. */
static double share_of_asked(const struct pool_judge *judge, const struct phase *phase,
                             const struct piece *piece) {
  const struct motion *motion = judge->scene->motion;
  double at_a = run_values_at(motion, phase, piece->t0).travel_speed;
  double at_b = run_values_at(motion, phase, piece->t1).travel_speed;
  double a = piece->q.c1 / at_a, b = cubic_derivative(piece->q, piece->t1 - piece->t0, 1) / at_b;
  return fabs(a - 1) > fabs(b - 1) ? a : b;
}

static void phase_take(struct pool_judge *judge, const struct phase *phase) {
  if (judge->phase == phase)
    return;
  judge->phase = phase;
  judge->info = phase_run_info(judge->scene->motion, phase);
  judge->changes = run_values_change(phase);
  if (!judge->changes)
    judge->wanted = run_values_at(judge->scene->motion, phase, judge->info.travel_t0).travel_speed;
}

void pool_way(struct pool_judge *judge, const struct phase *phase, const struct piece *piece,
              const struct tip_way *way, const struct contour_seg *seg) {
  if (phase->kind != PHASE_WELD && phase->kind != PHASE_DOWNSLOPE)
    return;
  phase_take(judge, phase);
  if (way->kind == TIP_PLACE || !is_cruise(&judge->info, piece))
    return;
  if (piece->t0 > judge->end + 1e-6)
    judge->count = 0;
  judge->end = piece->t1;
  struct advance advance = advance_of(&piece->curve, way, seg, judge->info.layer->offset);
  double v = piece->q.c1;
  if (judge->changes) {
    judge->wanted = run_values_at(judge->scene->motion, phase, piece->t0).travel_speed;
    v = share_of_asked(judge, phase, piece) * judge->wanted;
  }
  advance_add(judge, &advance, v, judge->wanted, piece->t0);
}

struct check_result pool_end(const struct pool_judge *judge) {
  if (!judge->worst.phase)
    return finding_not_asked("travel-speed", "%");
  const char *what = arena_format(judge->scene->arena, "%.3f mm/min", judge->mean * 60);
  struct check_result result = finding_at(judge->scene, "travel-speed", &judge->worst, what);
  result.worst = judge->worst.value * 100;
  result.limit = LIMIT * 100;
  result.unit = "%";
  result.passed = judge->worst.value <= LIMIT * (1 + CHECK_SLACK);
  return result;
}
