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
 * E known to second order.  On an eased slope z' varies, and sigma^2 - 1 is integrated instead. */
#include "check/pool.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

static const double WINDOW = 0.5; /* mm */
static const double LIMIT = 0.01;
static const double GAIN_NOTHING = 1e-13; /* mm: rounding */

struct pool_judge pool_begin(const struct scene *scene) {
  return (struct pool_judge){.scene = scene, .worst = {.value = -1}};
}

struct pool_part { /* a stretch of the pool's path, by what it gains on a pool of constant speed, mm
                    */
  double length;   /* nominal */
  struct range whole, head, tail; /* all of it; its beginning to any place; any place to its end */
  struct range inside;            /* any place to any later place */
};

static struct range range_of(struct cubic p, double a, double b) {
  struct range r;
  cubic_range(p, a, b, &r.lo, &r.hi);
  return r;
}

static struct cubic slope_of(struct cubic p) {
  return (struct cubic){p.c1, 2 * p.c2, 3 * p.c3, 0};
}

static struct range widened(struct range a, double by) {
  return (struct range){a.lo - by, a.hi + by};
}

static double speed_ratio(double along, double sink) {
  return sqrt(along * along + sink * sink);
}

/* G' and z' constant: the gain grows evenly. */
static struct pool_part part_straight(double along, double sink, double length) {
  double flat = sqrt(num_larger(0, 1 - sink * sink));
  double gain = (along + flat) / (speed_ratio(along, sink) + 1) * (along - flat) * length;
  struct range reached = {num_lesser(gain, 0), num_larger(gain, 0)};
  return (struct pool_part){length, {gain, gain}, reached, reached, reached};
}

