/* plan.h - overlays become layers, laps and runs, in contour and depth coordinates.
 *
 * No time yet.  Positions s are on the shape itself, in the contour's s, not wrapped:
 * a run that goes anticlockwise (dir +1) has s rising, clockwise (dir -1) falling.
 * Depths are mm below the datum face. */
#ifndef BORELAY_PLAN_H
#define BORELAY_PLAN_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/contour.h"
#include "borelay/deposit.h"
#include "borelay/job.h"

struct arena;
struct diag_list;

/* A stretch of a run on which the depth changes evenly with the length of the pool's path. */
struct plan_leg {
  double s_length; /* contour length on the shape, > 0 */
  double depth_from, depth_to;
  int64_t lap;  /* from 1, as the stream shows it; a step belongs to the lap before it */
  bool is_step; /* the step of `stepped`: arc voltage control is off */
};

/* The unbroken way of one spiral, one stepped layer or one ring, as if no zone were there: legs,
 * the last of which is the tie-in where there is one.  Places on it are told by sigma, the contour
 * length from its start, >= 0, whatever the direction. */
struct plan_path {
  double s_start; /* 0 <= s_start < perimeter */
  struct plan_leg *legs;
  size_t leg_count;
  double tie_in; /* contour length of the last leg when it is the tie-in, else 0 */
};

/* One stretch of a path that the arc goes without a break: the whole path, or what zones leave of
 * it.  Where `room` is finite a zone begins that far behind the last leg, and the arc is out
 * there: the downslope lies before it, within the legs as far as room does not hold it.
 * Otherwise the downslope goes on along the contour at the last depth, lap as in the last leg. */
struct plan_run {
  size_t path;     /* of its layer */
  double from, to; /* sigma on the path where its legs begin and end */
  double s_start;  /* 0 <= s_start < perimeter */
  struct plan_leg *legs;
  size_t leg_count;
  double room; /* mm of contour >= 0; INFINITY where no zone stands in the way */
  /* From where the run before ends to this one's start, with the arc out along the same path; none
   * where this run is the first of its path. */
  struct plan_leg *crossing;
  size_t crossing_count;
};

/* A stretch of the lap on which the values change from those of one sector, or of the procedure, to
 * those of the next, evenly in time (deposit.h, change.c): centred on an edge, half of the ramp
 * before it, half behind it, whatever the direction of travel. */
struct lap_change {
  double from, to;                 /* s on the shape; 0 <= from < perimeter, from < to */
  struct lap_values before, after; /* at lower s and at higher s */
  const struct sector *sector;     /* whose ramp it is */
};

/* Cooling time from 800 to 500 degC of a layer's runs (deposit.h, struct cooling_time), where the
 * overlay tells the thickness of the part's wall. */
enum cooling_start {                    /* whose temperature it starts from */
                     COOLING_FROM_ROOM, /* 20 degC: the procedure gives none */
                     COOLING_FROM_PREHEAT,
                     COOLING_FROM_INTERPASS
};
struct plan_cooling {
  enum cooling_start start;
  double from;                               /* degC, below 500 */
  double wall;                               /* mm, behind the clad */
  double three_dimensional, two_dimensional; /* s, by either kind of heat flow */
  double transition;                         /* mm: a thinner wall cools in two dimensions */
  bool is_two_dimensional;
  double time; /* s, the longer of both: it governs; all of these at the layer's heat input */
  struct range times; /* s, of the least and the most heat input over a lap */
};

/* Arc energy of a stretch of the lap: level, or a ramp between sectors, on which it leads from one
 * to the other and may pass both. */
struct lap_heat {
  double from, to; /* s on the shape, 0 <= from < perimeter, from < to */
  bool is_ramp;
  double before, after; /* kJ/mm, at lower s and at higher s */
  struct range all;     /* least and most */
};

