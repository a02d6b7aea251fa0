/* cover_change.h - wall newly covered, and no longer covered, by one layer. */
#ifndef COMPARE_COVER_CHANGE_H
#define COMPARE_COVER_CHANGE_H

#include "borelay/job.h"
#include "compare/laid.h"

/* One connected part of the unrolled wall. */
struct cover_part {
  double area;        /* mm2, on the shape itself */
  struct range depth; /* mm */
  struct range s;     /* mm; hi may pass the perimeter; all round: 0 .. perimeter */
};
/* A piece of a part as it is drawn: straight edges between two s. */
struct cover_patch {
  double s_from, s_to;
  struct range depths_from, depths_to;
};
struct cover_parts {
  struct cover_part *items; /* the largest first */
  size_t count;
  double area; /* of all */
  struct cover_patch *patches;
  size_t patch_count;
};
/* Parts narrower than this in depth everywhere, or along the shape, do not count. */
#define COVER_LEAST 0.01 /* mm */

/* What `with` covers and `without` does not, on a wall of that length round.  Strips of both are in
 * s of that wall. */
struct cover_parts cover_only(struct arena *arena, const struct laid *with,
                              const struct laid *without, double perimeter);

/* The same strips on a wall of another length round: the same share of it. */
struct laid laid_scaled(struct arena *arena, const struct laid *laid, double factor);

#endif
