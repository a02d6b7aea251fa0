/* bore_chart.c - thickness of an overlay along its bore: what the build-up has round the wall at
 * each depth, where anything is laid at all, against what is required at the valley floors. */
#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/buildup.h"
#include "draw/sheet.h"

/* User units of the field; thickness and depth are scaled into it. */
static const double WIDTH = 1000, HEIGHT = 380;

enum { DEPTHS = 200, PLACES = 90 };

struct row {
  double depth;
  double least, mean, most; /* of the places where metal lies; 0: nowhere */
};

struct bore {
  const struct plan_overlay *overlay;
  struct range depths;
  double top; /* mm of thickness at the upper edge */
  struct row rows[DEPTHS];
  double *edges;
  size_t edge_count; /* depths at which a layer begins or ends, rising */
};

static int by_figure(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

double draw_floor_at(const struct plan_overlay *overlay, double depth) {
  double least = HUGE_VAL;
  for (size_t i = 0; i < overlay->contour->count; i++)
    least = fmin(least, plan_build_up_least(overlay, &overlay->contour->segs[i], depth));
  return least;
}

static const double NOTHING = 1e-3; /* mm */

static struct row row_at(const struct bore *bore, const struct buildup *buildup, double depth) {
  const struct plan_overlay *over = bore->overlay;
  struct row row = {depth, HUGE_VAL, 0, 0};
  int laid = 0;
  for (int i = 0; i < PLACES; i++) {
    double t = buildup_thickness(buildup, over->layer_count,
                                 over->contour->perimeter * (i + 0.5) / PLACES, depth);
    if (t < NOTHING)
      continue;
    laid++;
    row.mean += t;
    row.least = fmin(row.least, t);
    row.most = fmax(row.most, t);
  }
  if (laid == 0)
    return (struct row){.depth = depth};
  row.mean /= laid;
  return row;
}

static void edges_find(struct arena *arena, struct bore *bore) {
  bore->edges = arena_alloc(arena, 2 * bore->overlay->layer_count, sizeof(double));
  for (size_t k = 0; k < bore->overlay->layer_count; k++) {
    bore->edges[bore->edge_count++] = bore->overlay->layers[k].layer->depths.lo;
    bore->edges[bore->edge_count++] = bore->overlay->layers[k].layer->depths.hi;
  }
  qsort(bore->edges, bore->edge_count, sizeof *bore->edges, by_figure);
}

static struct bore *bore_of(struct arena *arena, const struct outcome *outcome, size_t overlay) {
  struct bore *bore = arena_alloc(arena, 1, sizeof *bore);
  bore->overlay = &outcome->plan->overlays[overlay];
  const struct buildup *buildup = buildup_make(arena, outcome->motion, overlay);
  edges_find(arena, bore);
  double lo = bore->edges[0], hi = bore->edges[bore->edge_count - 1], more = 0.06 * (hi - lo);
  bore->depths = (struct range){lo - more, hi + more};
  for (int i = 0; i < DEPTHS; i++) {
    double share = (i + 0.5) / DEPTHS;
    bore->rows[i] = row_at(bore, buildup, bore->depths.lo + share * (hi - lo + 2 * more));
    bore->top = fmax(bore->top, bore->rows[i].most);
  }
  for (size_t i = 0; i + 1 < bore->edge_count; i++)
    bore->top =
        fmax(bore->top, draw_floor_at(bore->overlay, (bore->edges[i] + bore->edges[i + 1]) / 2));
  const struct overlay *asked = bore->overlay->overlay;
  if (asked->has_required_thickness)
    bore->top = fmax(bore->top, asked->required_thickness);
  if (asked->has_required_finish)
    bore->top = fmax(bore->top, asked->required_finish);
  bore->top *= 1.12;
  return bore;
}

static double x_of(const struct bore *bore, double depth) {
  return (depth - bore->depths.lo) / (bore->depths.hi - bore->depths.lo) * WIDTH;
}
static double y_of(const struct bore *bore, double thickness) {
  return HEIGHT - thickness / bore->top * HEIGHT;
}

static void spread_put(struct drawing *drawing, const struct bore *bore) {
  pen_raw(drawing, "<path class=\"spread\" d=\"");
  for (int i = 0; i < DEPTHS; i++)
    pen(drawing, i == 0 ? "M%f %f" : "L%f %f", x_of(bore, bore->rows[i].depth),
        y_of(bore, bore->rows[i].most));
  for (int i = DEPTHS; i-- > 0;)
    pen(drawing, "L%f %f", x_of(bore, bore->rows[i].depth), y_of(bore, bore->rows[i].least));
  pen_raw(drawing, "z\"/>\n");
}

static void mean_put(struct drawing *drawing, const struct bore *bore) {
  pen_raw(drawing, "<path class=\"mean\" d=\"");
  for (int i = 0; i < DEPTHS; i++)
    pen(drawing, i == 0 ? "M%f %f" : "L%f %f", x_of(bore, bore->rows[i].depth),
        y_of(bore, bore->rows[i].mean));
  pen_raw(drawing, "\"/>\n");
}

static void floor_put(struct drawing *drawing, const struct bore *bore) {
  pen(drawing, "<path class=\"floor\" d=\"M%f %f", x_of(bore, bore->edges[0]), HEIGHT);
  for (size_t i = 0; i + 1 < bore->edge_count; i++)
    pen(drawing, "V%fH%f",
        y_of(bore, draw_floor_at(bore->overlay, (bore->edges[i] + bore->edges[i + 1]) / 2)),
        x_of(bore, bore->edges[i + 1]));
  pen(drawing, "V%f\"/>\n", HEIGHT);
}

static void level_put(struct drawing *drawing, const struct bore *bore, double thickness,
                      double share, const char *class_name, const char *words) {
  double y = y_of(bore, thickness), em = drawing->em;
  pen(drawing, "<path class=\"%s\" d=\"M0 %fH%f\"/>", class_name, y, WIDTH);
  pen(drawing, "<text class=\"small halo mid\" x=\"%f\" y=\"%f\">%s %f mm</text>\n", share * WIDTH,
      y + 1.1 * em, words, thickness);
}

static void required_put(struct drawing *drawing, const struct bore *bore) {
  const struct overlay *overlay = bore->overlay->overlay;
  if (overlay->has_required_finish)
    level_put(drawing, bore, overlay->required_finish, 0.3, "datum", "finished wall");
  if (overlay->has_required_thickness)
    level_put(drawing, bore, overlay->required_thickness, 0.6, "limit",
              overlay->has_required_finish ? "required to remain" : "required");
}

static void axes_put(struct drawing *drawing, const struct bore *bore) {
  double across = WIDTH / (bore->depths.hi - bore->depths.lo);
  ticks_below(drawing, (struct tick_scale){across, 1, -bore->depths.lo * across, "depth, mm"},
              true);
  ticks_left(drawing, (struct tick_scale){HEIGHT / bore->top, -1, HEIGHT, "thickness, mm"}, true);
}

const char *draw_bore(struct arena *arena, const struct outcome *outcome, size_t overlay,
                      const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct bore *bore = bore_of(arena, outcome, overlay);
  struct drawing *drawing = pen_new(arena, arena_format(arena, "bore-%zu", overlay + 1), look);
  drawing->field = (struct draw_box){0, 0, WIDTH, HEIGHT};
  struct sheet sheet = {
      .class_name = "bore",
      .attributes = "",
      .title = arena_format(arena, "Thickness of %s along the bore", bore->overlay->overlay->name),
      .text = "Depth below the datum face to the right, thickness of all layers upward, "
              "millimetres: round the wall, and at the valley floors.",
      .room = {6, 4.4, 2, 6},
      .columns = 66};
  sheet_open(drawing, &sheet);
  sheet_title(drawing, sheet.title, drawing->right);
  axes_put(drawing, bore);
  field_open(drawing);
  spread_put(drawing, bore);
  mean_put(drawing, bore);
  floor_put(drawing, bore);
  required_put(drawing, bore);
  field_close(drawing);
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_LINE, "mean", "mean round the wall, where clad");
  legend_put(drawing, &at, LEGEND_BOX, "spread", "least to most round the wall");
  legend_put(drawing, &at, LEGEND_LINE, "floor", "valley floors, as checked");
  sheet_close(drawing);
  return drawing->text;
}
