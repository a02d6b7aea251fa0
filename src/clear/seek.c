/* seek.c - the least distance of one part over a stretch of a passage, found by halving it.
 *
 * A stretch whose sweep stays off by the least so far is done with unseen.  Elsewhere the part is
 * looked at where the stretch begins and ends.  What the distance may fall to between two looks is
 * bounded (distance_dip); where the bound is not below the least so far, less a slack, the stretch
 * is done with, otherwise it is looked at in its middle.  The result is the least distance seen
 * less the slack, so that everything left unseen lies above it (docs/clearance.md). */
#include "clear/seek.h"

#include <math.h>

/* Together with the looks' own tolerance below the 0.01 mm that the result may fall short. */
static const double slack = 0.008, look_tolerance = 0.0015;

/* What is taken off a distance of the part's axis; a body's is that of its face. */
static double radius_of(const struct part *part) {
  return part->kind == CLEAR_BODY ? 0 : part->radius;
}

/* What a distance of the part's axis is worth: nothing is worth less than to meet the metal, so
 * that the first place found where they do stays the worst. */
static double worth(const struct judge *judge, double distance) {
  return fmax(0, distance - radius_of(judge->part) - judge->cost);
}

/* What a distance of the part's axis comes to that is no worse than the worst; of no use where no
 * metal was found yet, or the part meets it. */
static double asked(const struct part *part, double cost, const struct clear_result *worst) {
  return worst->distance + cost + radius_of(part);
}

bool seek_is_passed(const struct swath *swath, const struct part *part, const struct metal *metal,
                    double cost, const struct clear_result *worst) {
  if (!(worst->distance > 0) || isinf(worst->distance))
    return worst->distance <= 0;
  return swath_stays_off(swath, part, metal, asked(part, cost, worst));
}

bool seek_is_swept(const struct sweep *sweep, const struct part *part, const struct metal *metal,
                   double cost, const struct clear_result *worst) {
  if (!(worst->distance > 0) || isinf(worst->distance))
    return worst->distance <= 0;
  return sweep_stays_off(sweep, part, metal, asked(part, cost, worst));
}

static bool is_swept(const struct judge *judge, double qa, double qb) {
  struct swath swath = swath_of(&judge->by_place.curve, qa, qb);
  if (seek_is_passed(&swath, judge->part, judge->metal, judge->cost, judge->worst))
    return true;
  struct sweep sweep = sweep_of(&swath);
  return seek_is_swept(&sweep, judge->part, judge->metal, judge->cost, judge->worst);
}

static void note(const struct judge *judge, double q, struct pose pose, struct metal_hit hit) {
  double distance = worth(judge, hit.distance) - slack;
  if (distance < judge->worst->distance)
    *judge->worst = (struct clear_result){
        distance, passage_time(judge->passage, q), pose, judge->part->kind, judge->part->index,
        hit};
}

static double look(const struct judge *judge, double q) {
  struct pose pose = piece_at(&judge->by_place, q);
  struct metal_hit hit = part_distance(judge->part, judge->metal, pose, look_tolerance);
  note(judge, q, pose, hit);
  return hit.distance;
}

void seek_give_up(const struct judge *judge) {
  double q = judge->passage->qa;
  note(judge, q, piece_at(&judge->by_place, q), (struct metal_hit){.kind = METAL_PART});
}

/* A bound that holds over a stretch, and how short its parts must get before it is worth finding
 * anew: sooner where it got smaller the last time than where it stayed. */
struct rate {
  struct point_bound bound;
  double renew_below; /* of q */
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

/* Between two looks; `unswept`: a sweep settles nothing. */
static void halve(const struct judge *judge, struct rate rate, double qa, double da, double qb,
                  double db, bool unswept) {
  if (is_settled(judge, &rate, da, db, qb - qa))
    return;
  if (qb - qa < rate.renew_below) {
    struct motion_bound bound = passage_bound(judge->passage, qa, qb);
    rate = rate_make(motion_point_bound(&bound, judge->part->lever), qb - qa, rate.bound.speed);
    if (is_settled(judge, &rate, da, db, qb - qa))
      return;
  }
  if (!unswept && is_swept(judge, qa, qb))
    return;
  double q = 0.5 * (qa + qb);
  if (!(qa < q && q < qb)) { /* no bound that is a number gets here */
    seek_give_up(judge);
    return;
  }
  double d = look(judge, q);
  halve(judge, rate, qa, da, q, d, false);
  halve(judge, rate, q, d, qb, db, false);
}

static void know_exactly(const struct judge *judge, double q) {
  *judge->known = (struct known){true, true, look(judge, q)};
}

/* Whether the part, that far away where the stretch begins, cannot come near enough. */
static bool is_too_far(const struct judge *judge, double way) {
  struct known *known = judge->known;
  if (!known->any || !(worth(judge, known->distance - way) >= judge->worst->distance))
    return false;
  *known = (struct known){true, known->exact && way == 0, fmax(0, known->distance - way)};
  return true;
}

void seek_stretch(struct judge *judge, const struct stretch *stretch) {
  struct point_bound bound = motion_point_bound(&stretch->bound, judge->part->lever);
  struct known *known = judge->known;
  double length = stretch->qb - stretch->qa;
  if (is_too_far(judge, bound.speed * length))
    return;
  if (!stretch->unswept && is_swept(judge, stretch->qa, stretch->qb)) {
    known->any = false;
    return;
  }
  double asked = judge->worst->distance;
  if (!known->any || !known->exact)
    know_exactly(judge, stretch->qa);
  if (!(length > 0))
    return;
  double from = known->distance;
  know_exactly(judge, stretch->qb);
  halve(judge, rate_make(bound, length, HUGE_VAL), stretch->qa, from, stretch->qb, known->distance,
        judge->worst->distance == asked);
}
