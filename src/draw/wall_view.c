/* wall_view.c - the wall unrolled: s to the right, depth down. */
#include "draw/wall_view.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "draw/zone_wall.h"

/* A band is drawn at least this share of the contour high, by whole numbers. */
static const double LEAST_SHAPE = 0.2;

struct draw_box wall_extents(const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  struct draw_box box = {0, HUGE_VAL, over->contour->perimeter, -HUGE_VAL};
  for (size_t k = 0; k < over->layer_count; k++) {
    struct range band = over->layers[k].layer->depths;
    double more = 0.75 * over->layers[k].procedure->bead_width;
    box.y0 = fmin(box.y0, band.lo - more);
    box.y1 = fmax(box.y1, band.hi + more);
  }
  return box;
}

static void angles_above(struct drawing *drawing, double perimeter) {
  double em = drawing->em, y = drawing->field.y0;
  pen_raw(drawing, "<g class=\"ticks\"><path class=\"tick\" d=\"");
  for (int i = 0; i <= 12; i++)
    pen(drawing, "M%f %fv%f", perimeter * i / 12, y, -0.4 * em);
  pen_raw(drawing, "\"/>\n");
  for (int i = 0; i <= 12; i++)
    pen(drawing, "<text class=\"small mid\" x=\"%f\" y=\"%f\">%d&#176;</text>", perimeter * i / 12,
        y - 0.6 * em, 30 * i);
  pen_raw(drawing, "</g>\n");
}

struct drawing *drawing_open_wall(struct arena *arena, struct draw_box extents, double perimeter,
                                  const char *id, const char *title, const struct draw_look *look) {
  struct drawing *drawing = pen_new(arena, id, look);
  double width = extents.x1 - extents.x0, height = extents.y1 - extents.y0;
  drawing->depth_scale = fmax(1, ceil(LEAST_SHAPE * width / height - 1e-9));
  drawing->field = (struct draw_box){extents.x0, extents.y0 * drawing->depth_scale, extents.x1,
                                     extents.y1 * drawing->depth_scale};
  int scale = (int)drawing->depth_scale;
  struct sheet sheet = {
      .class_name = "wall",
      .attributes = arena_format(arena, " data-depth-scale=\"%d\"", scale),
      .title = title,
      .text = "The wall unrolled, as if seen from within the metal: along the contour "
              "anticlockwise to the right, depth below the datum face downward, millimetres.",
      .room = {6, 4.8, 4, 7.5},
      .columns = 76};
  sheet_open(drawing, &sheet);
  sheet_heading(drawing, title, "");
  ticks_below(drawing, (struct tick_scale){1, 1, 0, "s along the contour, mm"}, false);
  ticks_left(drawing, (struct tick_scale){drawing->depth_scale, 1, 0, "depth, mm"}, false);
  if (scale > 1)
    pen(drawing,
        "<text class=\"small\" x=\"%f\" y=\"%f\">depth drawn %d times as large as s</text>\n",
        drawing->field.x0, drawing->field.y1 + 2.4 * drawing->em, scale);
  if (perimeter > 0)
    angles_above(drawing, perimeter);
  field_open(drawing);
  return drawing;
}

void wall_scaled(struct drawing *drawing, const char *class_name) {
  pen(drawing, "<g class=\"%s\"", class_name);
  if (drawing->depth_scale > 1)
    pen(drawing, " transform=\"scale(1 %f)\"", drawing->depth_scale);
  pen_raw(drawing, ">\n");
}

bool label_take(struct labels *labels, struct draw_box box) {
  for (size_t i = 0; i < labels->count; i++) {
    struct draw_box b = labels->boxes[i];
    if (box.x0 < b.x1 && b.x0 < box.x1 && box.y0 < b.y1 && b.y0 < box.y1)
      return false;
  }
  if (labels->count == labels->room) {
    size_t room = 2 * labels->room + 64;
    labels->boxes = arena_grow(labels->arena, labels->boxes, labels->room, room, sizeof box);
    labels->room = room;
  }
  labels->boxes[labels->count++] = box;
  return true;
}

/* -- zones ----------------------------------------------------------------------------------- */

static void box_put(struct drawing *drawing, double x0, double x1, struct range depths) {
  double k = drawing->depth_scale;
  pen(drawing, "M%f %fH%fV%fH%fz", x0, depths.lo * k, x1, depths.hi * k, x0);
}

