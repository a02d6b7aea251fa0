/* plan_view.c - one overlay seen from outside the part, in the cell frame.
 *
 * x and -y in millimetres, so that a pose of the stream moves the head as it is (docs/drawings.md).
 */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/digits.h"
#include "borelay/num.h"
#include "draw/head.h"
#include "draw/plan_view.h"
#include "draw/rim.h"
#include "draw/sheet.h"
#include "draw/zone_wall.h"

static struct range band_of(const struct plan_overlay *overlay) {
  struct range band = overlay->layers[0].layer->depths;
  for (size_t k = 1; k < overlay->layer_count; k++) {
    band.lo = fmin(band.lo, overlay->layers[k].layer->depths.lo);
    band.hi = fmax(band.hi, overlay->layers[k].layer->depths.hi);
  }
  return band;
}

double plan_section_depth(const struct plan_overlay *overlay) {
  struct range band = band_of(overlay);
  return (band.lo + band.hi) / 2;
}

struct draw_box plan_extents(const struct outcome *outcome, size_t overlay) {
  struct arena *scratch = arena_new();
  struct rim wall = rim_of_contour(scratch, outcome->plan->overlays[overlay].contour, 0);
  struct draw_box box = rim_box(&wall);
  double more = 0.16 * fmax(box.x1 - box.x0, box.y1 - box.y0);
  arena_free(scratch);
  return (struct draw_box){box.x0 - more, box.y0 - more, box.x1 + more, box.y1 + more};
}

struct drawing *drawing_open_plan(struct arena *arena, struct draw_box extents, const char *id,
                                  const char *title, const struct draw_look *look) {
  struct drawing *drawing = pen_new(arena, id, look);
  drawing->field = extents;
  struct sheet sheet = {.class_name = "plan",
                        .attributes = " data-frame=\"cell\"",
                        .title = title,
                        .text = "Seen from outside the part, along the head's axis; x to the right "
                                "and y up in the cell frame, millimetres.",
                        .room = {6, 4.4, 2, 7},
                        .columns = 52};
  sheet_open(drawing, &sheet);
  sheet_title(drawing, title, drawing->right);
  ticks_below(drawing, (struct tick_scale){1, 1, 0, "x of the cell, mm"}, false);
  ticks_left(drawing, (struct tick_scale){1, -1, 0, "y of the cell, mm"}, false);
  field_open(drawing);
  return drawing;
}

const char *drawing_close(struct drawing *drawing) {
  field_close(drawing);
  sheet_close(drawing);
  return drawing->text;
}

/* -- zones as sectors ------------------------------------------------------------------------ */

/* A stretch of the contour with the way in to its centre and back. */
static void sector_put(struct drawing *drawing, const struct contour *contour, double from,
                       double to) {
  enum { PARTS = 40 };
  pen(drawing, "M%f %f", contour->centre.x, -contour->centre.y);
  for (int i = 0; i <= PARTS; i++) {
    vec2 at = contour_at(contour, from + (to - from) * i / PARTS, 0).at;
    pen(drawing, "L%f %f", at.x, -at.y);
  }
  pen_raw(drawing, "z");
}

static void zone_sectors(struct drawing *drawing, const struct contour *contour,
                         const struct zone *zone, double part_turned, double margin) {
  if (zone->has_cross_bore) {
    struct mouth *mouths;
    size_t count = zone_mouths(drawing->arena, contour, zone, part_turned, margin, &mouths);
    for (size_t i = 0; i < count; i++)
      sector_put(drawing, contour, mouths[i].points[0].x,
                 mouths[i].points[mouths[i].count / 2 - 1].x);
    return;
  }
  struct stretches set = zone_along(drawing->arena, contour, zone, part_turned, margin);
  for (size_t i = 0; i < set.count; i++)
    sector_put(drawing, contour, set.items[i].from, set.items[i].to);
}

static bool is_all_round(const struct zone *zone) {
  return !zone->has_angles && !zone->has_along && !zone->has_cross_bore;
}

void plan_put_zones(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  double turned = outcome->plan->placement.turned;
  pen_raw(drawing, "<g class=\"zones\">\n");
  for (size_t i = 0; i < over->overlay->zone_count; i++) {
    const struct zone *zone = &over->overlay->zones[i];
    const char *kind = zone->is_on ? "on" : "off";
    if (is_all_round(zone))
      continue;
    pen(drawing, "<path class=\"zone %s\" data-zone=\"%s\" d=\"", kind, zone->name);
    zone_sectors(drawing, over->contour, zone, turned, 0);
    pen(drawing, "\"><title>zone %s, arc %s</title></path>\n", zone->name, kind);
    if (zone->margin > 0) {
      pen(drawing, "<path class=\"zone %s margin\" d=\"", kind);
      zone_sectors(drawing, over->contour, zone, turned,
                   zone->is_on ? -zone->margin : zone->margin);
      pen_raw(drawing, "\"/>\n");
    }
  }
  pen_raw(drawing, "</g>\n");
}

/* -- marks ----------------------------------------------------------------------------------- */

