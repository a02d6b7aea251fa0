/* seek.c - the least distance of one part over a stretch of a piece, found by halving time.
 *
 * A stretch whose sweep stays off by the least so far is done with unseen.  Elsewhere the part is
 * looked at where the stretch begins and ends.  What the distance may fall to between two looks is
 * bounded (distance_dip); where the bound is not below the least so far, less a slack, the stretch
 * is done with, otherwise it is looked at in its middle.  The result is the least distance seen
 * less the slack, so that everything left unseen lies above it (docs/clearance.md). */
#include "clear/seek.h"

#include <math.h>

#include "clear/sweep.h"

/* Together with the looks' own tolerance below the 0.01 mm that the result may fall short. */
static const double slack = 0.008, look_tolerance = 0.0015;

/* What a distance of the part's axis is worth: nothing is worth less than to meet the metal, so
 * that the first place found where they do stays the worst. */
static double worth(const struct judge *judge, double distance) {
  double radius = judge->part->kind == CLEAR_BODY ? 0 : judge->part->radius;
  return fmax(0, distance - radius - judge->cost);
}

/* Whether the part stays farther off than the worst so far, told without a look. */
static bool is_swept(const struct judge *judge, double ta, double tb) {
  double worst = judge->worst->distance;
  double radius = judge->part->kind == CLEAR_BODY ? 0 : judge->part->radius;
  if (!(worst > 0) || isinf(worst))
    return worst <= 0;
  return sweep_stays_off(judge->part, judge->metal, judge->piece, ta, tb,
                         worst + judge->cost + radius);
}

static double look(const struct judge *judge, double t) {
  struct pose pose = piece_at(judge->piece, t);
  struct metal_hit hit = part_distance(judge->part, judge->metal, pose, look_tolerance);
  double distance = worth(judge, hit.distance) - slack;
  if (distance < judge->worst->distance)
    *judge->worst =
        (struct clear_result){distance, t, pose, judge->part->kind, judge->part->index, hit};
  return hit.distance;
}

/* A bound that holds over a stretch, and how short its parts must get before it is worth finding
 * anew: sooner where it got smaller the last time than where it stayed. */
struct rate {
  struct point_bound bound;
  double renew_below; /* s */
};

static struct rate rate_make(struct point_bound bound, double length, double speed_before) {
  bool steady = bound.speed > 0.8 * speed_before;
  return (struct rate){bound, length / (steady ? 32 : 4)};
}

static bool is_settled(const struct judge *judge, const struct rate *rate, double da, double db,
                       double length) {
  double lower = distance_dip(da, db, length, rate->bound.speed, rate->bound.accel);
  return worth(judge, lower) >= judge->worst->distance;
}

static void halve(const struct judge *judge, struct rate rate, double ta, double da, double tb,
                  double db) {
  if (is_settled(judge, &rate, da, db, tb - ta))
    return;
  if (tb - ta < rate.renew_below) {
    struct point_bound bound = piece_point_bound(judge->piece, ta, tb, judge->part->lever);
    rate = rate_make(bound, tb - ta, rate.bound.speed);
    if (is_settled(judge, &rate, da, db, tb - ta))
      return;
  }
  if (is_swept(judge, ta, tb))
    return;
  double t = 0.5 * (ta + tb), d = look(judge, t);
  halve(judge, rate, ta, da, t, d);
  halve(judge, rate, t, d, tb, db);
}

/* -- stretch by stretch ------------------------------------------------------------------- */

static void know_exactly(const struct judge *judge, double t, struct known *known) {
  *known = (struct known){true, true, look(judge, t)};
}

bool seek_settles(const struct judge *judge, const struct stretch *stretch, struct known *known) {
  double speed = motion_point_bound(&stretch->bound, judge->part->lever).speed;
  double way = speed * (stretch->tb - stretch->ta);
  if (known->any && worth(judge, known->distance - way) >= judge->worst->distance) {
    *known = (struct known){true, known->exact && way == 0, fmax(0, known->distance - way)};
    return true;
  }
  if (!is_swept(judge, stretch->ta, stretch->tb))
    return false;
  known->any = false;
  return true;
}

void seek_stretch(const struct judge *judge, const struct stretch *stretch, struct known *known) {
  if (seek_settles(judge, stretch, known))
    return;
  double length = stretch->tb - stretch->ta;
  struct point_bound bound = motion_point_bound(&stretch->bound, judge->part->lever);
  if (!known->any || !known->exact)
    know_exactly(judge, stretch->ta, known);
  double from = known->distance;
  know_exactly(judge, stretch->tb, known);
  halve(judge, rate_make(bound, length, HUGE_VAL), stretch->ta, from, stretch->tb, known->distance);
}
