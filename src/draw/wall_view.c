/* wall_view.c - the wall unrolled: s to the right, depth down. */
#include "draw/wall_view.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "draw/thickness.h"
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

static struct drawing *wall_open(struct arena *arena, struct draw_box extents, double perimeter,
                                 const char *id, const char *title, bool map,
                                 const struct draw_look *look) {
  struct drawing *drawing = pen_new(arena, id, look);
  double width = extents.x1 - extents.x0, height = extents.y1 - extents.y0;
  drawing->depth_scale = fmax(1, ceil(LEAST_SHAPE * width / height - 1e-9));
  drawing->field = (struct draw_box){extents.x0, extents.y0 * drawing->depth_scale, extents.x1,
                                     extents.y1 * drawing->depth_scale};
  int scale = (int)drawing->depth_scale;
  struct sheet sheet = {
      .class_name = map ? "wall map" : "wall",
      .attributes = arena_format(arena, " data-depth-scale=\"%d\"", scale),
      .title = title,
      .text = "The wall unrolled, as if seen from within the metal: along the contour "
              "anticlockwise to the right, depth below the datum face downward, millimetres.",
      .room = {6, 4.9, 4, 7.2},
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

struct drawing *drawing_open_wall(struct arena *arena, struct draw_box extents, double perimeter,
                                  const char *id, const char *title, const struct draw_look *look) {
  return wall_open(arena, extents, perimeter, id, title, false, look);
}

void wall_scaled(struct drawing *drawing, const char *class_name) {
  pen(drawing, "<g class=\"%s\"", class_name);
  if (drawing->depth_scale > 1)
    pen(drawing, " transform=\"scale(1 %f)\"", drawing->depth_scale);
  pen_raw(drawing, ">\n");
}

void label_force(struct labels *labels, struct draw_box box) {
  if (labels->count == labels->room) {
    size_t room = 2 * labels->room + 64;
    labels->boxes = arena_grow(labels->arena, labels->boxes, labels->room, room, sizeof box);
    labels->room = room;
  }
  labels->boxes[labels->count++] = box;
}

bool label_take(struct labels *labels, struct draw_box box) {
  for (size_t i = 0; i < labels->count; i++) {
    struct draw_box b = labels->boxes[i];
    if (box.x0 < b.x1 && b.x0 < box.x1 && box.y0 < b.y1 && b.y0 < box.y1)
      return false;
  }
  label_force(labels, box);
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

/* A sector of a lap, bounded as a zone without margin is. */
static struct zone sector_zone(const struct sector *sector) {
  return (struct zone){.name = sector->name,
                       .has_angles = sector->has_angles,
                       .angles = sector->angles,
                       .has_along = !sector->has_angles,
                       .along = sector->along};
}

static void sector_put(struct drawing *drawing, const struct plan_overlay *over,
                       const struct sector *sector, double turned) {
  struct zone zone = sector_zone(sector);
  struct stretches set = zone_along(drawing->arena, over->contour, &zone, turned, 0);
  double em = drawing->em, y = drawing->field.y0 + 0.5 * em;
  pen(drawing, "<g data-sector=\"%s\"><title>sector %s</title><path class=\"sector\" d=\"",
      sector->name, sector->name);
  for (size_t i = 0; i < set.count; i++)
    pen(drawing, "M%f %fV%fM%f %fV%fM%f %fH%f", set.items[i].from, drawing->field.y0,
        drawing->field.y1, set.items[i].to, drawing->field.y0, drawing->field.y1, set.items[i].from,
        y, set.items[i].to);
  pen_raw(drawing, "\"/>");
  if (set.count > 0)
    pen(drawing, "<text class=\"lap halo\" x=\"%f\" y=\"%f\">%s</text>",
        set.items[0].from + 0.4 * em, y + 1.1 * em, sector->name);
  pen_raw(drawing, "</g>\n");
}

void wall_put_sectors(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  pen_raw(drawing, "<g class=\"sectors\">\n");
  for (size_t i = 0; i < over->overlay->sector_count; i++)
    sector_put(drawing, over, &over->overlay->sectors[i], outcome->plan->placement.turned);
  pen_raw(drawing, "</g>\n");
}

/* -- patches --------------------------------------------------------------------------------- */

static void patch_put(struct drawing *drawing, const struct wall_patch *patch) {
  double k = drawing->depth_scale;
  pen(drawing, "M%f %fL%f %fV%fL%f %fz", patch->s_from, patch->depths_from.lo * k, patch->s_to,
      patch->depths_to.lo * k, patch->depths_to.hi * k, patch->s_from, patch->depths_from.hi * k);
}

void wall_put_patches(struct drawing *drawing, const char *class_name,
                      const struct wall_patch *patches, size_t count) {
  if (count == 0)
    return;
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  for (size_t i = 0; i < count; i++)
    patch_put(drawing, &patches[i]);
  pen_raw(drawing, "\"/>\n");
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

/* Where laps lie close, marks of neighbours do not cover one another. */
static double mark_size(const struct drawing *drawing, const struct plan_layer *layer) {
  double room = 1.1 * layer->pitch * drawing->depth_scale;
  return layer->laps > 1 ? fmin(drawing->em, fmax(room, 0.4 * drawing->em)) : drawing->em;
}

/* Marks first: no number lies over one. */
static void marks_take(const struct drawing *drawing, struct labels *labels,
                       const struct arc_run *run) {
  double half = 0.5 * drawing->em, k = drawing->depth_scale;
  const struct arc_place *places[] = {&run->start, &run->stop};
  for (int i = 0; i < 2; i++)
    label_force(labels, (struct draw_box){places[i]->s - half, places[i]->depth * k - half,
                                          places[i]->s + half, places[i]->depth * k + half});
}

void wall_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                    size_t layer) {
  const struct verdict *verdict = outcome->verdict;
  int dir = outcome->plan->overlays[overlay].layers[layer].dir;
  struct labels labels = {.arena = drawing->arena};
  double size = mark_size(drawing, &outcome->plan->overlays[overlay].layers[layer]);
  pen_raw(drawing, "<g class=\"marks\">\n");
  for (int numbers = 0; numbers < 2; numbers++) {
    size_t number = 0;
    for (size_t i = 0; verdict && i < verdict->run_count; i++) {
      const struct arc_run *run = &verdict->runs[i];
      if (run->overlay != overlay || run->layer != layer)
        continue;
      double y = run->start.depth * drawing->depth_scale;
      number++;
      if (numbers) {
        start_number(drawing, &labels, number, run->start.s, y, dir);
        continue;
      }
      marks_take(drawing, &labels, run);
      stop_mark(drawing, run->stop.s, run->stop.depth * drawing->depth_scale, size);
      start_mark(drawing, run->start.s, y, dir > 0 ? 0 : 180, size);
      pen_raw(drawing, "\n");
    }
  }
  pen_raw(drawing, "</g>\n");
}

/* -- beside the field ------------------------------------------------------------------------ */

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

/* Where lines and arcs of the wall meet, and what lies between. */
static void segments_above(struct drawing *drawing, const struct contour *contour) {
  double em = drawing->em, y = drawing->field.y0;
  pen_raw(drawing, "<g class=\"ticks\"><path class=\"tick\" d=\"");
  for (size_t i = 0; i < contour->count; i++)
    pen(drawing, "M%f %fv%f", contour->segs[i].s0, y, -0.5 * em);
  pen_raw(drawing, "\"/>\n");
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    const char *kind = seg->turn < 0 ? "bump R " : seg->turn > 0 ? "R " : "straight";
    double x = seg->s0 + seg->length / 2;
    if (seg->length < 0.55 * em * (double)(strlen(kind) + (seg->turn != 0 ? 4 : 0)))
      continue;
    pen(drawing, "<text class=\"lap mid\" x=\"%f\" y=\"%f\">%s", x, y - 0.5 * em, kind);
    if (seg->turn != 0)
      pen(drawing, "%f", seg->radius);
    pen_raw(drawing, "</text>");
  }
  pen_raw(drawing, "</g>\n");
}

static void legend_of_beads(struct drawing *drawing, struct legend *at) {
  pen_raw(drawing, "<g class=\"beads\">");
  legend_put(drawing, at, LEGEND_WIDE, "sample", "bead; darker: overlap");
  pen_raw(drawing, "</g>");
}

static bool has_bare(const struct outcome *outcome, size_t overlay, enum bare_kind kind) {
  for (size_t i = 0; outcome->verdict && i < outcome->verdict->bare_count; i++)
    if (outcome->verdict->bare[i].overlay == overlay && outcome->verdict->bare[i].kind == kind)
      return true;
  return false;
}

static void legend_of_bare(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                           struct legend *at) {
  pen(drawing, "<g class=\"bare\" stroke-width=\"%f\">", 0.25 * drawing->em);
  if (has_bare(outcome, overlay, BARE_ZONE))
    legend_put(drawing, at, LEGEND_LINE, "zone-bare", "bare in a zone");
  if (has_bare(outcome, overlay, BARE_DOWNSLOPE))
    legend_put(drawing, at, LEGEND_LINE, "downslope", "bare before a zone's edge");
  if (has_bare(outcome, overlay, BARE_WIRE))
    legend_put(drawing, at, LEGEND_LINE, "wire", "bare, no wire");
  pen_raw(drawing, "</g>");
}

/* What the map of thickness leaves out stands last. */
static void legend(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct overlay *over = outcome->plan->overlays[overlay].overlay;
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_START, "", "run starts");
  legend_put(drawing, &at, LEGEND_STOP, "", "arc out");
  pen(drawing, "<g class=\"slopes\" stroke-width=\"%f\">", 0.1 * drawing->em);
  legend_put(drawing, &at, LEGEND_LINE, "sample", "current falling, wire off");
  pen_raw(drawing, "</g>");
  legend_of_bare(drawing, outcome, overlay, &at);
  if (over->zone_count > 0)
    legend_put(drawing, &at, LEGEND_BOX, "zone off", "zone");
  if (over->zone_count > 0)
    legend_put(drawing, &at, LEGEND_BOX, "zone margin", "zone's margin");
  if (over->sector_count > 0)
    legend_put(drawing, &at, LEGEND_LINE, "sector", "sector of own values");
  pen_raw(drawing, "<g class=\"ties\">");
  legend_put(drawing, &at, LEGEND_WIDE, "sample", "tie-in");
  pen_raw(drawing, "</g>");
  legend_of_beads(drawing, &at);
}

static const char *role_of(size_t layer, size_t count) {
  return layer + 1 == count ? "last" : layer == 0 ? "pale" : "hidden";
}

/* -- thickness ------------------------------------------------------------------------------- */

double wall_thickness_most(const struct outcome *outcome, size_t overlay) {
  enum { ACROSS = 90, DOWN = 48 };
  struct arena *scratch = arena_new();
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const struct buildup *buildup = buildup_make(scratch, outcome->motion, overlay);
  struct draw_box field = wall_extents(outcome, overlay);
  double most = 0;
  for (int i = 0; i < ACROSS; i++)
    for (int k = 0; k < DOWN; k++)
      most = fmax(most, buildup_thickness(buildup, over->layer_count,
                                          over->contour->perimeter * (i + 0.5) / ACROSS,
                                          field.y0 + (field.y1 - field.y0) * (k + 0.5) / DOWN));
  arena_free(scratch);
  return most;
}

void wall_put_thickness(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                        double most) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const struct buildup *buildup = buildup_make(drawing->arena, outcome->motion, overlay);
  wall_scaled(drawing, "scaled");
  for (size_t k = 0; k < over->layer_count; k++) {
    pen(drawing, "<g class=\"thickness %s\" data-layers=\"%zu\">\n",
        k + 1 == over->layer_count ? "last" : "hidden", k + 1);
    thickness_put(drawing, buildup, over, k + 1, thickness_step(most));
    pen_raw(drawing, "</g>\n");
  }
  drawing_group_end(drawing);
}

