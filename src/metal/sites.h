/* sites.h - metal by sites: volumes and clad that lie near each other, seen from above.
 *
 * The boxes of two sites have nothing in common, and outside every box the metal is that of the
 * bare part: all below the datum face, nothing above it.  Each site has a stack of slabs of its
 * own, which knows nothing of the others and takes what is outside its box for bare metal. */
#ifndef METAL_SITES_H
#define METAL_SITES_H

#include "borelay/metal.h"
#include "metal/outlines.h"

struct site {
  struct box box;
  size_t *volumes, *overlays; /* indices into the envelope and the plan */
  size_t volume_count, overlay_count;
  bool stands; /* some of it stands above the datum face */
};

struct sites {
  struct site *items;
  size_t count;
  struct box_tree tree;
  bool any_stands;
  size_t *of_overlay; /* which site an overlay belongs to */
};

struct sites sites_find(struct arena *arena, const struct plan *plan,
                        const struct outlines *outlines);

/* The site whose box holds p; sites.count when none does. */
size_t site_at(const struct sites *sites, vec2 p);

/* Every site whose box is within `reach` of the given one, nearer branches first.  The walk asks
 * for reach anew each time, so that it may shrink meanwhile. */
struct site_walk {
  const struct sites *sites;
  struct box box;
  size_t stack[BOX_TREE_DEPTH], height;
  size_t leaf, leaf_end; /* places of the tree's order still to look at */
};
void site_walk_begin(struct site_walk *walk, const struct sites *sites, struct box box);
/* False when there is none left. */
bool site_walk_next(struct site_walk *walk, double reach, size_t *site);

#endif
