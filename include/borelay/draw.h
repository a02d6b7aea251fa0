/* draw.h - drawings of an outcome as plain SVG, for pages, for print and to lie over one another.
 *
 * Every text is one whole <svg> element with title and desc, no scripts; same outcome, same bytes.
 * Names of classes, ids and data attributes are docs/drawings.md.  User units of plan, section and
 * wall are millimetres:
 *   plan     x and -y of the cell frame
 *   section  out along the torch from the head's axis, and -z of the cell frame
 *   wall     s along the contour, and depth times the drawing's data-depth-scale
 * Overlays and layers count from 0 in arguments, from 1 in what is drawn, as the stream has them.
 * Texts are in the arena.  NULL: the outcome was refused before there was anything to draw (plan,
 * section, wall, axes and bore need motion; checks need the verdict). */
#ifndef BORELAY_DRAW_H
#define BORELAY_DRAW_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/emit.h"
#include "borelay/path.h"

struct arena;

struct draw_look {
  const char *prefix; /* begins every id, so that drawings may share a page; "" or a name */
  bool embedded;      /* no <style> inside and no size: the page holds draw_style()'s text once */
};

/* The rules that every drawing is written for; colours come from custom properties of the page,
 * with values of their own to fall back on. */
const char *draw_style(struct arena *arena);

/* -- whole drawings -------------------------------------------------------------------------- */

/* One overlay seen from outside the part, with the head as it is at t (s). */
const char *draw_plan(struct arena *arena, const struct outcome *outcome, size_t overlay, double t,
                      const struct draw_look *look);
/* The upright plane through the head's axis and the torch at t, with the metal that counts as
 * standing for bodies and torch then. */
const char *draw_section(struct arena *arena, const struct outcome *outcome, double t,
                         const struct draw_look *look);
/* The wall of one overlay unrolled, as if seen from within the metal, so that s runs to the right.
 * The last layer over a pale first; every layer is in the text. */
const char *draw_wall(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look);
/* The same with the thickness after the last layer by colour instead of the bands. */
const char *draw_thickness(struct arena *arena, const struct outcome *outcome, size_t overlay,
                           const struct draw_look *look);
/* Every check as a bar of its worst value against its limit. */
const char *draw_checks(struct arena *arena, const struct outcome *outcome,
                        const struct draw_look *look);
/* Speed and acceleration of every axis over time between their least and largest values. */
const char *draw_axes(struct arena *arena, const struct outcome *outcome,
                      const struct draw_look *look);
/* Thickness over depth of one overlay: mean and valley floors, and what is required. */
const char *draw_bore(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look);

/* -- what a page needs to draw on ------------------------------------------------------------ */

/* The instant at which a check of that name is worst; < 0: it has none. */
double draw_check_time(const struct outcome *outcome, const char *name);
/* An instant worth drawing in an overlay's plan: when the bodies are nearest to metal, if the head
 * is in this overlay's bore then; else the middle of its first weld. */
double draw_overlay_time(const struct outcome *outcome, size_t overlay);
/* Pose of the head at t (s), within the stream's time. */
struct pose draw_pose_at(const struct motion *motion, double t);
/* Least and largest speed (mm/s, rad/s) and acceleration of each axis in `buckets` equal stretches
 * of the stream's time, to 5e-4 of the limit. */
struct axis_ranges {
  size_t buckets;
  double duration; /* s */
  struct range *speed[AXIS_COUNT], *accel[AXIS_COUNT];
};
const struct axis_ranges *draw_axis_ranges(struct arena *arena, const struct motion *motion,
                                           size_t buckets);
/* What the check of thickness relies on at a depth of an overlay: the least build-up at the valley
 * floors round the contour, mm. */
double draw_floor_at(const struct plan_overlay *overlay, double depth);
/* The closed contours of every volume and of every layer's clad, as JSON: what a section at any
 * instant is cut from (docs/drawings.md).  NULL without motion. */
const char *draw_cut_data(struct arena *arena, const struct outcome *outcome);

/* -- drawings put together ------------------------------------------------------------------- */

/* In user units; x0 < x1, y0 < y1 (y down, as SVG counts). */
struct draw_box {
  double x0, y0, x1, y1;
};
struct draw_box draw_box_join(struct draw_box a, struct draw_box b);
struct draw_box plan_extents(const struct outcome *outcome, size_t overlay);
/* Depths unscaled; drawing_open_wall() scales them. */
struct draw_box wall_extents(const struct outcome *outcome, size_t overlay);

struct drawing;
/* Opens a drawing with axes, scale and a clipped field of the given extents.  What is put next lies
 * in the field. */
struct drawing *drawing_open_plan(struct arena *arena, struct draw_box extents, const char *id,
                                  const char *title, const struct draw_look *look);
/* angles: marks of degrees above the field, `perimeter` being one turn; else perimeter is 0. */
struct drawing *drawing_open_wall(struct arena *arena, struct draw_box extents, double perimeter,
                                  const char *id, const char *title, const struct draw_look *look);
void drawing_group(struct drawing *drawing, const char *class_name);
void drawing_group_end(struct drawing *drawing);
/* Ends field and text. */
const char *drawing_close(struct drawing *drawing);

void plan_put_metal(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void plan_put_contour(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void plan_put_zones(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void plan_put_paths(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void plan_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void plan_put_head(struct drawing *drawing, const struct outcome *outcome, double t);

/* Largest thickness looked at, mm: what colours are spread over.  wall_put_thickness: the field,
 * one group after each layer. */
double wall_thickness_most(const struct outcome *outcome, size_t overlay);
void wall_put_thickness(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                        double most);
void wall_put_sectors(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void wall_put_zones(struct drawing *drawing, const struct outcome *outcome, size_t overlay);
void wall_put_beads(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                    size_t layer);
/* Patches of the wall in one path, in the order of s_from: depths at both ends, straight between.
 * Those that follow one another are drawn as one. */
struct wall_patch {
  double s_from, s_to;
  struct range depths_from, depths_to;
};
void wall_put_patches(struct drawing *drawing, const char *class_name,
                      const struct wall_patch *patches, size_t count);
void wall_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                    size_t layer);

/* -- a folder of drawings -------------------------------------------------------------------- */

/* Every drawing of the outcome, each as a file of the folder; nothing is written.  All of it in the
 * arena. */
const struct output *draw_sheets(struct arena *arena, const struct outcome *outcome,
                                 const char *folder, size_t *count);

#endif