/* z' constant: the part from the cubic of G - flat q over x = 0 .. length. */
static struct pool_part part_even(struct cubic place, double sink, double length) {
  double flat = sqrt(num_larger(0, 1 - sink * sink));
  struct range along = range_of(slope_of(place), 0, length);
  double at_lo = (along.lo + flat) / (speed_ratio(along.lo, sink) + 1);
  double at_hi = (along.hi + flat) / (speed_ratio(along.hi, sink) + 1);
  double factor = (at_lo + at_hi) / 2; /* the factor rises with G' */
  double doubt =
      fabs(at_hi - at_lo) / 2 * num_larger(fabs(along.lo - flat), fabs(along.hi - flat)) * length;
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

/* p'^2 over x = 0 .. length, added to what g's Bernstein polynomials are taken with. */
static void square_of_slope(struct cubic p, double length, double g[5]) {
  double first = p.c1, mid = p.c1 + p.c2 * length, last = cubic_derivative(p, length, 1);
  g[0] += first * first;
  g[1] += first * mid;
  g[2] += (first * last + 2 * mid * mid) / 3;
  g[3] += mid * last;
  g[4] += last * last;
}

/* z' varies, and sigma - 1 = g / (sigma + 1) with g = G'^2 + z'^2 - 1 of fourth degree.  As a sum
 * of Bernstein polynomials over the part, each of which is nowhere less than 0, has length / 5 for
 * its integral, and which together are 1 (Farin, Curves and Surfaces for CAGD, chapter 5; from
 * memory), g lies between the least and the largest of what they are taken with, its integral over
 * all of the part is the sum of these times length / 5, and over a stretch of it no more than the
 * sum of those above 0, nor less than that of those below. */
static struct pool_part part_eased(struct cubic place, struct cubic z, double length) {
  double g[5] = {-1, -1, -1, -1, -1}, sum = 0, up = 0;
  square_of_slope(place, length, g);
  square_of_slope(z, length, g);
  struct range all = {g[0], g[0]};
  for (int k = 0; k < 5; k++) {
    all = (struct range){num_lesser(all.lo, g[k]), num_larger(all.hi, g[k])};
    sum += g[k];
    up += g[k] > 0 ? g[k] : 0;
  }
  double down = sum - up, share = length / 5;
  struct range factor = {1 / (1 + sqrt(1 + all.hi)), 1 / (1 + sqrt(num_larger(1 + all.lo, 0)))};
  double mid = (factor.lo + factor.hi) / 2, doubt = (factor.hi - factor.lo) / 2 * (up - down);
  struct pool_part part = {.length = length};
  part.whole = (struct range){share * (mid * sum - doubt), share * (mid * sum + doubt)};
  part.head = part.tail = part.inside =
      (struct range){share * factor.hi * down, share * factor.hi * up};
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

/* On a ramp between sectors the speed asked for is that of the place.  What is asked for the pool's
 * own 0.5 mm and what the profile takes for the nominal path, shorter by the gain and shifted by no
 * more than a window's slip, are means of the speed over stretches that differ by so much of their
 * length; the rounded ends of ramps come on top. */
static double blur_of(const struct run_info *info, struct range gain) {
  if (info->speed_blur == 0 && info->speed_drift == 0)
    return 0;
  double most = num_larger(fabs(gain.lo), fabs(gain.hi));
  return info->speed_blur + info->speed_drift * (most + LIMIT * WINDOW);
}

/* The pool gains `gain` on stretches of 0.5 mm, at nominal speed v: the mean speed rises with the
 * gain, so the least or the most leads farthest off. */
static void judge_gain(struct pool_judge *judge, struct range gain, double v, double wanted,
                       double t) {
  double ends[2] = {gain.lo, gain.hi}, blur = blur_of(&judge->info, gain);
  for (int i = 0; i < 2; i++) {
    double mean = v * WINDOW / num_larger(WINDOW - ends[i], 1e-9);
    mean *= mean < wanted ? 1 - blur : 1 + blur;
    double off = fabs(mean / wanted - 1);
    if (!(off <= judge->worst.value)) { /* what is no number is more than any */
      judge->worst = (struct peak){isnan(off) ? HUGE_VAL : off, t, judge->phase};
      judge->mean = mean;
    }
  }
}

/* -- windows over several parts ----------------------------------------------------------------
 * What is gained from a place in part i to one in the new part n is
 *     tail_i + (G_n-1 - G_i) + head_n,   G_k: gained by all parts up to k.
 * So of all parts in reach the one with the least tail_i - G_i makes the least of it.  A part that
 * has more than one behind it never will: it goes out of reach first. */

static void front_drop(struct pool_front *front, double way) {
  while (front->count > 0 && way - front->marks[front->first].end > 1.1 * WINDOW) {
    front->first++;
    front->count--;
  }
}

/* sign: + the least counts, - the most. */
static void front_add(struct arena *arena, struct pool_front *front, struct pool_mark mark,
                      double sign) {
  while (front->count > 0 &&
         sign * front->marks[front->first + front->count - 1].gain >= sign * mark.gain)
    front->count--;
  if (front->first > 0 && (front->count == 0 || front->first + front->count == front->room)) {
    memmove(front->marks, front->marks + front->first, front->count * sizeof mark);
    front->first = 0;
  }
  if (front->count == front->room) {
    size_t room = 2 * front->room + 16;
    front->marks = arena_grow(arena, front->marks, front->count, room, sizeof mark);
    front->room = room;
  }
  front->marks[front->first + front->count++] = mark;
}

static void forget(struct pool_judge *judge) {
  judge->least.count = judge->most.count = 0;
  judge->gained = (struct range){0, 0};
  judge->way = 0;
}

/* A window that begins in such a part gains what one gains that begins with the next part. */
static bool is_nothing(const struct pool_part *part) {
  return part->tail.hi <= GAIN_NOTHING && part->tail.lo >= -GAIN_NOTHING &&
         part->whole.hi <= GAIN_NOTHING && part->whole.lo >= -GAIN_NOTHING;
}

static void part_add(struct pool_judge *judge, const struct pool_part *part, double v,
                     double wanted, double t) {
  struct pool_front *least = &judge->least, *most = &judge->most;
  struct range all = part->inside, before = judge->gained;
  front_drop(least, judge->way);
  front_drop(most, judge->way);
  if (least->count > 0)
    all.lo = num_lesser(all.lo, least->marks[least->first].gain + before.lo + part->head.lo);
  if (most->count > 0)
    all.hi = num_larger(all.hi, most->marks[most->first].gain + before.hi + part->head.hi);
  judge_gain(judge, all, v, wanted, t);
  judge->gained = (struct range){before.lo + part->whole.lo, before.hi + part->whole.hi};
  judge->way += part->length;
  if (is_nothing(part))
    return;
  struct arena *arena = judge->scene->arena;
  front_add(arena, least, (struct pool_mark){part->tail.lo - judge->gained.lo, judge->way}, 1);
  front_add(arena, most, (struct pool_mark){part->tail.hi - judge->gained.hi, judge->way}, -1);
}

/* A window may begin or end anywhere in a part, which then counts with the most that it may gain:
 * what gains more than next to nothing is halved until it is short beside a window and known
 * closely, but so often at most. */
static const double CLOSE = 1e-7; /* mm: 1/50,000 of what the limit allows */
enum { SHORT_PART = 32, EASED_HALVED_MOST = 5 };

static bool is_close(const struct pool_part *part) {
  double doubt = part->whole.hi - part->whole.lo;
  double swing = part->inside.hi - part->inside.lo;
  return swing <= CLOSE || (part->length <= WINDOW / SHORT_PART && doubt <= CLOSE);
}

static void eased_add(struct pool_judge *judge, const struct advance *advance, double v,
                      double wanted, double t, int halved) {
  struct pool_part part = part_eased(advance->place, advance->z, advance->length);
  if (is_close(&part) || halved == EASED_HALVED_MOST) {
    part_add(judge, &part, v, wanted, t);
    return;
  }
  double half = advance->length / 2;
  struct advance first = {advance->place, advance->z, half};
  struct advance second = {cubic_shift(first.place, half), cubic_shift(first.z, half), half};
  eased_add(judge, &first, v, wanted, t, halved + 1);
  eased_add(judge, &second, v, wanted, t + half / v, halved + 1);
}

static void advance_add(struct pool_judge *judge, const struct advance *advance, double v,
                        double wanted, double t) {
  struct cubic place = advance->place;
  if (!cubic_is_linear(advance->z)) {
    eased_add(judge, advance, v, wanted, t, 0);
    return;
  }
  bool straight = cubic_is_linear(place);
  struct pool_part part = straight ? part_straight(place.c1, advance->z.c1, advance->length)
                                   : part_even(place, advance->z.c1, advance->length);
  part_add(judge, &part, v, wanted, t);
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
    forget(judge);
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
  bool passed = judge->worst.value <= LIMIT * (1 + CHECK_SLACK);
  const char *what = NULL;
  if (finding_is_told(judge->scene, passed))
    what = arena_format(judge->scene->arena, "%.3f mm/min", judge->mean * 60);
  struct check_result result =
      finding_at(judge->scene, "travel-speed", &judge->worst, passed, what);
  result.worst = judge->worst.value * 100;
  result.limit = LIMIT * 100;
  result.unit = "%";
  return result;
}
