/* clear.c - the least distance over a piece of motion, found by halving time.
 *
 * A stretch whose sweep stays off by the least so far is done with unseen.  Elsewhere each part is
 * looked at where the stretch begins and ends.  What the distance may fall to between two looks is
 * bounded (distance_dip); where the bound is not below the least so far, less a slack, the stretch
 * is done with, otherwise it is looked at in its middle.  The result is the least distance seen
 * less the slack, so that everything left unseen lies above it (docs/clearance.md). */
#include "borelay/clear.h"

#include <math.h>

#include "borelay/arena.h"
#include "clear/chord.h"
#include "clear/part.h"
#include "clear/sweep.h"

/* Together with the looks' own tolerance below the 0.01 mm that the result may fall short. */
static const double slack = 0.008, look_tolerance = 0.0015;

struct judge {
  const struct part *part;
  const struct metal *metal;
  const struct piece *piece;
  double cost; /* of the controller's chords, mm */
  struct clear_result *worst;
};

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

/* What is known of a part's distance where the last stretch ended: it, or a bound below it. */
struct known {
  bool any, exact;
  double distance;
};

struct stretch { /* of a piece, and what serves all parts */
  double ta, tb;
  struct motion_bound bound;
  struct chord chord;
};

static void know_exactly(const struct judge *judge, double t, struct known *known) {
  *known = (struct known){true, true, look(judge, t)};
}

/* A part that cannot get near enough within the stretch is not even looked at. */
static void judge_stretch(const struct judge *judge, const struct stretch *stretch,
                          struct known *known) {
  double length = stretch->tb - stretch->ta;
  struct point_bound bound = motion_point_bound(&stretch->bound, judge->part->lever);
  double way = bound.speed * length;
  if (known->any && worth(judge, known->distance - way) >= judge->worst->distance) {
    *known = (struct known){true, known->exact && way == 0, fmax(0, known->distance - way)};
    return;
  }
  if (is_swept(judge, stretch->ta, stretch->tb)) {
    known->any = false;
    return;
  }
  if (!known->any || !known->exact)
    know_exactly(judge, stretch->ta, known);
  double from = known->distance;
  know_exactly(judge, stretch->tb, known);
  halve(judge, rate_make(bound, length, HUGE_VAL), stretch->ta, from, stretch->tb, known->distance);
}

/* The first and the last tick, whose chords may reach into other pieces, apart from the rest. */
static size_t stretches_find(const struct piece *pieces, size_t count, size_t at, double tick,
                             struct stretch stretches[3]) {
  const struct piece *piece = &pieces[at];
  double cuts[4] = {piece->t0, piece->t0 + tick, piece->t1 - tick, piece->t1};
  size_t found = 0;
  if (!(cuts[1] < cuts[2]))
    cuts[1] = cuts[2] = piece->t1;
  for (int i = 0; i < 3; i++) {
    if (i > 0 && !(cuts[i + 1] > cuts[i]))
      continue;
    struct chord_reach reach = {pieces, count, at, cuts[i], cuts[i + 1]};
    stretches[found++] =
        (struct stretch){cuts[i], cuts[i + 1], piece_motion_bound(piece, cuts[i], cuts[i + 1]),
                         chord_find(&reach, tick)};
  }
  return found;
}

/* The n-th of the parts asked for; false when there are no more. */
static bool part_find(const struct cell *cell, struct clear_parts parts, size_t n,
                      struct part *part) {
  size_t bodies = parts.bodies ? cell->body_count : 0;
  size_t torch = parts.torch ? 1 + cell->guard_count : 0;
  if (n < bodies)
    *part = part_body(cell, n, parts.shifted);
  else if (n < bodies + torch && n == bodies)
    *part = part_torch(cell, parts.shifted);
  else if (n < bodies + torch)
    *part = part_guard(cell, n - bodies - 1, parts.shifted);
  else if (n == bodies + torch && parts.electrode)
    *part = part_electrode(cell);
  else
    return false;
  return true;
}

enum { KNOWN_MOST = 16 }; /* parts beyond are looked at anew with every piece */

struct clear_result clear_begin(double limit) {
  return (struct clear_result){.distance = limit, .metal = {.distance = HUGE_VAL}};
}

void clear_pieces(const struct cell *cell, const struct metal *metal, const struct piece *pieces,
                  size_t count, size_t first, size_t last, struct clear_parts parts,
                  struct clear_result *worst) {
  struct known known[KNOWN_MOST + 1] = {0};
  for (size_t at = first; at < last; at++) {
    struct stretch stretches[3];
    size_t stretch_count = stretches_find(pieces, count, at, cell->tick, stretches);
    struct part part;
    for (size_t n = 0; part_find(cell, parts, n, &part); n++) {
      struct known *of_part = &known[n < KNOWN_MOST ? n : KNOWN_MOST];
      if (n >= KNOWN_MOST)
        of_part->any = false;
      for (size_t i = 0; i < stretch_count; i++) {
        double cost = chord_cost(&stretches[i].chord, part.lever);
        struct judge judge = {&part, metal, &pieces[at], cost, worst};
        judge_stretch(&judge, &stretches[i], of_part);
      }
    }
  }
}

void clear_piece(const struct cell *cell, const struct metal *metal, const struct piece *piece,
                 struct clear_parts parts, struct clear_result *worst) {
  clear_pieces(cell, metal, piece, 1, 0, 1, parts, worst);
}

const char *clear_part_name(struct arena *arena, const struct cell *cell,
                            const struct clear_result *result) {
  const char *name = "", *kind = "electrode";
  switch (result->part) {
  case CLEAR_BODY:
    kind = "body";
    name = cell->bodies[result->part_index].name;
    break;
  case CLEAR_TORCH:
    return "torch body";
  case CLEAR_GUARD:
    kind = "guard";
    name = cell->guards[result->part_index].name;
    break;
  case CLEAR_ELECTRODE:
    return kind;
  }
  if (name[0] == '\0')
    return arena_format(arena, "%s %zu", kind, result->part_index + 1);
  return arena_format(arena, "%s %s", kind, name);
}