/* -- whole ----------------------------------------------------------------------------------- */

static void layers_put(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                       void (*put)(struct drawing *, const struct outcome *, size_t, size_t)) {
  size_t count = outcome->plan->overlays[overlay].layer_count;
  for (size_t k = 0; k < count; k++) {
    pen(drawing, "<g class=\"layer %s\" data-layer=\"%zu\">\n", role_of(k, count), k + 1);
    put(drawing, outcome, overlay, k);
    pen_raw(drawing, "</g>\n");
  }
}

static const char *wall_draw(struct arena *arena, const struct outcome *outcome, size_t overlay,
                             bool map, const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const char *title = arena_format(
      arena, map ? "Thickness on the wall of %s" : "Wall of %s unrolled", over->overlay->name);
  const char *id = arena_format(arena, map ? "thickness-%zu" : "wall-%zu", overlay + 1);
  bool is_round = over->contour->shape->kind == SHAPE_ROUND;
  double most = wall_thickness_most(outcome, overlay);
  struct drawing *drawing =
      wall_open(arena, wall_extents(outcome, overlay), is_round ? over->contour->perimeter : 0, id,
                title, map, look);
  wall_put_thickness(drawing, outcome, overlay, most);
  layers_put(drawing, outcome, overlay, wall_put_beads);
  wall_put_sectors(drawing, outcome, overlay);
  wall_put_zones(drawing, outcome, overlay);
  layers_put(drawing, outcome, overlay, wall_put_marks);
  field_close(drawing);
  if (!is_round)
    segments_above(drawing, over->contour);
  lap_numbers(drawing, outcome, overlay, over->layer_count - 1);
  pen_raw(drawing, "<g class=\"thickness scale\">");
  thickness_scale_put(drawing, thickness_step(most), most);
  pen_raw(drawing, "</g>\n");
  legend(drawing, outcome, overlay);
  sheet_close(drawing);
  return drawing->text;
}

const char *draw_wall(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look) {
  return wall_draw(arena, outcome, overlay, false, look);
}

const char *draw_thickness(struct arena *arena, const struct outcome *outcome, size_t overlay,
                           const struct draw_look *look) {
  return wall_draw(arena, outcome, overlay, true, look);
}
