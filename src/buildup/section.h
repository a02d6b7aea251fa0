/* section.h - the beads of one layer at one place of the contour. */
#ifndef BUILDUP_SECTION_H
#define BUILDUP_SECTION_H

#include <stddef.h>

#include "borelay/job.h"
#include "buildup/across.h"
#include "buildup/pour.h"

/* What the runs of one layer laid. */
struct poured {
  const struct plan_layer *layer;
  struct pour *pours;
  size_t count, room;
};

/* Beads in the order of their depth.  Begun empty; released when done with. */
struct section {
  struct bead few[48];
  struct bead *space; /* few, or more that are ours: room at both ends of the items */
  struct bead *items;
  size_t count, room;
};
void section_begin(struct section *section);
void section_release(struct section *section);
/* Adds the beads at s whose centres lie within `depths`. */
void section_fill(struct section *section, const struct poured *poured, double s,
                  struct range depths);

#endif
