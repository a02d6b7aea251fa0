/* clear.c - parts against metal, over pieces in a row.
 *
 * Pieces along one curve are one passage.  Passages that share a guide are asked for together, many
 * at once: whether a part stays off in all that they sweep, the dearest chords of any of them taken
 * off.  Those for whom that settles nothing ask again of each half, and so on down to a single
 * passage, which is then taken in stretches, each with its own chords, and looked at. */
#include "borelay/clear.h"

#include <math.h>

#include "borelay/arena.h"
#include "clear/seek.h"

struct clear_result clear_begin(double limit) {
  return (struct clear_result){.distance = limit, .metal = {.distance = HUGE_VAL}};
}

/* -- the parts that are asked for ----------------------------------------------------------- */

/* The n-th of them; false when there are no more. */
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

/* A part on its way through the passages. */
struct follower {
  const struct clear_ask *ask;
  struct part part;
  struct known known;
};

/* Followers that go the way together; a bit for each in a set of them. */
enum { TOGETHER_MOST = 16 };
typedef unsigned follower_set;

/* -- passages, many at once ----------------------------------------------------------------- */

struct leg {
  struct passage passage;
  struct swath swath;
  bool has_places; /* they are numbers */
};

/* Beyond half of what has a sine the sum of two angles may tell no direction (num.h), and a line's
 * places are so small anyway. */
static const double ANGLE_MOST = 5e8;

static bool has_directions(struct range range) {
  return fabs(range.lo) <= ANGLE_MOST && fabs(range.hi) <= ANGLE_MOST;
}

/* Where the centre of a guide is no number no look has a place, which src/metal takes for metal. */
static bool are_numbers(const struct passage *passage, const struct swath *swath) {
  return has_directions(swath->turn) && has_directions(swath->inner) &&
         isfinite(passage->qa + passage->qb + swath->z.lo + swath->z.hi);
}

static bool are_rates(const struct chord *rough) {
  return isfinite(rough->level + rough->turning);
}

enum { LEGS_MOST = 64 };
struct journey {
  const struct cell *cell;
  const struct piece *pieces;
  size_t count;
  struct follower followers[TOGETHER_MOST];
  size_t follower_count;
  struct leg legs[LEGS_MOST];
  size_t leg_count;
  struct chord_rough rough;
};

/* Chords that cost no more than this are taken off a passage as they are: together with what seek.c
 * falls short by that stays below the 0.01 mm allowed. */
static const double CHEAP = 0.0004; /* mm */

/* What is found out about a leg once for all followers, when first asked for. */
struct closer {
  const struct leg *leg;
  struct chord rough;
  double tick;
  bool has_whole;
  struct stretch whole; /* at the rough cost, which did not settle it */
  size_t part_count;
  struct stretch parts[3];
};

static const struct stretch *whole_find(struct closer *closer) {
  const struct passage *passage = &closer->leg->passage;
  if (!closer->has_whole)
    closer->whole = (struct stretch){.qa = passage->qa,
                                     .qb = passage->qb,
                                     .unswept = true,
                                     .bound = passage_bound(passage, passage->qa, passage->qb),
                                     .chord = closer->rough};
  closer->has_whole = true;
  return &closer->whole;
}

/* The first and the last tick, whose chords may reach into other curves, apart from the rest. */
static const struct stretch *parts_find(struct closer *closer) {
  const struct passage *passage = &closer->leg->passage;
  double ta = passage->pieces[passage->first].t0, tb = passage->pieces[passage->last - 1].t1;
  double cuts[4] = {ta, ta + closer->tick, tb - closer->tick, tb}, q = passage->qa;
  if (closer->part_count > 0)
    return closer->parts;
  if (!(cuts[1] < cuts[2]))
    cuts[1] = cuts[2] = tb;
  for (int i = 0; i < 3; i++) {
    if (i > 0 && !(cuts[i + 1] > cuts[i]))
      continue;
    double next = cuts[i + 1] < tb ? passage_place(passage, cuts[i + 1]) : passage->qb;
    closer->parts[closer->part_count++] =
        (struct stretch){.qa = q,
                         .qb = next,
                         .bound = passage_bound(passage, q, next),
                         .chord = chord_find(passage, cuts[i], cuts[i + 1], closer->tick)};
    q = next;
  }
  return closer->parts;
}

