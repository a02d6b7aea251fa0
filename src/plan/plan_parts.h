/* plan_parts.h - what the files of this room share. */
#ifndef PLAN_PLAN_PARTS_H
#define PLAN_PLAN_PARTS_H

#include "borelay/diag.h"
#include "borelay/plan.h"

/* A stretch of the lap that one sector holds. */
struct sector_part {
  const struct sector *sector;
  double from, to; /* s; 0 <= from < perimeter, to <= from + perimeter */
};
struct sector_parts { /* in order of from */
  struct sector_part *items;
  size_t count;
};

/* One overlay on its contour, while it is being planned. */
struct plan_site {
  struct arena *arena;
  struct diag_list *diags;
  const struct cell *cell;
  const struct overlay *overlay;
  const struct contour *contour;
  double part_turned; /* rad: the part's turn in the cell */
  struct sector_parts sectors;
};

/* Place of a key that a layer may override: in its own block where it stands there. */
span site_layer_place(const struct plan_site *site, const struct layer *layer, const char *key);

/* A contour length as written, in mm. */
double site_length_along(const struct plan_site *site, struct along along);

/* Where the overlay's sectors lie.  false: an error was told, and there are none.
 */
bool sector_parts_find(const struct plan_site *site, struct sector_parts *parts);
/* What changes along a lap of the layer, by the overlay's sectors; layer->procedure is set.  false:
 * an error was told. */
bool layer_sectors(const struct plan_site *site, struct plan_layer *layer);

/* Laps, depths, bead and heat of one layer; below is NULL for layer 1.  Of the layer below only
 * the laps matter, and only over valleys.  false: an error was told. */
bool layer_laps(const struct plan_site *site, const struct plan_layer *below,
                struct plan_layer *layer);
/* Over the valleys of the layer below: do band, bead and step suit?  Then laps and pitch are set.
 * false: an error was told. */
bool valley_laps(const struct plan_site *site, const struct plan_layer *below,
                 struct plan_layer *layer);
/* Its qualified heat and cooling time.  false: an error was told. */
bool layer_heat(const struct plan_site *site, struct plan_layer *layer);
/* Offset, true and flat thickness, iron; below is NULL for layer 1.  false: an error was told. */
bool layer_stack(const struct plan_site *site, const struct plan_layer *below,
                 struct plan_layer *layer);

/* Laps of all layers, then how they lie on one another; overlay->overlay, contour and layer_count
 * are set, layers are zero.  false: an error was told. */
bool overlay_lap(const struct plan_site *site, struct plan_overlay *overlay);
bool overlay_stack(const struct plan_site *site, struct plan_overlay *overlay);
/* The site's overlay with plain numbers: itself where nothing is left open; *choice is set where
 * something is.  NULL: nothing meets what is required, and that was told. */
const struct overlay *overlay_choose(const struct plan_site *site,
                                     const struct plan_choice **choice);

/* Do layer and tip pass between walls that face one another?  Offset and thickness must be known,
 * and the offsets of layer and tip leave every radius.  false: an error was told. */
bool layer_passes_necks(const struct plan_site *site, const struct plan_layer *layer);

/* Contour lengths in mm that the paths of a layer are made of. */
struct run_lengths {
  double start;   /* s where layer 1, ring 0 starts */
  double tie_in;  /* >= 0 */
  double stagger; /* >= 0 */
  double step;    /* `stepped`, > 0 */
};
/* false: an error was told. */
bool run_lengths_find(const struct plan_site *site, const struct plan_layer *layer,
                      struct run_lengths *lengths);
/* Fills in turns and paths.  rings_below: rings laid in the layers below. */
void layer_paths(const struct plan_site *site, const struct run_lengths *lengths,
                 int64_t rings_below, struct plan_layer *layer);
/* Breaks the paths into runs where zones ask for it; an error where these leave nothing. */
void layer_runs(const struct plan_site *site, struct plan_layer *layer);

/* A run without the first `behind` mm of contour (0 <= behind < its length). */
struct plan_run run_rest(struct arena *arena, const struct contour *contour,
                         const struct plan_layer *layer, const struct plan_run *run, double behind);

/* Does the finished wall keep every radius of the wall?  false: an error was told. */
bool finish_is_inside(const struct plan_site *site);

/* The overlay's own `depths`: what every layer has that does not give its own; where all give their
 * own, whatever any of them covers.  Between one edge of any layer and the next one deeper, at most
 * `deepest`, the layers are the same. */
struct range overlay_band(const struct overlay *overlay);
double overlay_next_edge(const struct plan_overlay *overlay, double depth, double deepest);
/* Edges that are equal on paper may differ by this after conversion of units, mm. */
#define CLAD_SAME_EDGE 1e-6

/* Least true and flat thickness over the overlay's band, from the layers that lie at each depth. */
void overlay_thickness(struct plan_overlay *overlay);

#endif
