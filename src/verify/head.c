/* head.c - the head between two rows. */
#include "verify/head.h"

#include "borelay/num.h"

static void set_tip(struct head *head, const struct cell *cell, const struct lie *lie) {
  struct sincos sc = num_sincos(head->angle);
  vec2 tip = {head->h.x + cell->reach * sc.cos, head->h.y + cell->reach * sc.sin};
  vec2 part = lie_to_part(lie, tip);
  head->tip = (vec3){part.x, part.y, head->h.z - cell->drop - lie->at.z};
  head->torch = num_sincos(head->angle - lie->turned);
}

struct head head_between(const struct head *a, const struct head *b, double share,
                         const struct cell *cell, const struct lie *lie) {
  struct head head = {.h = {a->h.x + share * (b->h.x - a->h.x), a->h.y + share * (b->h.y - a->h.y),
                            a->h.z + share * (b->h.z - a->h.z)},
                      .angle = a->angle + share * (b->angle - a->angle)};
  set_tip(&head, cell, lie);
  return head;
}