static void follower_seek(struct closer *closer, struct follower *follower) {
  const struct leg *leg = closer->leg;
  double lever = follower->part.lever;
  struct judge judge = {.part = &follower->part,
                        .metal = follower->ask->metal,
                        .passage = &leg->passage,
                        .by_place = passage_by_place(&leg->passage),
                        .worst = follower->ask->worst,
                        .known = &follower->known};
  if (!leg->has_places || !are_rates(&closer->rough)) {
    follower->known.any = false;
    seek_give_up(&judge);
    return;
  }
  bool cheap = chord_cost(&closer->rough, lever) <= CHEAP;
  const struct stretch *stretches = cheap ? whole_find(closer) : parts_find(closer);
  for (size_t i = 0; i < (cheap ? 1 : closer->part_count); i++) {
    judge.cost = chord_cost(&stretches[i].chord, lever);
    seek_stretch(&judge, &stretches[i]);
  }
}

static void leg_seek(struct journey *journey, const struct leg *leg, const struct chord *rough,
                     follower_set left) {
  struct closer closer = {.leg = leg, .rough = *rough, .tick = journey->cell->tick};
  for (size_t i = 0; i < journey->follower_count; i++)
    if (left >> i & 1)
      follower_seek(&closer, &journey->followers[i]);
}

/* Of the followers those whom a swath does not settle, first quickly, then closely. */
static follower_set swath_unsettled(struct journey *journey, const struct swath *swath,
                                    const struct chord *dearest, follower_set left) {
  struct sweep sweep;
  for (int closely = 0; closely < 2 && left != 0; closely++) {
    if (closely)
      sweep = sweep_of(swath);
    for (size_t i = 0; i < journey->follower_count; i++) {
      struct follower *follower = &journey->followers[i];
      const struct part *part = &follower->part;
      const struct clear_ask *ask = follower->ask;
      double cost = chord_cost(dearest, part->lever);
      if (!(left >> i & 1) ||
          !(closely ? seek_is_swept(&sweep, part, ask->metal, cost, ask->worst)
                    : seek_is_passed(swath, part, ask->metal, cost, ask->worst)))
        continue;
      left &= ~(1U << i);
      follower->known.any = false;
    }
  }
  return left;
}

/* All that the chords of the legs may cost. */
static struct chord legs_rough(struct journey *journey, size_t first, size_t last) {
  struct passage row = journey->legs[first].passage;
  double tick = journey->cell->tick;
  row.last = journey->legs[last - 1].passage.last;
  return last - first == 1 ? chord_find_rough(&row, tick, &journey->rough)
                           : chord_find_over(&row, tick, &journey->rough);
}

/* Of the followers those whom the sweep of all the legs does not settle. */
static follower_set legs_unsettled(struct journey *journey, size_t first, size_t last,
                                   const struct chord *rough, follower_set left) {
  const struct leg *legs = journey->legs;
  struct swath swath = legs[first].swath;
  bool are_told = are_rates(rough) && legs[first].has_places;
  for (size_t i = first + 1; i < last; i++) {
    are_told = are_told && legs[i].has_places;
    swath_add(&swath, &legs[i].swath);
  }
  return are_told ? swath_unsettled(journey, &swath, rough, left) : left;
}

/* Legs that share a guide. */
static void legs_follow(struct journey *journey, size_t first, size_t last, follower_set left) {
  struct chord rough = legs_rough(journey, first, last);
  left = legs_unsettled(journey, first, last, &rough, left);
  if (left == 0)
    return;
  if (last - first == 1) {
    leg_seek(journey, &journey->legs[first], &rough, left);
    return;
  }
  size_t middle = first + (last - first) / 2;
  legs_follow(journey, first, middle, left);
  legs_follow(journey, middle, last, left);
}

static void journey_follow(struct journey *journey, follower_set left) {
  for (size_t first = 0, last; first < journey->leg_count; first = last) {
    last = first + 1;
    while (last < journey->leg_count &&
           swath_joins(&journey->legs[first].swath, &journey->legs[last].swath))
      last++;
    legs_follow(journey, first, last, left);
  }
}

static void journey_make(struct journey *journey, size_t first, size_t last, follower_set left) {
  for (size_t at = first; at < last;) {
    for (journey->leg_count = 0; at < last && journey->leg_count < LEGS_MOST;) {
      struct leg *leg = &journey->legs[journey->leg_count++];
      leg->passage = passage_find(journey->pieces, journey->count, at, last);
      leg->swath = swath_of(&journey->pieces[at].curve, leg->passage.qa, leg->passage.qb);
      leg->has_places = are_numbers(&leg->passage, &leg->swath);
      at = leg->passage.last;
    }
    journey_follow(journey, left);
  }
}