static void mouth_put(struct drawing *drawing, const struct mouth *mouth, double shift) {
  for (size_t i = 0; i < mouth->count; i++)
    pen(drawing, i == 0 ? "M%f %f" : "L%f %f", mouth->points[i].x + shift,
        mouth->points[i].y * drawing->depth_scale);
  pen_raw(drawing, "z");
}

static void region_put(struct drawing *drawing, const struct plan_overlay *over,
                       const struct zone *zone, double turned, double margin) {
  double turn = over->contour->perimeter;
  if (zone->has_cross_bore) {
    struct mouth *mouths;
    size_t count = zone_mouths(drawing->arena, over->contour, zone, turned, margin, &mouths);
    for (size_t i = 0; i < count; i++)
      for (int k = -1; k <= 1; k++)
        if (mouths[i].points[mouths[i].count / 2 - 1].x + k * turn > 0 &&
            mouths[i].points[0].x + k * turn < turn)
          mouth_put(drawing, &mouths[i], k * turn);
    return;
  }
  struct range field = {drawing->field.y0 / drawing->depth_scale,
                        drawing->field.y1 / drawing->depth_scale};
  struct range depths = zone_depths(zone, field, margin);
  depths = (struct range){fmax(depths.lo, field.lo), fmin(depths.hi, field.hi)};
  struct stretches set = zone_along(drawing->arena, over->contour, zone, turned, margin);
  for (size_t i = 0; i < set.count && depths.lo < depths.hi; i++)
    box_put(drawing, set.items[i].from, set.items[i].to, depths);
}

void wall_put_zones(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  double turned = outcome->plan->placement.turned;
  pen_raw(drawing, "<g class=\"zones\">\n");
  for (size_t i = 0; i < over->overlay->zone_count; i++) {
    const struct zone *zone = &over->overlay->zones[i];
    const char *kind = zone->is_on ? "on" : "off";
    pen(drawing, "<path class=\"zone %s\" data-zone=\"%s\" d=\"", kind, zone->name);
    region_put(drawing, over, zone, turned, 0);
    pen(drawing, "\"><title>zone %s, arc %s</title></path>\n", zone->name, kind);
    if (zone->margin <= 0)
      continue;
    pen(drawing, "<path class=\"zone %s margin\" d=\"", kind);
    region_put(drawing, over, zone, turned, zone->is_on ? -zone->margin : zone->margin);
    pen_raw(drawing, "\"/>\n");
  }
  pen_raw(drawing, "</g>\n");
}

/* -- starts and stops ------------------------------------------------------------------------ */

static void start_number(struct drawing *drawing, struct labels *labels, size_t number, double x,
                         double y, int dir) {
  double em = drawing->em, width = (number < 10 ? 0.6 : number < 100 ? 1.1 : 1.6) * em;
  /* Behind the start, seen in the direction of travel; ahead of it where the field ends there. */
  bool left = dir > 0 ? x - width - em > drawing->field.x0 : x + width + em > drawing->field.x1;
  double from = left ? x - 0.7 * em - width : x + 0.8 * em;
  if (!label_take(labels, (struct draw_box){from, y - 0.5 * em, from + width, y + 0.5 * em}))
    return;
  pen(drawing, "<text class=\"lap halo\" x=\"%f\" y=\"%f\">%zu</text>", from, y + 0.3 * em, number);
}

void wall_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                    size_t layer) {
  const struct verdict *verdict = outcome->verdict;
  int dir = outcome->plan->overlays[overlay].layers[layer].dir;
  struct labels labels = {.arena = drawing->arena};
  size_t number = 0;
  pen_raw(drawing, "<g class=\"marks\">\n");
  for (size_t i = 0; verdict && i < verdict->run_count; i++) {
    const struct arc_run *run = &verdict->runs[i];
    if (run->overlay != overlay || run->layer != layer)
      continue;
    number++;
    double y = run->start.depth * drawing->depth_scale;
    stop_mark(drawing, run->stop.s, run->stop.depth * drawing->depth_scale);
    start_mark(drawing, run->start.s, y, dir > 0 ? 0 : 180);
    start_number(drawing, &labels, number, run->start.s, y, dir);
    pen_raw(drawing, "\n");
  }
  pen_raw(drawing, "</g>\n");
}

