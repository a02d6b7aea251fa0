/* wall_marks.c - what lies on the unrolled wall besides beads: zones, sectors, starts and stops. */
#include <math.h>

#include "borelay/arena.h"
#include "draw/wall_view.h"
#include "draw/zone_wall.h"

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

static const double NEAR = 1e-6; /* mm */

/* Whether b goes on where a ends. */
static bool patch_follows(const struct wall_patch *a, const struct wall_patch *b) {
  return fabs(b->s_from - a->s_to) < NEAR && fabs(b->depths_from.lo - a->depths_to.lo) < NEAR &&
         fabs(b->depths_from.hi - a->depths_to.hi) < NEAR;
}

/* A row of patches of which each goes on where the one before ends, as one outline: along its upper
 * edges and back along its lower ones. */
static void row_put(struct drawing *drawing, const struct wall_patch *const *row, size_t count) {
  double k = drawing->depth_scale;
  pen(drawing, "M%f %f", row[0]->s_from, row[0]->depths_from.lo * k);
  for (size_t i = 0; i < count; i++)
    pen(drawing, "L%f %f", row[i]->s_to, row[i]->depths_to.lo * k);
  pen(drawing, "V%f", row[count - 1]->depths_to.hi * k);
  for (size_t i = count; i-- > 0;)
    pen(drawing, "L%f %f", row[i]->s_from, row[i]->depths_from.hi * k);
  pen_raw(drawing, "z");
}

void wall_put_patches(struct drawing *drawing, const char *class_name,
                      const struct wall_patch *patches, size_t count) {
  if (count == 0)
    return;
  const struct wall_patch **row = arena_alloc(drawing->arena, count, sizeof *row);
  bool *drawn = arena_alloc(drawing->arena, count, sizeof *drawn);
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  for (size_t i = 0; i < count; i++) {
    if (drawn[i])
      continue;
    size_t length = 0;
    row[length++] = &patches[i];
    for (size_t k = i + 1; k < count && patches[k].s_from < row[length - 1]->s_to + NEAR; k++)
      if (!drawn[k] && patch_follows(row[length - 1], &patches[k])) {
        drawn[k] = true;
        row[length++] = &patches[k];
      }
    row_put(drawing, row, length);
  }
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