struct plan_layer {
  const struct layer *layer;
  const struct procedure *procedure;
  int64_t number; /* from 1 */
  int dir;        /* +1 anticlockwise, -1 clockwise */
  int64_t laps, turns;
  /* Its laps lie midway between those of the layer below, but for the outer two at the edges: one
   * lap more, `pitch` between neighbours, half of it at both edges. */
  bool is_over_valleys;
  double wanted_pitch, pitch; /* pitch 0 with one lap */
  double overlap; /* 1 - pitch / width as laid; 0 with one lap, which has no neighbour */
  double first_depth, last_depth; /* centre lines of the first and last lap */
  double offset;                  /* d_k */
  double thickness;               /* nominal */
  double bead_area; /* with sectors, here and in thickness: on the mean over a lap's contour */
  /* Changes along the lap in order of `from`, apart from one another; none: `values` all round. */
  struct lap_change *changes;
  size_t change_count;
  struct lap_values values;
  struct lap_values values_least, values_most;           /* of each value, over a lap */
  struct range bead_areas, thicknesses;                  /* least and most over a lap; nominal */
  struct range arc_energies, heat_inputs, wire_energies; /* kJ/mm; the ramps are in it */
  double wall_true; /* least true thickness of this layer over the contour's segments */
  double wall_flat; /* least flat thickness */
  double ridge;     /* most height of its ridges over its valley floors, on a flat wall */
  bool has_iron;
  double iron;                                /* ratio, after this layer */
  double arc_energy, heat_input, wire_energy; /* kJ/mm; with sectors on the mean over a lap */
  /* What the procedure's qualified ranges of current, voltage and travel speed leave room for,
   * kJ/mm; hi may be INFINITY. */
  bool has_qualified_heat;
  struct range arc_energy_qualified, heat_input_qualified;
  struct lap_heat *lap_heats; /* once round, in order; none where it is alike all round */
  size_t lap_heat_count;
  bool has_cooling;
  struct plan_cooling cooling;
  struct plan_path *paths; /* one; a ring each for `rings` */
  size_t path_count;
  struct plan_run *runs; /* in order, path after path; a path that zones take whole has none */
  size_t run_count;      /* >= 1 */
};

/* What `require` may ask for. */
enum demand { DEMAND_THICKNESS, DEMAND_FLATNESS, DEMAND_IRON, DEMAND_COUNT };
struct plan_demand {
  bool is_asked;   /* false: nothing below means anything */
  const char *key; /* of `require`, that is judged: for thickness it may be `finish` */
  double value;    /* what the plan gives: mm, or a ratio for iron */
  double limit;    /* thickness: a least; flatness and iron: a most */
  double share;    /* of the limit: 1 where they are equal, more where it is missed */
  bool is_met;
};

/* Layers and overlap that were looked at for `auto`. */
struct plan_try {
  size_t layers;
  int64_t laps;   /* of all layers together */
  double overlap; /* of the layers with `overlap auto` */
  bool is_sound;  /* laps fill the bands, whatever lies below */
  bool is_laid;   /* no layer, nor the tip over it, loses the wall's shape; the further layers keep
                     their qualified ranges, and the head can turn as far as a run asks */
  bool is_met;    /* every demand is */
  const char
      *why; /* what keeps more from being laid: a message of the plan's, at why_at; or NULL */
  span why_at;
  struct plan_demand demands[DEMAND_COUNT]; /* where is_laid */
};
struct plan_choice {
  bool layers_auto, overlap_auto;
  struct plan_try chosen;
  bool has_fewer;        /* else one layer is the least, or the count is not open */
  struct plan_try fewer; /* one layer fewer, at the pitch that comes nearest */
  bool has_wider;        /* else the band holds no fewer laps, or the overlap is not open */
  struct plan_try wider; /* as many layers at the next wider pitch */
};

struct plan_overlay {
  const struct overlay *overlay;    /* with plain numbers where the source leaves them open */
  const struct plan_choice *choice; /* NULL: nothing was open */
  const struct contour *contour;
  struct plan_layer *layers;
  size_t layer_count;
  /* Sums of wall_true and wall_flat of the layers that lie at a depth, least over the overlay's own
   * `depths`: a layer with depths of its own may leave part of the band to the others. */
  double thickness_true, thickness_flat;
  /* Sum of the layers' ridges, most over the same depths: as if ridges lay upon ridges. */
  double ridge;
};

struct plan {
  const struct job *job;
  struct placement placement;
  struct plan_overlay *overlays; /* in welding order */
  size_t overlay_count;
  struct fit *fits;
  size_t fit_count;
  const struct contour **volume_contours; /* one for each volume of the job's envelope */
};

/* Depth of a lap's centre line; lap from 0. */
double plan_lap_depth(const struct plan_layer *layer, int64_t lap);

/* NULL when anything is refused (errors in diags). */
const struct plan *plan_make(struct arena *arena, const struct job *job, struct diag_list *diags);

/* Where a weld was broken off: a place on the shape in one lap of one layer. */
struct resume_point {
  const char *overlay;
  int64_t layer, lap; /* from 1 */
  double along;       /* mm of contour, any whole number of turns off */
};
struct resume { /* indices of the run that is taken up */
  size_t overlay, layer, run;
  const struct plan_run *whole; /* as first planned */
  const struct plan_run *rest;  /* what is left of it, in the resumed plan */
  double overlap;               /* mm of contour by which it starts before the place */
};
/* The plan from there on: the run under way starts a tie-in before the place, on its own path, or
 * so much earlier that its wire is there; those behind it are to be passed over.  In a zone, or
 * between runs: the next run.  NULL, and *why in words: there is no such place. */
