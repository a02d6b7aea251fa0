/* region.h - lower bounds on how far lines and arcs stay off a level region (docs/clearance.md). */
#ifndef METAL_REGION_H
#define METAL_REGION_H

#include "borelay/metal.h"
#include "metal/strip.h"

/* Whether everything that lies in both the box and the strip, or the edge, is at least `distance`
 * off the region; false where that is not plain to see. */
bool region_off_node(const struct metal_region *region, struct box box, const struct strip *strip,
                     double distance);
bool region_off_edge(const struct metal_region *region, const struct edge *edge, double distance);

#endif
