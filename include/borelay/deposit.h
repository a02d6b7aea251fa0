/* deposit.h - bead, layer and heat figures in closed form (semantics.md, Deposit and Heat).
 *
 * Lengths mm, areas mm2, speeds mm/s, currents A, voltages V, energies kJ/mm, masses kg.
 * Every speed is > 0: zero or less is refused before it comes here. */
#ifndef BORELAY_DEPOSIT_H
#define BORELAY_DEPOSIT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "borelay/job.h"

/* What lap_count() gives where the wanted pitch is so small that no count makes sense. */
#define LAP_COUNT_MAX INT64_C(1000000000)

/* What source, wire and pool do at one place of a lap; A, V, mm/s, all > 0. */
struct lap_values {
  double current, voltage, travel_speed, wire_feed_speed;
};
struct lap_values lap_values_of(const struct procedure *procedure);

/* -- a change of values along the lap (change.c) ---------------------------------------------
 *
 * From `a` to `b` over a way on which all of them change evenly in time.  The speed being one of
 * them, its square changes evenly with the way, so that the way back passes the same values.
 * u: share of the time, 0 .. 1; x: share of the way. */
struct lap_values change_at(const struct lap_values *a, const struct lap_values *b, double u);
double change_share(double speed_a, double speed_b, double x); /* u at x */
double change_way(double speed_a, double speed_b, double u);   /* x at u */
double change_time(double speed_a, double speed_b, double way);
/* Least and largest arc energy on the way, kJ/mm: at an end, or where U I / v turns. */
struct range change_arc_energy(const struct lap_values *a, const struct lap_values *b);
/* Arc energy and bead's cross-section on the mean over the way. */
double change_arc_energy_mean(const struct lap_values *a, const struct lap_values *b);
double change_bead_area_mean(const struct procedure *procedure, const struct lap_values *a,
                             const struct lap_values *b);
/* Cross-section of a bead laid with `values`. */
double bead_area_at(const struct procedure *procedure, const struct lap_values *values);

/* Pitch over bead width above which a valley stays between neighbours: tangent overlapping model,
 * D. Ding, Z. Pan, D. Cuiuri, H. Li, A multi-bead overlapping model, RCIM 31 (2015) 101-110. */
#define TANGENT_PITCH_RATIO 0.738

/* Cross-section of one bead: all of the wire stays on the part. */
double bead_area(const struct procedure *procedure);
/* Width of one bead as it is laid: the bead's own and the sway's.  Every stage that asks how wide a
 * bead is asks here. */
double bead_width_laid(const struct procedure *procedure);
/* Laps of a band, and their pitch.  band >= bead_width.  wanted: p0 > 0.  pitch is 0 with one lap.
 */
int64_t lap_count(double band, double bead_width, double wanted_pitch);
double lap_pitch(double band, double bead_width, int64_t laps);
/* A min(1/p, n/w): metal as if spread evenly on a flat wall; A/w with one lap, which has no pitch.
 */
double layer_thickness_nominal(double area, double pitch, int64_t laps, double bead_width);
/* True thickness on a wall of radius R (turn +1 concave, -1 convex, 0 flat) whose flat figure is
 * `nominal`: R - sqrt(R^2 - 2 R nominal), or sqrt(R^2 + 2 R nominal) - R.  From the ring's area:
 * pi (R^2 - (R - t)^2) p = 2 pi R A.  R itself where the metal would fill the round (nominal >=
 * R/2). */
double layer_thickness_true(double nominal, int turn, double radius);
/* Thickness to rely on at the valley floors, from the true thickness (semantics.md: parabola beads,
 * tangent overlapping model above p = 0.738 w; Ding, Pan, Cuiuri and Li 2015).  A lap alone has no
 * neighbour and no valley.  Never more than the true thickness. */
double layer_thickness_flat(double area, double pitch, int64_t laps, double bead_width,
                            double true_thickness);
/* Height of the ridges over the valley floors of the same model, on a flat wall: the bead's own
 * height, 3A/(2w), less the floor's.  0 where the layer counts as flat (pitch <= 0.738 w), and for
 * a lap alone; all of the bead's height where no floor can be relied on.  Never less at a wider
 * pitch, and in proportion to the area. */
double layer_ridge(double area, double pitch, int64_t laps, double bead_width);
/* Share of iron after a layer, ratios: D Fe_below + (1 - D) Fe_wire. */
double iron_after_layer(double iron_below, double dilution, double iron_wire);
/* Fewest further layers, each with that dilution and wire, after which a metal of `iron` holds no
 * more than `limit`; -1: not with `most` of them.  Ratios. */
int64_t iron_layers_more(double iron, double dilution, double iron_wire, double limit,
                         int64_t most);
/* A dilution which, the same in all layers, leaves `limit` in the last of them: the largest, where
 * no wire holds more iron than what lies below it.  iron_wire: of each layer, from the first.  -1:
 * the last wire alone holds more; 1: any does.  Exact to the last bit, by halving. */
double iron_dilution_most(double iron_base, const double *iron_wire, size_t layers, double limit);

/* Thermal efficiency of the arc, ISO/TR 17671-1 (EN 1011-1), Table 1. */
double process_efficiency(enum process process);
/* U I / v, without the efficiency, as ASME IX QW-409.1 counts it. */
double arc_energy_kj_mm(double voltage, double current, double travel_speed);
/* The same times the efficiency of the process, as EN 1011-1 counts it. */
double heat_input_kj_mm(enum process process, double voltage, double current, double travel_speed);

/* Arc energy that a procedure's qualified ranges leave room for, kJ/mm: the least current and
 * voltage at the highest travel speed, up to the most at the lowest (rule of qualification
 * practice); a quantity without a limit counts as programmed.  0 .. INFINITY as far as the speed's
 * range holds none above 0. */
struct range arc_energy_qualified(const struct procedure *procedure);

/* Cooling time from 800 to 500 degC, s (formulas: cooling.c).  The metal's own temperature before
 * the bead, `from`, must be below COOLING_TO_DEGC; heat_input in kJ/mm, thickness in mm, > 0.  The
 * longer of both times governs: that of two-dimensional flow where the metal is thinner than
 * `transition`, at which they are alike. */
#define COOLING_TO_DEGC 500.0
struct cooling_time {
  double three_dimensional, two_dimensional; /* s */
  double transition;                         /* mm */
  bool is_two_dimensional;                   /* governs */
  double governing;                          /* s */
};
struct cooling_time cooling_time_find(double heat_input, double from, double thickness);

#endif
