/* clear.h - least distance between the moving head and metal, proved over continuous motion.
 *
 * The distance D(t) from a moving body to any fixed set obeys D'' <= speed^2 / D + accel, so
 * between two instants it cannot fall below the chord by more than that times dt^2 / 8; and it
 * cannot fall faster than speed.  Both bounds are used (docs/clearance.md). */
#ifndef BORELAY_CLEAR_H
#define BORELAY_CLEAR_H

#include "borelay/metal.h"
#include "borelay/swings.h"

enum clear_part { CLEAR_BODY, CLEAR_TORCH, CLEAR_GUARD, CLEAR_ELECTRODE };

struct clear_result {
  double distance;  /* mm: never above the least distance found less what the controller's chords
                       between rows may cost, and at most 0.01 below it; not below -0.01: where
                       they meet, the first place found stays.  INFINITY when nothing was judged or
                       nothing is metal */
  double t;         /* s, where; meaningless while distance is INFINITY, like all that follows */
  struct pose pose; /* of the head at t, unshifted */
  enum clear_part part;
  size_t part_index;      /* of the body or guard */
  struct metal_hit metal; /* its distance is that of the part's axis (torch, guard, electrode) or
                             face (body) at t, shifted for the worst */
};

/* The start of every judgement: distance INFINITY.  With a lower figure in `limit` only distances
 * below it are looked for, which is quicker; the result stays at limit when there is none. */
struct clear_result clear_begin(double limit);

struct clear_parts {
  bool bodies, torch, electrode; /* torch: torch body and guards */
  bool shifted; /* for every shift within the cell's correction, level, along the head angle
                   (never the electrode) */
};

/* Some parts against some metal, and the worst of them. */
struct clear_ask {
  const struct metal *metal;
  struct clear_parts parts;
  struct clear_result *worst;
};

/* Judges pieces[first .. last-1] and lowers the worst of each ask where it finds less.  This is the
 * plain distance of the parts asked for: the caller compares it with the clearance wanted of them.
 *   pieces   count consecutive pieces without gap; the others than first .. last-1 are looked at
 *            only for the rows' chords that they share with these
 * The chords are bounded as if a row may lie anywhere, but none reaches beyond pieces[0] and
 * pieces[count-1]: these must begin and end on rows, or be longer than a tick. */
void clear_pieces(const struct cell *cell, const struct piece *pieces, size_t count, size_t first,
                  size_t last, const struct clear_ask *asks, size_t ask_count);
/* The same for many half sways; pieces like theirs lie before them and behind, for a tick at least.
 */
void clear_swings(const struct cell *cell, const struct swings *swings,
                  const struct clear_ask *asks, size_t ask_count);
/* The same for one ask and one piece that begins and ends on rows. */
void clear_piece(const struct cell *cell, const struct metal *metal, const struct piece *piece,
                 struct clear_parts parts, struct clear_result *worst);

/* The part in words, for messages: "body lower", "torch body", "guard wire_guide", "electrode". */
const char *clear_part_name(struct arena *arena, const struct cell *cell,
                            const struct clear_result *result);

#endif