/* -- whole ----------------------------------------------------------------------------------- */

/* Numbers of laps right of the field, where each passes the end of the turn. */
static void lap_numbers(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                        size_t layer) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const struct plan_layer *laid = &over->layers[layer];
  struct labels labels = {.arena = drawing->arena};
  double em = drawing->em, x = drawing->field.x1 + 0.5 * em;
  int64_t lap = 0;
  pen(drawing, "<g class=\"laps\"><text class=\"lap\" x=\"%f\" y=\"%f\">lap</text>", x,
      drawing->field.y0 + 0.2 * em);
  label_take(&labels, (struct draw_box){x, drawing->field.y0 - 0.8 * em, x + em,
                                        drawing->field.y0 + 0.3 * em});
  for (size_t i = 0; i < laid->path_count; i++) {
    const struct plan_path *path = &laid->paths[i];
    for (size_t k = 0; k < path->leg_count; k++) {
      const struct plan_leg *leg = &path->legs[k];
      if (leg->lap == lap)
        continue;
      double y = leg->depth_to * drawing->depth_scale;
      lap = leg->lap;
      if (label_take(&labels, (struct draw_box){x, y - 0.5 * em, x + em, y + 0.5 * em}))
        pen(drawing, "<text class=\"lap\" x=\"%f\" y=\"%f\">%zu</text>", x, y + 0.28 * em,
            (size_t)leg->lap);
    }
  }
  pen_raw(drawing, "</g>\n");
}

static void legend(struct drawing *drawing, const struct plan_overlay *over) {
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_START, "", "run starts");
  legend_put(drawing, &at, LEGEND_STOP, "", "arc out");
  pen_raw(drawing, "<g class=\"beads\">");
  legend_put(drawing, &at, LEGEND_WIDE, "sample", "bead; darker: overlap");
  pen_raw(drawing, "</g><g class=\"ties\">");
  legend_put(drawing, &at, LEGEND_WIDE, "sample", "tie-in");
  pen_raw(drawing, "</g><g class=\"slopes\">");
  legend_put(drawing, &at, LEGEND_LINE, "sample", "current falling, wire off");
  pen_raw(drawing, "</g><g class=\"bare\">");
  legend_put(drawing, &at, LEGEND_LINE, "zone-bare", "bare in a zone");
  legend_put(drawing, &at, LEGEND_LINE, "downslope", "bare before its edge");
  legend_put(drawing, &at, LEGEND_LINE, "wire", "bare, no wire");
  pen_raw(drawing, "</g>");
  if (over->overlay->zone_count > 0) {
    legend_put(drawing, &at, LEGEND_BOX, "zone off", "zone");
    legend_put(drawing, &at, LEGEND_BOX, "zone margin", "its margin");
  }
}

static const char *role_of(size_t layer, size_t count) {
  return layer + 1 == count ? "layer last" : layer == 0 ? "layer pale" : "layer hidden";
}

const char *draw_wall(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const char *title = arena_format(arena, "Wall of %s unrolled", over->overlay->name);
  const char *id = arena_format(arena, "wall-%zu", overlay + 1);
  bool is_round = over->contour->shape->kind == SHAPE_ROUND;
  struct drawing *drawing =
      drawing_open_wall(arena, wall_extents(outcome, overlay),
                        is_round ? over->contour->perimeter : 0, id, title, look);
  for (size_t k = 0; k < over->layer_count; k++) {
    pen(drawing, "<g class=\"%s\" data-layer=\"%zu\">\n", role_of(k, over->layer_count), k + 1);
    wall_put_beads(drawing, outcome, overlay, k);
    pen_raw(drawing, "</g>\n");
  }
  wall_put_zones(drawing, outcome, overlay);
  for (size_t k = 0; k < over->layer_count; k++) {
    pen(drawing, "<g class=\"%s\" data-layer=\"%zu\">\n", role_of(k, over->layer_count), k + 1);
    wall_put_marks(drawing, outcome, overlay, k);
    pen_raw(drawing, "</g>\n");
  }
  field_close(drawing);
  lap_numbers(drawing, outcome, overlay, over->layer_count - 1);
  legend(drawing, over);
  sheet_close(drawing);
  return drawing->text;
}
