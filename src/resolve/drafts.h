/* drafts.h - what the tables of keys fill before it becomes part of the job. */
#ifndef RESOLVE_DRAFTS_H
#define RESOLVE_DRAFTS_H

#include "borelay/job.h"

struct torch_draft {
  double radius;
  bool has_root;
  vec2 root; /* out, up */
  double electrode_extension, reach, drop;
  enum wire_side wire_side;
};

struct working_range_draft {
  vec3 from;
  struct range radius;
};

struct keep_out_draft { /* two opposite corners, in any order */
  vec3 from, to;
};

/* The keys of `layer` stand in the overlay too: there they hold for every layer. */
struct layer_draft {
  struct layer layer;
  bool has_overlap;
};

struct overlay_draft {
  struct overlay overlay;
  struct layer_draft every_layer;
  double start_angle, start_along;
  size_t start_straight;
};

#endif
