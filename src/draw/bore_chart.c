/* bore_chart.c - thickness of an overlay along its bore. */
#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "draw/sheet.h"

/* User units of the field; thickness and depth are scaled into it. */
static const double WIDTH = 1000, HEIGHT = 380;

struct bore {
  const struct plan_overlay *overlay;
  struct range depths;
  double most; /* mm of thickness at the top */
  double *edges;
  size_t edge_count; /* depths at which a layer begins or ends, rising */
};

static int by_figure(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

struct sums {
  double mean, floor;
};
static struct sums sums_at(const struct plan_overlay *overlay, double depth) {
  struct sums sums = {0, 0};
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    if (depth < layer->layer->depths.lo || depth > layer->layer->depths.hi)
      continue;
    sums.mean += layer->wall_true;
    sums.floor += layer->wall_flat;
  }
  return sums;
}

static struct bore bore_of(struct arena *arena, const struct plan_overlay *overlay) {
  struct bore bore = {.overlay = overlay,
                      .edges = arena_alloc(arena, 2 * overlay->layer_count, sizeof(double))};
  for (size_t k = 0; k < overlay->layer_count; k++) {
    bore.edges[bore.edge_count++] = overlay->layers[k].layer->depths.lo;
    bore.edges[bore.edge_count++] = overlay->layers[k].layer->depths.hi;
  }
  qsort(bore.edges, bore.edge_count, sizeof *bore.edges, by_figure);
  double lo = bore.edges[0], hi = bore.edges[bore.edge_count - 1], more = 0.06 * (hi - lo);
  bore.depths = (struct range){lo - more, hi + more};
  for (size_t i = 0; i + 1 < bore.edge_count; i++)
    bore.most = fmax(bore.most, sums_at(overlay, (bore.edges[i] + bore.edges[i + 1]) / 2).mean);
  if (overlay->overlay->has_required_thickness)
    bore.most = fmax(bore.most, overlay->overlay->required_thickness);
  bore.most *= 1.15;
  return bore;
}

static double x_of(const struct bore *bore, double depth) {
  return (depth - bore->depths.lo) / (bore->depths.hi - bore->depths.lo) * WIDTH;
}
static double y_of(const struct bore *bore, double thickness) {
  return HEIGHT - thickness / bore->most * HEIGHT;
}

static void line_put(struct drawing *drawing, const struct bore *bore, bool is_floor) {
  pen(drawing, "<path class=\"%s\" d=\"M%f %f", is_floor ? "floor" : "mean",
      x_of(bore, bore->edges[0]), HEIGHT);
  for (size_t i = 0; i + 1 < bore->edge_count; i++) {
    struct sums sums = sums_at(bore->overlay, (bore->edges[i] + bore->edges[i + 1]) / 2);
    pen(drawing, "V%fH%f", y_of(bore, is_floor ? sums.floor : sums.mean),
        x_of(bore, bore->edges[i + 1]));
  }
  pen(drawing, "V%f\"/>\n", HEIGHT);
}

static void required_put(struct drawing *drawing, const struct bore *bore) {
  if (!bore->overlay->overlay->has_required_thickness)
    return;
  double y = y_of(bore, bore->overlay->overlay->required_thickness);
  pen(drawing, "<path class=\"limit\" d=\"M0 %fH%f\"/>", y, WIDTH);
  pen(drawing, "<text class=\"small halo gap-text\" x=\"%f\" y=\"%f\">required %f mm</text>\n",
      0.6 * drawing->em, y + 1.1 * drawing->em, bore->overlay->overlay->required_thickness);
}

const char *draw_bore(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look) {
  if (!outcome->plan)
    return NULL;
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  struct bore bore = bore_of(arena, over);
  struct drawing *drawing = pen_new(arena, arena_format(arena, "bore-%zu", overlay + 1), look);
  drawing->field = (struct draw_box){0, 0, WIDTH, HEIGHT};
  struct sheet sheet = {
      .class_name = "bore",
      .attributes = "",
      .title = arena_format(arena, "Thickness of %s along the bore", over->overlay->name),
      .text = "Depth below the datum face to the right, thickness of all layers upward, "
              "millimetres; the least around the contour.",
      .room = {6, 4.4, 2, 6},
      .columns = 66};
  sheet_open(drawing, &sheet);
  sheet_heading(drawing, sheet.title, "");
  double across = WIDTH / (bore.depths.hi - bore.depths.lo);
  ticks_below(drawing, (struct tick_scale){across, 1, -bore.depths.lo * across, "depth, mm"}, true);
  ticks_left(drawing, (struct tick_scale){HEIGHT / bore.most, -1, HEIGHT, "thickness, mm"}, true);
  field_open(drawing);
  line_put(drawing, &bore, false);
  line_put(drawing, &bore, true);
  required_put(drawing, &bore);
  field_close(drawing);
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_LINE, "mean", "mean, thinnest around the contour");
  legend_put(drawing, &at, LEGEND_LINE, "floor", "valley floors");
  sheet_close(drawing);
  return drawing->text;
}
