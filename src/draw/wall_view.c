/* wall_view.c - the wall unrolled: s to the right, depth down. */
#include "draw/wall_view.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "draw/thickness.h"

/* A band is drawn at least and at most this share of the contour high: depths by whole numbers as
 * large as s, or by fractions that two decimals hold. */
static const double LEAST_SHAPE = 0.2, MOST_SHAPE = 1.2;

static double depth_scale_of(double width, double height) {
  static const double smaller[] = {0.5, 0.25, 0.2, 0.1, 0.05};
  double scale = fmax(1, ceil(LEAST_SHAPE * width / height - 1e-9));
  for (size_t i = 0; scale * height > MOST_SHAPE * width && i < sizeof smaller / sizeof *smaller;
       i++)
    scale = smaller[i];
  return scale;
}

static void depth_scale_put(struct drawing *drawing) {
  double scale = drawing->depth_scale;
  if (scale == 1)
    return;
  pen(drawing, "<text class=\"small\" x=\"%f\" y=\"%f\">%s drawn %d times as large as %s</text>\n",
      drawing->field.x0, drawing->field.y1 + 2.4 * drawing->em, scale > 1 ? "depth" : "s",
      (int)lround(scale > 1 ? scale : 1 / scale), scale > 1 ? "s" : "depth");
}

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
  drawing->depth_scale = depth_scale_of(width, height);
  drawing->field = (struct draw_box){extents.x0, extents.y0 * drawing->depth_scale, extents.x1,
                                     extents.y1 * drawing->depth_scale};
  struct sheet sheet = {
      .class_name = map ? "wall map" : "wall",
      .attributes = arena_format(arena, " data-depth-scale=\"%g\"", drawing->depth_scale),
      .title = title,
      .text = "The wall unrolled, as if seen from within the metal: along the contour "
              "anticlockwise to the right, depth below the datum face downward, millimetres.",
      .room = {6, 4.9, 4, 7.2},
      .columns = 76};
  sheet_open(drawing, &sheet);
  /* The scale of thickness has its place right of the title. */
  sheet_title(drawing, title, drawing->right - thickness_scale_wide(drawing));
  ticks_below(drawing, (struct tick_scale){1, 1, 0, "s along the contour, mm"}, false);
  ticks_left(drawing, (struct tick_scale){drawing->depth_scale, 1, 0, "depth, mm"}, false);
  depth_scale_put(drawing);
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
  if (drawing->depth_scale != 1)
    pen(drawing, " transform=\"scale(1 %f)\"", drawing->depth_scale);
  pen_raw(drawing, ">\n");
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
  legend_put(drawing, at, LEGEND_WIDE, "sample", "bead; stronger in colour: overlap");
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
  field_close(drawing);
  /* A start where s begins anew is seen whole. */
  layers_put(drawing, outcome, overlay, wall_put_marks);
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
