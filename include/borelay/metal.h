/* metal.h - what is metal around the head: the envelope and the clad laid so far.
 *
 * Cell frame, mm.  Metal is cut into slabs of constant cross-section by every depth at which a
 * volume or a band of clad begins or ends (and the datum face); in each slab the boundary of the
 * metal is a set of lines and arcs, found by cutting all contours at their meetings and keeping
 * the pieces that have metal on exactly one side (docs/clearance.md).
 *
 * Metal is closed: its faces belong to it.  Contours nearer to each other than 1e-8 mm and depths
 * nearer than 1e-7 mm count as one, so metal thinner than that may be left out. */
#ifndef BORELAY_METAL_H
#define BORELAY_METAL_H

#include "borelay/plan.h"

struct arena;
struct metal;

/* Which clad stands: for overlay i of the plan, layers 0 .. layers[i]-1.
 * Over each depth the clad reaches from the wall inward by the thicknesses of all layers up to the
 * topmost one whose band holds that depth, whether or not the layers below it reach there too: a
 * layer is laid as if they did, and more metal is the safe side.  Thickness is that of the wall's
 * own segment (line, concave, convex arc), so the face steps radially at a joint. */
struct clad_state {
  const size_t *layers; /* plan->overlay_count figures; NULL: no clad at all */
  bool nominal;         /* at nominal thickness (for the electrode), else true */
};
/* The plan must outlive the metal; so must the contours that it names. */
const struct metal *metal_make(struct arena *arena, const struct plan *plan,
                               struct clad_state clad);

/* Metal that follows the work: what lies apart from all that changed is not made anew.  All zero to
 * begin with but for `home`, `bare` and `other`; always the same plan and `nominal`.  The metal
 * lasts until the next call. */
struct metal_kept {
  struct arena *home;  /* NULL, or where it may stay up to when all is begun afresh */
  struct arena *arena; /* after that, or without it */
  struct metal *metal;
  /* Each NULL, or metal of the same plan that outlives this: without clad; of the same `nominal`,
   * with any.  With bare, what stands there alike is taken from either. */
  const struct metal *bare, *other;
};
const struct metal *metal_keep(struct metal_kept *kept, const struct plan *plan,
                               struct clad_state clad);
/* What the last call gave lasts as long as the arena from now on, that of home where there is one;
 * NULL where there was none. */
const struct metal *metal_kept_give(struct metal_kept *kept, struct arena *arena);
void metal_kept_release(struct metal_kept *kept);

/* Names for messages: which volume (index into the envelope), or which overlay's clad, or the
 * datum face, lies nearest; and whether with a wall, a face below the head or one above it. */
enum metal_kind { METAL_VOLUME, METAL_CLAD, METAL_DATUM_FACE, METAL_PART };
enum metal_face { METAL_WALL, METAL_FLOOR, METAL_SHOULDER };
struct metal_hit {
  double distance; /* mm, >= 0; 0 inside metal; INFINITY when there is no metal */
  enum metal_kind kind;
  size_t index;
  enum metal_face face;
};
/* What is no number, or infinite, is in metal for all of these and stays off nothing. */
bool metal_contains(const struct metal *metal, vec3 point);
struct metal_hit metal_distance_point(const struct metal *metal, vec3 point);
/* Distance from a segment (a line in space) to metal: never above the truth, and at most
 * tolerance (> 0) below it; exact where the segment is level or upright. */
struct metal_hit metal_distance_segment(const struct metal *metal, vec3 a, vec3 b,
                                        double tolerance);
/* Distance from an upright solid: a disc of `radius` >= 0 whose centre sweeps the segment a b,
 * times the heights z_lo <= z <= z_hi.  Exact but for rounding (1e-9). */
struct metal_hit metal_distance_upright(const struct metal *metal, vec2 a, vec2 b, double radius,
                                        double z_lo, double z_hi);
/* True only if such a solid is at least `distance` (> 0) from metal.  Quickly told, of each
 * cross-section by one disc without metal; false also where that is not enough. */
bool metal_upright_stays_off(const struct metal *metal, vec2 a, vec2 b, double radius, double z_lo,
                             double z_hi, double distance);
/* A level region that holds all that a part sweeps, within the box lo .. hi: of a ring every point
 * between `inner` and `outer` mm from the centre that lies within the box; or a rectangle, which
 * may be flat, none of it farther than `outer` from the centre. */
struct metal_region {
  bool is_ring;
  vec2 centre;
  double inner, outer;
  vec2 corner[4]; /* of a rectangle, in the order walked */
  vec2 lo, hi;
  vec2 within; /* any point of it */
};
/* True only if every point nearer than `radius` (level) to the region, at all heights z_lo .. z_hi,
 * is at least `distance` (> 0) from metal.  False also where that is not plain to see. */
bool metal_stays_off(const struct metal *metal, const struct metal_region *region, double radius,
                     double z_lo, double z_hi, double distance);
/* The line or arc of the metal's boundary at the point's height that is nearest to it; metal lies
 * on one side of it all along.  An arc lies within a quarter of its circle. */
struct metal_line {
  vec2 a, b, centre; /* ends; an arc's centre */
  double radius;     /* 0: a line */
};
/* false: none within `within` mm. */
bool metal_line_beside(const struct metal *metal, vec3 point, double within,
                       struct metal_line *line);
/* What was hit, for a message, by any metal of the same plan: "the wall of free bore", "the floor
 * of free bore" (a ledge, too), "the shoulder of free bore" (what hangs over it), "solid boss",
 * "the clad of seal_wall", "the datum face", "the metal of the part" (beside or below every free
 * volume). */
const char *metal_hit_name(struct arena *arena, const struct metal *metal, struct metal_hit hit);

/* A lower bound on the distance to any fixed set over a stretch of motion.
 *   from, to      distances (or lower bounds on them) at its two ends, >= 0              mm
 *   length        of the stretch, > 0: seconds, or mm along a line, or what the rates are per
 *   speed, accel  bounds on the moving points' first and second derivative over it
 * The greater of the Lipschitz bound and of the chord less (speed^2 / D + accel) length^2 / 8, D
 * being the first; never below 0.  Proof in docs/clearance.md. */
double distance_dip(double from, double to, double length, double speed, double accel);

#endif
