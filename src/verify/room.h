/* room.h - where the arc may be: how far a place of the wall lies inside it. */
#ifndef VERIFY_ROOM_H
#define VERIFY_ROOM_H

#include "verify/lay.h"

struct arc_room;
/* NULL where the overlay has no zones. */
const struct arc_room *arc_room_make(struct arena *arena, const struct overlay *overlay,
                                     const struct wall *wall);
/* mm to spare before a zone's edge, its margin counted; negative where the arc has to be out.
 * INFINITY: no zone bounds it.  It changes by no more than the place moves on the wall laid flat
 * (docs/verify.md).  zone: the one that decides; may be NULL. */
double arc_room_at(const struct arc_room *room, double s, double depth, const struct zone **zone);
/* The same for the middle of a sway that reaches half_sway to either side in depth: all of it has
 * to be where the arc may be. */
double arc_room_about(const struct arc_room *room, double s, double depth, double half_sway,
                      const struct zone **zone);

#endif
