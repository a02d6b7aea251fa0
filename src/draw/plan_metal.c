/* plan_metal.c - the plan's section: metal, free cross-sections, and the clad as it is laid. */
#include "borelay/arena.h"
#include "borelay/buildup.h"
#include "draw/plan_view.h"
#include "draw/rim.h"

static void volumes_put(struct drawing *drawing, const struct outcome *outcome, double depth,
                        bool is_free, const char *class_name) {
  const struct envelope *envelope = outcome->job->envelope;
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    if (volume->is_free != is_free || depth < volume->depths.lo || depth > volume->depths.hi)
      continue;
    struct rim rim = rim_of_contour(drawing->arena, outcome->plan->volume_contours[i], 0);
    rim_put(drawing, &rim);
  }
  pen_raw(drawing, "\"/>\n");
}

/* What counts as laid by the plan, all round: of a rehearsal, or of a weld taken up again, of which
 * the build-up knows only the rest. */
static void clad_by_plan(struct drawing *drawing, const struct plan_overlay *overlay,
                         double depth) {
  size_t layers = 0;
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (overlay->layers[k].layer->depths.lo <= depth &&
        overlay->layers[k].layer->depths.hi >= depth)
      layers = k + 1;
  struct rim wall = rim_of_contour(drawing->arena, overlay->contour, 0);
  struct rim face = rim_of_clad(drawing->arena, overlay, layers, false);
  rim_put(drawing, &wall);
  rim_put(drawing, &face);
}

enum { CLAD_PLACES = 360 };
static const double CLAD_LEAST = 0.02; /* mm */

/* whole: round the wall and back to its beginning, so that no line joins wall and face. */
static void clad_stretch(struct drawing *drawing, const struct contour *contour,
                         const double *thickness, int from, int to, bool whole) {
  double step = contour->perimeter / CLAD_PLACES;
  for (int i = from; i <= to; i++) {
    vec2 at = contour_at(contour, i * step, 0).at;
    pen(drawing, i == from ? "M%f %f" : "L%f %f", at.x, -at.y);
  }
  for (int i = to; i >= from; i--) {
    vec2 at = contour_at(contour, i * step, thickness[i % CLAD_PLACES]).at;
    pen(drawing, whole && i == to ? "zM%f %f" : "L%f %f", at.x, -at.y);
  }
  pen_raw(drawing, "z");
}

/* The build-up at the depth, stretch by stretch; one that takes in the whole wall is closed. */
static void clad_by_buildup(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                            double depth) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  const struct buildup *buildup = buildup_make(drawing->arena, outcome->motion, overlay);
  double thickness[CLAD_PLACES];
  int bare = -1;
  for (int i = 0; i < CLAD_PLACES; i++) {
    thickness[i] = buildup_thickness(buildup, over->layer_count,
                                     over->contour->perimeter * i / CLAD_PLACES, depth);
    if (thickness[i] < CLAD_LEAST)
      bare = i;
  }
  if (bare < 0) {
    clad_stretch(drawing, over->contour, thickness, 0, CLAD_PLACES, true);
    return;
  }
  for (int i = bare + 1, from = -1; i <= bare + CLAD_PLACES; i++) {
    bool laid = thickness[i % CLAD_PLACES] >= CLAD_LEAST;
    if (laid && from < 0)
      from = i;
    if (laid || from < 0)
      continue;
    clad_stretch(drawing, over->contour, thickness, from, i - 1, false);
    from = -1;
  }
}

static void clad_put(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                     double depth) {
  pen_raw(drawing, "<path class=\"clad\" d=\"");
  if (outcome->motion->mode == MODE_WELD)
    clad_by_buildup(drawing, outcome, overlay, depth);
  else
    clad_by_plan(drawing, &outcome->plan->overlays[overlay], depth);
  pen_raw(drawing, "\"/>\n");
}

/* Outlines first: what lies within the union is then covered by the fills. */
void plan_put_metal(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  double depth = plan_section_depth(&outcome->plan->overlays[overlay]);
  struct draw_box f = drawing->field;
  pen_raw(drawing, "<g class=\"section\">\n");
  if (depth > 0)
    pen(drawing, "<rect class=\"metal\" x=\"%f\" y=\"%f\" width=\"%f\" height=\"%f\"/>\n", f.x0,
        f.y0, f.x1 - f.x0, f.y1 - f.y0);
  volumes_put(drawing, outcome, depth, false, "edge");
  volumes_put(drawing, outcome, depth, false, "metal");
  volumes_put(drawing, outcome, depth, true, "edge");
  volumes_put(drawing, outcome, depth, true, "free");
  clad_put(drawing, outcome, overlay, depth);
  pen_raw(drawing, "</g>\n");
}

void plan_put_contour(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  struct rim wall = rim_of_contour(drawing->arena, outcome->plan->overlays[overlay].contour, 0);
  pen_raw(drawing, "<path class=\"wall-line\" d=\"");
  rim_put(drawing, &wall);
  pen_raw(drawing, "\"/>\n");
}
