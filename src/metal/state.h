/* state.h - the metal of a state: its sites, each with the stack that stands there now. */
#ifndef METAL_STATE_H
#define METAL_STATE_H

#include "metal/slabs.h"

struct metal {
  struct arena *arena;
  const struct plan *plan;
  bool nominal;
  double face_z; /* of the datum face */
  struct outlines outlines;
  struct sites sites;
  struct stack *stacks;      /* one for each site */
  struct stack bare;         /* outside every site's box */
  size_t *layers;            /* standing, for each overlay */
  const struct metal *other; /* NULL, or of the same sites and `nominal` */
  size_t made;               /* stacks made since the first ones */
};

/* The stack that holds at p, seen from above. */
const struct stack *metal_stack_at(const struct metal *metal, vec2 p);

struct metal_hit metal_no_hit(void);
/* Of what is nowhere: numbers that are none. */
struct metal_hit metal_no_place(void);

#endif
