/* deposit.h - bead, layer and heat figures in closed form (semantics.md, Deposit and Heat).
 *
 * Lengths mm, areas mm2, speeds mm/s, currents A, voltages V, energies kJ/mm, masses kg. */
#ifndef BORELAY_DEPOSIT_H
#define BORELAY_DEPOSIT_H

#include <stdint.h>

#include "borelay/job.h"

/* Cross-section of one bead: all of the wire stays on the part. */
double bead_area(const struct procedure *procedure);
/* Laps of a band, and their pitch.  band >= bead_width.  wanted: p0 > 0.  pitch is 0 with one lap. */
int64_t lap_count(double band, double bead_width, double wanted_pitch);
double lap_pitch(double band, double bead_width, int64_t laps);
/* A min(1/p, n/w): metal as if spread evenly on a flat wall. */
double layer_thickness_nominal(double area, double pitch, int64_t laps, double bead_width);
/* True thickness on a wall of radius R (turn +1 concave, -1 convex, 0 flat) whose flat figure is
 * `nominal`: R - sqrt(R^2 - 2 R nominal), or sqrt(R^2 + 2 R nominal) - R. */
double layer_thickness_true(double nominal, int turn, double radius);
/* Thickness to rely on at the valley floors, from the true thickness (semantics.md: parabola beads,
 * tangent overlapping model above p = 0.738 w; Ding, Pan, Cuiuri and Li 2015). */
double layer_thickness_flat(double area, double pitch, int64_t laps, double bead_width,
                            double true_thickness);
double iron_after_layer(double iron_below, double dilution, double iron_wire);

double process_efficiency(enum process process);
double arc_energy_kj_mm(double voltage, double current, double travel_speed);
double heat_input_kj_mm(enum process process, double voltage, double current, double travel_speed);

#endif