/* -- many half sways ------------------------------------------------------------------------ */

/* Of the followers those whom the sweep of all of them does not settle: what the centre line
 * sweeps, higher and lower by the sway.  Their chords, and those that reach into the sways on
 * either side, cost no more than one of them. */
static follower_set sways_unsettled(struct journey *journey, const struct swings *swings,
                                    follower_set left) {
  const struct piece *centre = &swings->centre;
  double qb = cubic_at(centre->q, centre->t1 - centre->t0), tick = journey->cell->tick;
  struct swath swath = swath_of(&centre->curve, centre->q.c0, qb);
  swath.z.lo -= swings->amplitude;
  swath.z.hi += swings->amplitude;
  struct motion_bound bound = swings_bound(swings);
  struct chord dearest = {.level = motion_chord_bound(&bound, 0) * tick * tick / 8,
                          .turning = bound.turning * tick * tick / 8};
  struct passage all = {.qa = centre->q.c0, .qb = qb};
  return are_numbers(&all, &swath) && are_rates(&dearest)
             ? swath_unsettled(journey, &swath, &dearest, left)
             : left;
}

static void sways_seek(struct journey *journey, const struct swings *swings, follower_set left) {
  struct piece pieces[SWAY_PIECES + 2 * HALF_PIECES];
  size_t first = swings_pieces(swings, -1, pieces);
  size_t last = first + swings_sway(swings, 0, pieces + first);
  journey->pieces = pieces;
  journey->count = last + swings_pieces(swings, 2, pieces + last);
  chord_rough_begin(&journey->rough);
  journey_make(journey, first, last, left);
}

/* By halves, down to a single sway. */
static void sways_follow(struct journey *journey, const struct swings *swings, follower_set left) {
  left = sways_unsettled(journey, swings, left);
  if (left == 0)
    return;
  if (swings->count == 2) {
    sways_seek(journey, swings, left);
    return;
  }
  for (int half = 0; half < 2; half++) {
    struct swings halved = swings_halved(swings, half);
    sways_follow(journey, &halved, left);
  }
}

/* -- what is asked for ---------------------------------------------------------------------- */

/* Pieces of the journey, or swings where they are not NULL. */
struct course {
  const struct swings *swings;
  size_t first, last;
};

static void followers_go(struct journey *journey, const struct course *course) {
  follower_set all = (1U << journey->follower_count) - 1;
  if (journey->follower_count == 0)
    return;
  if (course->swings)
    sways_follow(journey, course->swings, all);
  else
    journey_make(journey, course->first, course->last, all);
  journey->follower_count = 0;
}

static void asks_follow(struct journey *journey, const struct course *course,
                        const struct clear_ask *asks, size_t ask_count) {
  journey->follower_count = 0;
  for (size_t i = 0; i < ask_count; i++) {
    struct part part;
    for (size_t n = 0; part_find(journey->cell, asks[i].parts, n, &part); n++) {
      journey->followers[journey->follower_count++] = (struct follower){&asks[i], part, {0}};
      if (journey->follower_count == TOGETHER_MOST)
        followers_go(journey, course);
    }
  }
  followers_go(journey, course);
}

void clear_pieces(const struct cell *cell, const struct piece *pieces, size_t count, size_t first,
                  size_t last, const struct clear_ask *asks, size_t ask_count) {
  struct journey journey; /* large: what is not read before it is set stays as it is */
  struct course course = {NULL, first, last};
  journey.cell = cell;
  journey.pieces = pieces;
  journey.count = count;
  chord_rough_begin(&journey.rough);
  asks_follow(&journey, &course, asks, ask_count);
}

void clear_swings(const struct cell *cell, const struct swings *swings,
                  const struct clear_ask *asks, size_t ask_count) {
  struct journey journey;
  struct course course = {.swings = swings};
  journey.cell = cell;
  asks_follow(&journey, &course, asks, ask_count);
}

void clear_piece(const struct cell *cell, const struct metal *metal, const struct piece *piece,
                 struct clear_parts parts, struct clear_result *worst) {
  struct clear_ask ask = {metal, parts, worst};
  clear_pieces(cell, piece, 1, 0, 1, &ask, 1);
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
