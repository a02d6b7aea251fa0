/* summary_buildup.c - what lies on the wall, in the summary. */
#include "emit/summary_parts.h"

static void put_range(json_t *object, const char *least, const char *most, struct range range) {
  json_put(object, least, json_number(range.lo));
  json_put(object, most, json_number(range.hi));
}

static json_t *bore_object(struct bore_left bore) {
  if (bore.kind == SHAPE_OUTLINE)
    return json_null();
  json_t *object = json_object();
  if (bore.kind == SHAPE_ROUND) {
    json_put(object, "diameter_mm", json_number(bore.length));
    return object;
  }
  json_put(object, "length_mm", json_number(bore.length));
  json_put(object, "width_mm", json_number(bore.width));
  return object;
}

void layer_buildup_put(json_t *object, const struct plan_overlay *overlay, size_t layer) {
  const struct plan_layer *of = &overlay->layers[layer];
  json_put(object, "bead_area_mm2", json_number(of->bead_area));
  json_put(object, "flat_thickness_mm", json_number(of->wall_flat));
  put_range(object, "true_least_mm", "true_most_mm", plan_layer_true(overlay, of));
  put_range(object, "build_up_least_mm", "build_up_most_mm",
            plan_build_up_range(overlay, layer + 1));
  json_put(object, "bore_left", bore_object(plan_bore_left(overlay, layer + 1)));
}

static json_t *part_object(struct buildup_part part) {
  if (part.share <= 0)
    return json_null();
  json_t *object = json_object();
  json_put(object, "share", json_number(part.share));
  json_put(object, "least_mm", json_number(part.least));
  json_put(object, "mean_mm", json_number(part.mean));
  json_put(object, "most_mm", json_number(part.most));
  return object;
}

json_t *buildup_object(const struct buildup_figures *figures) {
  json_t *object = json_object();
  json_put(object, "inside", part_object(figures->inside));
  json_put(object, "edges", part_object(figures->edges));
  return object;
}
