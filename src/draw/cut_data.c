/* cut_data.c - what sections are cut from, as JSON for a page. */
#include <math.h>

#include "borelay/arena.h"
#include "draw/rim.h"

static void figure(struct drawing *drawing, double value) {
  pen_number(drawing, value, 3);
}

static void rim_data(struct drawing *drawing, const struct rim *rim) {
  pen_raw(drawing, "[");
  for (size_t i = 0; i < rim->count; i++) {
    const struct rim_edge *edge = &rim->edges[i];
    pen_raw(drawing, i > 0 ? ",[" : "[");
    const double figures[] = {edge->a.x,      edge->a.y,      edge->b.x,   edge->b.y,
                              edge->centre.x, edge->centre.y, edge->radius};
    for (size_t k = 0; k < (edge->radius > 0 ? 7 : 4); k++) {
      pen_raw(drawing, k > 0 ? "," : "");
      figure(drawing, figures[k]);
    }
    pen_raw(drawing, edge->radius <= 0 ? "]" : edge->turn > 0 ? ",1]" : ",-1]");
  }
  pen_raw(drawing, "]");
}

static void depths_data(struct drawing *drawing, struct range depths) {
  pen_raw(drawing, "\"depths\":[");
  figure(drawing, depths.lo);
  pen_raw(drawing, ",");
  figure(drawing, depths.hi);
  pen_raw(drawing, "]");
}

/* The first instant at which the layer counts as metal for bodies and torch. */
static double stands_from(const struct motion *motion, size_t overlay, size_t layer) {
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    bool is_at_wall = phase->kind == PHASE_TOUCH || phase->kind == PHASE_PREFLOW ||
                      phase->kind == PHASE_UPSLOPE || phase->kind == PHASE_WELD;
    if (is_at_wall && (size_t)phase->overlay == overlay + 1 && (size_t)phase->layer >= layer + 1)
      return (double)phase->tick0 * motion->plan->job->cell->tick;
  }
  return 0; /* of a weld taken up again: it lay there before */
}

static void clad_data(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                      size_t layer) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  struct rim face = rim_of_clad(drawing->arena, over, layer + 1, false);
  pen(drawing, "{\"overlay\":%zu,\"layer\":%zu,\"from\":", overlay + 1, layer + 1);
  figure(drawing, stands_from(outcome->motion, overlay, layer));
  pen_raw(drawing, ",");
  depths_data(drawing, over->layers[layer].layer->depths);
  pen_raw(drawing, ",\"face\":");
  rim_data(drawing, &face);
  pen_raw(drawing, "}");
}

const char *draw_cut_data(struct arena *arena, const struct outcome *outcome) {
  if (!outcome->motion)
    return NULL;
  const struct draw_look plain = {.prefix = ""};
  struct drawing *drawing = pen_new(arena, "", &plain);
  const struct envelope *envelope = outcome->job->envelope;
  pen_raw(drawing, "{\"face_z\":");
  figure(drawing, outcome->plan->placement.at.z);
  pen_raw(drawing, ",\"volumes\":[");
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    struct rim rim = rim_of_contour(arena, outcome->plan->volume_contours[i], 0);
    pen(drawing, "%s{\"kind\":\"", i > 0 ? "," : "");
    pen(drawing, "%s\",\"name\":\"%s\",", volume->is_free ? "free" : "solid", volume->shape->name);
    depths_data(drawing, volume->depths);
    pen_raw(drawing, ",\"rim\":");
    rim_data(drawing, &rim);
    pen_raw(drawing, "}");
  }
  pen_raw(drawing, "],\"walls\":[");
  for (size_t i = 0; i < outcome->plan->overlay_count; i++) {
    struct rim rim = rim_of_contour(arena, outcome->plan->overlays[i].contour, 0);
    pen_raw(drawing, i > 0 ? "," : "");
    rim_data(drawing, &rim);
  }
  pen_raw(drawing, "],\"clad\":[");
  bool first = true;
  for (size_t i = 0; i < outcome->plan->overlay_count; i++)
    for (size_t k = 0; k < outcome->plan->overlays[i].layer_count; k++) {
      pen_raw(drawing, first ? "" : ",");
      clad_data(drawing, outcome, i, k);
      first = false;
    }
  pen_raw(drawing, "]}");
  return drawing->text;
}