static bool in_field(const struct drawing *drawing, double x, double y) {
  struct draw_box f = drawing->field;
  return x > f.x0 && x < f.x1 && y > f.y0 && y < f.y1;
}

static void place_put(struct drawing *drawing, vec2 at, const char *words) {
  double em = drawing->em;
  if (!in_field(drawing, at.x, -at.y))
    return;
  pen(drawing, "<path class=\"mark\" d=\"M%f %fh%fm%f %fv%f\"/>", at.x - 0.5 * em, -at.y, em,
      -0.5 * em, -0.5 * em, em);
  pen(drawing, "<text class=\"small halo\" x=\"%f\" y=\"%f\">%s</text>\n", at.x + 0.7 * em,
      -at.y + 1.1 * em, words);
}

static vec2 entry_of(const struct outcome *outcome, const struct plan_overlay *over) {
  if (!over->overlay->has_entry)
    return over->contour->centre;
  struct sincos turn = num_sincos(outcome->plan->placement.turned);
  vec2 e = over->overlay->entry;
  vec3 at = outcome->plan->placement.at;
  return (vec2){at.x + e.x * turn.cos - e.y * turn.sin, at.y + e.x * turn.sin + e.y * turn.cos};
}

/* Runs' starts and stops lie on the tip's way of their layer. */
static void run_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const struct verdict *verdict = outcome->verdict;
  for (size_t i = 0; verdict && i < verdict->run_count; i++) {
    const struct arc_run *run = &verdict->runs[i];
    if (run->overlay != overlay)
      continue;
    const struct plan_layer *layer = &over->layers[run->layer];
    double offset = layer->offset + layer->procedure->arc_length;
    struct contour_point a = contour_at(over->contour, run->start.s, offset);
    struct contour_point b = contour_at(over->contour, run->stop.s, offset);
    /* The tangent is the normal turned by a right angle. */
    double degrees = -(a.angle / NUM_PI * 180 + layer->dir * 90);
    degrees -= 360 * floor(degrees / 360);
    stop_mark(drawing, b.at.x, -b.at.y, drawing->em);
    start_mark(drawing, a.at.x, -a.at.y, degrees, drawing->em);
  }
}

void plan_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct cell *cell = outcome->job->cell;
  vec3 datum = outcome->plan->placement.at;
  pen_raw(drawing, "<g class=\"marks\">\n");
  run_marks(drawing, outcome, overlay);
  place_put(drawing, entry_of(outcome, &outcome->plan->overlays[overlay]), "entry");
  place_put(drawing, (vec2){cell->park.x, cell->park.y}, "park");
  if (num_hypot(datum.x - entry_of(outcome, &outcome->plan->overlays[overlay]).x,
                datum.y - entry_of(outcome, &outcome->plan->overlays[overlay]).y) > 0.5)
    place_put(drawing, (vec2){datum.x, datum.y}, "datum");
  pen_raw(drawing, "</g>\n");
}

void plan_put_head(struct drawing *drawing, const struct outcome *outcome, double t) {
  struct pose pose = draw_pose_at(outcome->motion, t);
  double degrees = pose.head / NUM_PI * 180;
  pen(drawing, "<g class=\"head\" transform=\"translate(%f %f)rotate(%f)\">\n", pose.x, -pose.y,
      -degrees);
  head_put_plan(drawing, outcome->job->cell, pose.z, outcome->plan->placement.at.z);
  pen_raw(drawing, "</g>\n");
}

static void legend(struct drawing *drawing, const struct plan_overlay *over) {
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_BOX, "metal", "metal");
  legend_put(drawing, &at, LEGEND_BOX, "clad", "clad");
  legend_put(drawing, &at, LEGEND_LINE, "tip", "way of the tip");
  legend_put(drawing, &at, LEGEND_LINE, "head-path", "way of the head's axis");
  legend_put(drawing, &at, LEGEND_START, "", "arc starts");
  legend_put(drawing, &at, LEGEND_STOP, "", "arc stops");
  if (over->overlay->zone_count > 0)
    legend_put(drawing, &at, LEGEND_BOX, "zone", "zone");
}

const char *draw_plan(struct arena *arena, const struct outcome *outcome, size_t overlay, double t,
                      const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  int64_t depth = digits_scale(plan_section_depth(over), 1);
  const char *title =
      arena_format(arena, "Plan of %s, section at depth %" PRId64 ".%d mm", over->overlay->name,
                   depth / 10, (int)(depth % 10 < 0 ? -(depth % 10) : depth % 10));
  const char *id = arena_format(arena, "plan-%zu", overlay + 1);
  struct drawing *drawing =
      drawing_open_plan(arena, plan_extents(outcome, overlay), id, title, look);
  plan_put_metal(drawing, outcome, overlay);
  plan_put_zones(drawing, outcome, overlay);
  plan_put_contour(drawing, outcome, overlay);
  plan_put_paths(drawing, outcome, overlay);
  plan_put_head(drawing, outcome, t);
  plan_put_marks(drawing, outcome, overlay);
  field_close(drawing);
  legend(drawing, over);
  sheet_close(drawing);
  return drawing->text;
}
