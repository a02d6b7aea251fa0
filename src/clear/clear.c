/* clear.c - parts against metal, piece by piece.
 *
 * A part is judged over the whole piece first, with what the chords may cost at most; only where
 * that settles nothing the piece is taken in stretches, each with its own chords. */
#include "borelay/clear.h"

#include <math.h>

#include "borelay/arena.h"
#include "clear/seek.h"

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

/* A piece of motion, and what is found out about it once for all parts, when first asked for. */
struct passage {
  const struct cell *cell;
  const struct piece *pieces;
  size_t count, at;
  struct stretch whole, fine[3];
  size_t fine_count;
};

static void part_pass(struct passage *passage, const struct clear_ask *ask, const struct part *part,
                      struct known *known) {
  const struct piece *piece = &passage->pieces[passage->at];
  struct judge judge = {part, ask->metal, piece, chord_cost(&passage->whole.chord, part->lever),
                        ask->worst};
  if (seek_settles(&judge, &passage->whole, known))
    return;
  if (passage->fine_count == 0)
    passage->fine_count = stretches_find(passage->pieces, passage->count, passage->at,
                                         passage->cell->tick, passage->fine);
  for (size_t i = 0; i < passage->fine_count; i++) {
    judge.cost = chord_cost(&passage->fine[i].chord, part->lever);
    seek_stretch(&judge, &passage->fine[i], known);
  }
}

void clear_pieces(const struct cell *cell, const struct piece *pieces, size_t count, size_t first,
                  size_t last, const struct clear_ask *asks, size_t ask_count) {
  struct known known[KNOWN_MOST + 1] = {0};
  struct rough rough = {.piece = {NULL}};
  for (size_t at = first; at < last; at++) {
    struct chord_reach reach = {pieces, count, at, pieces[at].t0, pieces[at].t1};
    struct passage passage = {.cell = cell, .pieces = pieces, .count = count, .at = at};
    passage.whole = (struct stretch){reach.ta, reach.tb, rough_bound(&rough, pieces, at),
                                     chord_rough(&reach, cell->tick, &rough)};
    size_t place = 0;
    for (size_t i = 0; i < ask_count; i++) {
      struct part part;
      for (size_t n = 0; part_find(cell, asks[i].parts, n, &part); n++, place++) {
        struct known *of_part = &known[place < KNOWN_MOST ? place : KNOWN_MOST];
        if (place >= KNOWN_MOST)
          of_part->any = false;
        part_pass(&passage, &asks[i], &part, of_part);
      }
    }
  }
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
