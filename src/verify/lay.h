/* lay.h - what a layer has to be, by the formulas of docs/semantics.md, Deposit.
 *
 * A path is the unbroken way of a spiral, a stepped layer or one ring.  Places on it are told by
 * sigma: contour length from the path's start in the direction of travel, on the shape itself. */
#ifndef VERIFY_LAY_H
#define VERIFY_LAY_H

#include "verify/asked.h"
#include "verify/wall.h"

struct lay {
  const struct overlay *overlay;
  const struct layer *layer;
  const struct procedure *procedure;
  const struct wall *wall;
  uint32_t overlay_number, layer_number; /* from 1 */
  int dir;                               /* +1 anticlockwise */
  int64_t laps;
  double pitch; /* 0 with one lap */
  bool is_over; /* over the valleys of the layer below: its first and last step are half ones */
  double first, sink; /* depth of the first lap; what each further one lies deeper (signed) */
  double offset;      /* pool inside the wall */
  double nominal;     /* thickness */
  double nominal_least, nominal_most; /* over a lap with sectors */
  struct asked_lap asked;             /* along a lap */
  double width;                       /* of a bead, with its sway */
  double iron;                        /* NAN: not told */
  double s_start;                     /* of the first path */
  double stagger;                     /* rings: of each next one */
  double step, extra; /* stepped: length of a step; what a level run is longer than a turn */
  double unit;        /* stepped: turn, extra and step */
  double tie;
  int64_t rings_before; /* rings of the layers below */
};

struct lay_stack {
  struct lay *items; /* all layers of all overlays in welding order */
  size_t count;
  const struct wall **volumes; /* of the job's envelope */
  struct lie lie;
  bool is_whole; /* false: a wall or the datum could not be made, or: */
  bool is_unmet; /* no layers and overlap that the job leaves open meet what it requires */
};
/* The layers of one overlay with plain numbers; lays: zeroed, one each. */
void lay_overlay(struct arena *arena, struct lay *lays, const struct overlay *overlay,
                 uint32_t number, const struct wall *wall);
struct lay_stack lay_stack_make(struct arena *arena, const struct job *job);
const struct lay *lay_find(const struct lay_stack *stack, uint32_t overlay, uint32_t layer);

size_t lay_path_count(const struct lay *lay);
double lay_path_start(const struct lay *lay, size_t path);  /* s */
double lay_path_length(const struct lay *lay, size_t path); /* sigma, without tie-in */
double lay_s(const struct lay *lay, size_t path, double sigma);
/* Depth of a lap's centre line, from 0. */
double lay_lap_depth(const struct lay *lay, double lap);
/* How much deeper the next lap lies. */
double lay_sink(const struct lay *lay, double lap);
/* Nominal depth, its slope (mm of depth on a mm of contour) and how far the next knee of the slope
 * is, before or behind. */
struct lay_depth {
  double depth, slope;
  double knee;       /* mm of contour to the nearest knee; INFINITY: none */
  double knee_slope; /* by which the slope changes there */
  bool is_step;
};
struct lay_depth lay_depth(const struct lay *lay, size_t path, double sigma);
int64_t lay_lap(const struct lay *lay, size_t path, double sigma);
/* Where a lap begins on its path. */
double lay_lap_start(const struct lay *lay, int64_t lap);
size_t lay_lap_path(const struct lay *lay, int64_t lap);
/* Way of the pool in the plane, from the path's start. */
double lay_pool_way(const struct lay *lay, size_t path, double sigma);

/* True thickness of a layer over an edge of its wall, with sectors where it is thickest. */
double lay_true(const struct lay *lay, const struct edge *edge);
/* Its ridges over its valley floors. */
double lay_ridge(const struct lay *lay);
/* Over an overlay's own band, from all its layers: deposit.c. */
struct lay_remaining {
  double share;        /* limit over value, where it is largest: 1 is just enough */
  double value, limit; /* mm */
  bool is_clean_up;    /* value must reach the finished wall; else so much must remain */
};
struct lay_remaining lay_remaining_get(const struct lay *first, size_t layers);
/* Does everything that the layer asks for lie in its procedure's qualified ranges? */
bool lay_is_qualified(const struct lay *lay);
double lay_most_ridge(const struct lay *first, size_t layers);

#endif
