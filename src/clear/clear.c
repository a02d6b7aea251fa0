/* clear.c - the least distance over a piece of motion, found by halving time.
 *
 * Each part is looked at where the piece begins and ends.  What the distance may fall to between
 * two looks is bounded (distance_dip); where the bound is not below the least so far, less a slack,
 * the stretch is done with, otherwise it is looked at in its middle.  The result is the least
 * distance seen less the slack, so that everything left unseen lies above it (docs/clearance.md).
 */
#include "borelay/clear.h"

#include <math.h>

#include "borelay/arena.h"
#include "clear/chord.h"
#include "clear/part.h"

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

static struct rate rate_find(const struct judge *judge, double ta, double tb, double speed_before) {
  struct rate rate = {piece_point_bound(judge->piece, ta, tb, judge->part->lever), 0};
  bool steady = rate.bound.speed > 0.8 * speed_before;
  rate.renew_below = (tb - ta) / (steady ? 32 : 4);
  return rate;
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
    rate = rate_find(judge, ta, tb, rate.bound.speed);
    if (is_settled(judge, &rate, da, db, tb - ta))
      return;
  }
  double t = 0.5 * (ta + tb), d = look(judge, t);
  halve(judge, rate, ta, da, t, d);
  halve(judge, rate, t, d, tb, db);
}

static void judge_stretch(struct judge *judge, double ta, double tb) {
  double from = look(judge, ta);
  if (!(tb > ta) || isinf(from))
    return;
  double to = look(judge, tb);
  halve(judge, rate_find(judge, ta, tb, HUGE_VAL), ta, from, tb, to);
}

/* The first and the last tick, whose chords may reach into other pieces, apart from the rest. */
static void judge_part(const struct cell *cell, const struct metal *metal,
                       const struct piece *pieces, size_t count, size_t at, const struct part *part,
                       struct clear_result *worst) {
  const struct piece *piece = &pieces[at];
  struct judge judge = {part, metal, piece, 0, worst};
  double cuts[4] = {piece->t0, piece->t0 + cell->tick, piece->t1 - cell->tick, piece->t1};
  if (!(cuts[1] < cuts[2]))
    cuts[1] = cuts[2] = piece->t1;
  for (int i = 0; i < 3; i++) {
    if (i > 0 && !(cuts[i + 1] > cuts[i]))
      continue;
    struct chord_reach reach = {pieces, count, at, cuts[i], cuts[i + 1]};
    judge.cost = chord_cost(&reach, cell->tick, part->lever);
    judge_stretch(&judge, cuts[i], cuts[i + 1]);
  }
}

static void judge_piece(const struct cell *cell, const struct metal *metal,
                        const struct piece *pieces, size_t count, size_t at,
                        struct clear_parts parts, struct clear_result *worst) {
  for (size_t i = 0; parts.bodies && i < cell->body_count; i++) {
    struct part part = part_body(cell, i, parts.shifted);
    judge_part(cell, metal, pieces, count, at, &part, worst);
  }
  if (parts.torch) {
    struct part part = part_torch(cell, parts.shifted);
    judge_part(cell, metal, pieces, count, at, &part, worst);
  }
  for (size_t i = 0; parts.torch && i < cell->guard_count; i++) {
    struct part part = part_guard(cell, i, parts.shifted);
    judge_part(cell, metal, pieces, count, at, &part, worst);
  }
  if (parts.electrode) {
    struct part part = part_electrode(cell);
    judge_part(cell, metal, pieces, count, at, &part, worst);
  }
}

struct clear_result clear_begin(double limit) {
  return (struct clear_result){.distance = limit, .metal = {.distance = HUGE_VAL}};
}

void clear_pieces(const struct cell *cell, const struct metal *metal, const struct piece *pieces,
                  size_t count, size_t first, size_t last, struct clear_parts parts,
                  struct clear_result *worst) {
  for (size_t at = first; at < last; at++)
    judge_piece(cell, metal, pieces, count, at, parts, worst);
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
