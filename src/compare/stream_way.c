/* The way of the tip from the rows: between two rows H and the head's angle run straight, so that
 * the tip runs within reach dh^2/8 of a straight line, where dh is the head's turn. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "compare/streams.h"

static const double RAD = NUM_PI / 180e6; /* of a millionth of a degree */

static vec3 tip_at(const struct stream_side *side, const struct head_place *place) {
  const struct borelay_header *header = &side->header;
  struct sincos at = num_sincos(place->head);
  struct sincos turned = num_sincos((double)header->datum_turned_udeg * RAD);
  double reach = (double)header->reach_nm * 1e-6;
  double x = place->x + reach * at.cos - (double)header->datum_x_nm * 1e-6;
  double y = place->y + reach * at.sin - (double)header->datum_y_nm * 1e-6;
  return (vec3){x * turned.cos + y * turned.sin, y * turned.cos - x * turned.sin,
                place->z - (double)(header->drop_nm + header->datum_z_nm) * 1e-6};
}

static void add(struct arena *arena, struct stream_side *side, bool arc, struct tip_line line) {
  struct tip_course *way = &side->ways[arc];
  if (way->count == side->way_room[arc]) {
    side->way_room[arc] = 2 * side->way_room[arc] + 4096;
    way->lines = arena_grow(arena, way->lines, way->count, side->way_room[arc], sizeof *way->lines);
  }
  way->lines[way->count++] = line;
}

static double between(double a, double b, double share) {
  return a + share * (b - a);
}

static struct head_place place_between(const struct head_place *a, const struct head_place *b,
                                       double share) {
  return (struct head_place){between(a->x, b->x, share), between(a->y, b->y, share),
                             between(a->z, b->z, share), between(a->head, b->head, share),
                             between(a->t, b->t, share)};
}

/* From one row to the next, in as many lines as its turn asks for. */
static void add_step(struct arena *arena, struct stream_side *side, const struct head_place *from,
                     const struct head_place *to, bool arc) {
  double turn = to->head - from->head, reach = (double)side->header.reach_nm * 1e-6;
  double most = fmin(sqrt(reach * turn * turn / 8 / TIP_CHORD), 1000);
  int parts = most > 1 ? (int)ceil(most) : 1;
  struct head_place last = *from;
  for (int i = 1; i <= parts; i++) {
    struct head_place next = place_between(from, to, (double)i / parts);
    add(arena, side, arc,
        (struct tip_line){tip_at(side, &last), tip_at(side, &next), last.t, next.t, NULL});
    last = next;
  }
}

static bool stands(const struct head_place *a, const struct head_place *b) {
  return fabs(a->x - b->x) + fabs(a->y - b->y) + fabs(a->z - b->z) + fabs(a->head - b->head) <= 0;
}

/* Arc and the rest hold from a row until the next; a place where the head stands is kept once. */
void stream_way_take(struct arena *arena, struct stream_side *side, const struct borelay_row *row) {
  struct head_place here = {(double)row->x_nm * 1e-6, (double)row->y_nm * 1e-6,
                            (double)row->z_nm * 1e-6, (double)row->head_udeg * RAD,
                            (double)row->t_us * 1e-6};
  if (!side->has_last)
    add_step(arena, side, &here, &here, row->arc);
  else if (!stands(&side->last, &here))
    add_step(arena, side, &side->last, &here, side->last_arc);
  side->last = here;
  side->last_arc = row->arc;
  side->has_last = true;
}
