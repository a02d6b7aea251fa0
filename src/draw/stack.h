/* stack.h - metal and clad as a stack of prisms, and upright planes through it. */
#ifndef DRAW_STACK_H
#define DRAW_STACK_H

#include "draw/instant.h"
#include "draw/rim.h"

enum prism_kind { PRISM_FREE, PRISM_SOLID, PRISM_CLAD };
struct prism {
  enum prism_kind kind;
  struct range depths;
  struct rim rim;  /* of clad: the wall */
  struct rim face; /* of clad: its face */
  size_t index;    /* of the volume or overlay */
  size_t layers;   /* of clad: how many lie there */
};
struct stack {
  struct prism *prisms;
  size_t count;
};
/* layers: of each overlay that stand; NULL: no clad. */
struct stack stack_make(struct arena *arena, const struct outcome *outcome, const size_t *layers);

/* A rectangle of metal in the plane: out from the head's axis, depth. */
struct slab_part {
  struct range out, depths;
  bool is_clad;
  size_t overlay, layers; /* of clad */
};
/* Metal that an upright plane cuts within `out` and `depths`; from, along: its level line. */
size_t stack_cut(struct arena *arena, const struct stack *stack, vec2 from, vec2 along,
                 struct range out, struct range depths, struct slab_part **parts);

#endif
