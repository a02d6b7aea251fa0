/* contour.h - closed contours of lines and arcs in the cell frame.
 *
 * s runs anticlockwise along the shape itself (mm), from its zero (language.md,
 * "Along the contour"), and is periodic.  The normal points into the metal: to the
 * right of the anticlockwise tangent; its angle is counted without wrapping, so that
 * over one whole turn of s it grows by exactly 2 pi.  offset d >= 0 moves a point
 * inward, away from the metal: P(s) - d n(s).
 *
 * Invariants: segments join end to end with a common tangent; turn = +1 where the
 * contour bends left (concave wall: centre on the bore's side, radius shrinks under an
 * offset), -1 where it bends right (a convex bump: radius grows), 0 on a line. */
#ifndef BORELAY_CONTOUR_H
#define BORELAY_CONTOUR_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/job.h"
#include "borelay/vec.h"

struct arena;
struct diag_list;

struct contour_seg {
  double s0, length; /* on the shape */
  vec2 start;        /* P(s0) */
  double normal0;    /* normal's angle at s0, rad, unwrapped from the first segment on */
  int turn;          /* +1, 0, -1 */
  double radius;     /* of the shape itself; 0 on a line */
  vec2 centre;       /* of the arc; unused on a line */
  vec2 tangent;      /* unit, at s0, anticlockwise */
  const struct outline_part *part; /* of an outline, the part that it is drawn by; else NULL */
};

struct contour {
  const struct shape *shape;
  struct contour_seg *segs; /* s0 rising from 0; the first begins at s = 0 (a segment that holds s =
                               0 inside it is split there) */
  size_t count;
  double perimeter;
  vec2 centre;   /* of the shape, cell frame */
  double turned; /* of the shape, cell frame, rad */
  bool taught;   /* follows touches */
};

/* How the part lies in the cell: turn about Z by turned, then shift by at. */
struct placement {
  vec3 at;
  double turned;
};

/* What a fit to touches found; cell frame. */
struct fit {
  const char *name; /* the shape's, or "datum" */
  enum shape_kind kind;
  vec2 centre;
  double diameter;              /* round */
  double length, width, turned; /* racetrack */
  bool is_exact;                /* as many touches as unknowns: no residuals */
  double residual_max;          /* mm; 0 where is_exact */
  double centre_sigma;          /* standard error of the centre, mm, the larger principal one */
};

/* The job's placement: `at` and `turned`, or the datum fit (recorded in *fit, *has_fit).
 * false: an error was told. */
bool placement_find(const struct job *job, double reach, struct diag_list *diags,
                    struct placement *placement, struct fit *fit, bool *has_fit);

/* Contour of a shape as placed.  A taught shape follows its touches, and *fit, *has_fit are set;
 * warnings and refusals (too small a span, residual, difference from the dimensions) go to diags.
 * NULL: an error was told. */
const struct contour *contour_make(struct arena *arena, const struct shape *shape,
                                   const struct placement *placement, double reach,
                                   struct diag_list *diags, struct fit *fit, bool *has_fit);

/* s reduced to [0, perimeter), and how many whole turns were taken off. */
double contour_wrap(const struct contour *contour, double s, double *turns);
/* Segment that holds s in [0, perimeter): the one with s0 <= s < s0 + length. */
size_t contour_seg_at(const struct contour *contour, double s);

struct contour_point {
  vec2 at;      /* P(s) - offset n(s) */
  vec2 normal;  /* unit, into the metal */
  double angle; /* of the normal, rad, unwrapped: grows by 2 pi a turn, any s allowed */
};
struct contour_point contour_at(const struct contour *contour, double s, double offset);

/* Length of the contour offset by `offset` between s_a and s_b (any values, s_a <= s_b). */
double contour_offset_length(const struct contour *contour, double offset, double s_a, double s_b);
/* Inverse: the s at which that length from s_a, in direction dir (+1, -1), is reached; length >= 0.
 */
double contour_advance(const struct contour *contour, double offset, double s_a, int dir,
                       double length);
/* Segment whose radius vanishes (<= least) under `offset` with the smallest radius; -1 when none.
 */
int contour_vanishing_seg(const struct contour *contour, double offset, double least);
/* s where the ray from the contour's centre at `angle` (cell frame, rad) runs from the bore into
 * the metal for the first time: the wall that is seen from the centre.  -1 where it never does,
 * which only a centre outside the bore makes possible. */
double contour_s_at_angle(const struct contour *contour, double angle);

/* Stretches of the contour that are seen from its centre between two angles (cell frame, rad,
 * angles.lo <= angles.hi, at most one turn apart), in order of `from`; 0 <= from < perimeter, from
 * < to <= from + perimeter; neighbours that touch are joined, a stretch over s = 0 is one.  A whole
 * turn gives one stretch of the whole perimeter.  Behind a bump a sector may hold several.  Its
 * rays belong to it: a straight side along one counts.  Stretches and gaps of less than 1e-4 mm do
 * not count: a ray grazes there. Returns how many; *out is in the arena. */
struct contour_stretch {
  double from, to;
};
size_t contour_sector(struct arena *arena, const struct contour *contour, struct range angles,
                      struct contour_stretch **out);
/* The same of a zone, which a margin may widen: where nothing is left of the sector, the places
 * that its middle ray meets, as stretches without length but for rounding. */
size_t contour_sector_or_place(struct arena *arena, const struct contour *contour,
                               struct range angles, struct contour_stretch **out);
/* Two places of the wall with a neck between them. */
struct contour_neck {
  double s_a, s_b; /* s_a <= s_b */
  double width;    /* mm, across the bore */
};
/* Does the contour under `offset` > 0 come nearer to the wall anywhere than `offset`, so that it
 * folds or crosses itself?  No radius may vanish (contour_vanishing_seg).  If so, *neck is the neck
 * that an offset growing from 0 is stopped by first. */
bool contour_neck_find(const struct contour *contour, double offset, struct contour_neck *neck);
/* Signed distance of a point to the contour, negative inside (in the bore). */
double contour_distance(const struct contour *contour, vec2 point);
/* s of the contour's place nearest to a point, 0 <= s < perimeter; *distance as contour_distance().
 */
double contour_foot(const struct contour *contour, vec2 point, double *distance);

#endif
