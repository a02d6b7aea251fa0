/* path.h - timed pieces of motion in closed form, and bounds on them.
 *
 * A piece holds for t0 <= t <= t1 (s from the start of the stream) and gives H and the head
 * angle as
 *     q    = q(t - t0)                                  cubic, q never falls, 0 <= q <=
 * curve.length phi  = turn(q), head = head(q), z = z(q)          cubics x, y = centre + radius (cos
 * phi, sin phi)         when the guide is an arc = centre + phi * direction                   when
 * the guide is a line (phi in mm)
 *            - rho (cos head, sin head)
 * rho is the head's reach where the guide is the tip's locus, 0 where it is H itself.  On an
 * arc whose head angle equals phi both terms are merged: radius := radius - reach, rho := 0.
 * The tip is always H + reach (cos head, sin head), z - drop.  All in the cell frame. */
#ifndef BORELAY_PATH_H
#define BORELAY_PATH_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/job.h"
#include "borelay/num.h"

struct curve {
  double length; /* the cubics hold for 0 <= q <= length (mm of pool path, or 0..1 on a straight
                    move) */
  bool is_line;
  vec2 centre;    /* arc's centre, or a point on the line */
  vec2 direction; /* line only, unit */
  double radius;  /* arc only; may be negative */
  double rho;
  struct cubic turn, head, z; /* in q */
};

struct piece {
  double t0, t1;
  struct cubic q; /* in (t - t0) */
  struct curve curve;
};

struct pose {
  double x, y, z, head;
};
struct pose piece_at(const struct piece *piece, double t);

/* The same at many times, for rows: z and head to the same bits, x and y so near that they come to
 * the same millionth of a mm, where halves go away from zero.  In two steps; pieces that lie on one
 * circle or line can have the second together.  Places are those from `at` on; at + count <=
 * POSES_MOST. */
enum { POSES_MOST = 256 };
struct poses {
  double x[POSES_MOST], y[POSES_MOST], z[POSES_MOST], head[POSES_MOST];
  double turn[POSES_MOST]; /* phi */
};
/* z, head and turn at count times t. */
void piece_turns(const struct piece *piece, const double *t, size_t count, struct poses *poses,
                 size_t at);
/* x and y, from head and turn. */
void poses_place(const struct curve *curve, struct poses *poses, size_t at, size_t count);
/* The same, but not so near where a half of a millionth is: off by so many millionths of a mm as is
 * returned, at most.  For whoever looks for halves anyway. */
double poses_place_nearly(const struct curve *curve, struct poses *poses, size_t at, size_t count);
/* Either curve does for poses_place() of the other's. */
bool curve_is_on(const struct curve *a, const struct curve *b);

/* Value and time derivatives 1..3 of each axis at t: jet[axis][k]. */
struct jet {
  double d[AXIS_COUNT][4];
};
struct jet piece_jet(const struct piece *piece, double t);

/* Enclosures over a whole stretch of time ta <= t <= tb inside the piece: for each axis and
 * k = 0..3 a range that holds every value of the k-th derivative.  Converges to the exact range
 * as tb - ta goes to 0.  Interval arithmetic on the closed form; the rounding of doubles (below
 * 1e-9) is not added. */
struct jet_range {
  struct range d[AXIS_COUNT][4];
};
struct jet_range piece_jet_range(const struct piece *piece, double ta, double tb);
/* The same, and what the piece does at either end, which costs little more. */
struct jet_stretch {
  struct jet from, to;
  struct jet_range all;
};
void piece_jet_stretch(const struct piece *piece, double ta, double tb,
                       struct jet_stretch *stretch);

/* Upper bounds over a stretch, from which those for a point at any lever follow; [0] for the first
 * derivative by time, [1] for the second. */
struct motion_bound {
  double level[2];   /* of H, across the axis */
  double rise[2];    /* of z */
  double carried[2]; /* of what a lever of 1 mm adds, across the axis */
  double turning;    /* |head''| */
};
struct motion_bound piece_motion_bound(const struct piece *piece, double ta, double tb);

/* For a point carried by the head at `lever` mm from its axis: its speed (mm/s) and acceleration
 * (mm/s2) in space. */
struct point_bound {
  double speed, accel;
};
struct point_bound motion_point_bound(const struct motion_bound *bound, double lever);
struct point_bound piece_point_bound(const struct piece *piece, double ta, double tb, double lever);
/* On |H''| + lever |head''|, mm/s2.  Times h^2/8 it is the farthest that a point carried at `lever`
 * may be from where x, y, z and head would have it if each ran straight over a time h of the
 * stretch. */
double motion_chord_bound(const struct motion_bound *bound, double lever);

#endif