const struct plan *plan_resume(struct arena *arena, const struct plan *plan,
                               const struct resume_point *point, struct resume *resume,
                               const char **why);

/* What is asked for at a place s of a lap (any number of turns off); on a change the place is
 * measured along the layer's own offset. */
struct lap_values plan_values_at(const struct plan_overlay *overlay, const struct plan_layer *layer,
                                 double s);

/* A qualified range of a layer's procedure beside what the layer asks for. */
struct plan_limit {
  bool is_asked;          /* false: the procedure states none */
  const char *key, *unit; /* of `limit`; the unit shown */
  double per_unit;        /* what the figures are in it: as inside, divided by this */
  struct range values;    /* least and most over a lap */
  struct range limit;     /* lo = -INFINITY where only an upper one is given */
  double high, low;       /* how far the values go towards either end: 1 on it, more beyond */
  bool is_kept;
};
struct plan_limit plan_limit_get(const struct plan_layer *layer, enum limit_kind kind);

struct plan_demand plan_demand_get(const struct plan_overlay *overlay, enum demand demand);
const char *demand_name(enum demand demand); /* as the key of `require`, and its check */

/* Least true build-up, at the valley floors, on a segment of the contour at a depth, mm: of all
 * layers that lie there, by the lesser of their own figures' sum and the exact area of their metal.
 * Half a bead inside the edges of its layers and the ends of its beads the metal stands nowhere
 * lower (docs/buildup.md, section 5). */
double plan_build_up_least(const struct plan_overlay *overlay, const struct contour_seg *seg,
                           double depth);
/* The same if `more` layers like the last one followed and every wire fed `feed` times as fast. */
double plan_build_up_with(const struct plan_overlay *overlay, const struct contour_seg *seg,
                          double depth, size_t more, double feed);

/* Build-up on the mean after `layers` layers on a segment, mm, by the exact area of the metal
 * between two circles; its range over the contour; and that of one layer on its own wall.  A layer
 * with depths of its own is counted in. */
double plan_build_up_mean(const struct plan_overlay *overlay, size_t layers,
                          const struct contour_seg *seg);
struct range plan_build_up_range(const struct plan_overlay *overlay, size_t layers);
struct range plan_layer_true(const struct plan_overlay *overlay, const struct plan_layer *layer);
/* The bore left inside after `layers` layers, mm, by the build-up on the mean: across along the
 * shape's length and width (both the diameter, on a round); 0 on an outline, which has no such. */
struct bore_left {
  enum shape_kind kind;
  double length, width;
};
struct bore_left plan_bore_left(const struct plan_overlay *overlay, size_t layers);

/* What `require { thickness; finish }` asks, at the place of the wall that comes nearest to its
 * limit or misses it by most. */
struct plan_remaining {
  bool is_asked; /* thickness or finish; else nothing below means anything */
  bool is_met;
  double share;        /* of the limit: 1 where they are equal, more where it is missed */
  bool is_clean_up;    /* what is judged there: does the metal reach the finished wall? value is the
                          build-up, limit the finished wall.  Else: does enough metal remain? */
  double value, limit; /* mm from the wall */
  double build_up;     /* mm, at the valley floors there */
  struct range finish; /* mm from the wall to the finished one on that segment; INFINITY: none */
  size_t seg;          /* of the contour */
  struct range depths; /* the layers are the same between */
};
struct plan_remaining plan_remaining_get(const struct plan_overlay *overlay);
/* The same if `more` layers like the last one followed and every wire fed `feed` times as fast. */
struct plan_remaining plan_remaining_with(const struct plan_overlay *overlay, size_t more,
                                          double feed);
/* The least `finish` that leaves the required thickness wherever there is metal enough; what is
 * asked, where that does. */
double plan_finish_least(const struct plan_overlay *overlay);
/* Does the wall, so many mm further inside, keep every radius? */
bool plan_radii_last(const struct plan_overlay *overlay, double inside);

/* Sum of true thicknesses of layers 1 .. `layers` on a segment of the contour (mm), each on the
 * wall moved inward by the nominal thicknesses below it, with sectors where each layer stands
 * thickest; and the same of the nominal ones.  Where
 * layers have depths of their own, a layer's own share is the difference to the sum below it. */
double plan_clad_true(const struct plan_overlay *overlay, size_t layers,
                      const struct contour_seg *seg);
double plan_clad_nominal(const struct plan_overlay *overlay, size_t layers);

#endif
