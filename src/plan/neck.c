/* Layers and tip in a neck of the wall: where two stretches of it face one another nearer than
 * twice an offset, what runs at that offset meets itself, though no radius is lost. */
#include <inttypes.h>

#include "plan/plan_parts.h"

static void side_note(struct diag *diag, const struct plan_site *site, double s,
                      const char *which) {
  double turns;
  const struct contour *contour = site->contour;
  const struct contour_seg *seg =
      &contour->segs[contour_seg_at(contour, contour_wrap(contour, s, &turns))];
  span at = seg->part ? seg->part->place : site->overlay->wall->origin.head;
  diag_note(diag, at, "%s side of the neck, at s = %.6g mm", which, s);
}

static struct diag *neck_tell(const struct plan_site *site, enum diag_code code,
                              const struct plan_layer *layer, double inside,
                              const struct contour_neck *neck) {
  bool is_tip = code == DIAG_TIP_IN_NECK;
  struct diag *diag = diag_error(
      site->diags, code,
      origin_of_key(&site->overlay->origin, layer->number == 1 ? "wall" : "layers"),
      "%s %" PRId64 " %s %.6g mm inside the wall; a neck of the wall only %.6g mm wide is "
      "too narrow for that from both sides",
      is_tip ? "the electrode's tip in layer" : "layer", layer->number, is_tip ? "runs" : "reaches",
      inside, neck->width);
  side_note(diag, site, neck->s_a, "one");
  side_note(diag, site, neck->s_b, "the other");
  return diag;
}

/* How far from the wall the layer's own surface lies, where that has kept every radius; else the
 * surface that it lies on. */
static double layer_reach(const struct plan_site *site, const struct plan_layer *layer) {
  double surface = layer->offset + layer->thicknesses.hi;
  return contour_vanishing_seg(site->contour, surface, 0) < 0 ? surface : layer->offset;
}

bool layer_passes_necks(const struct plan_site *site, const struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  double tip = layer->offset + procedure->arc_length;
  struct contour_neck neck;
  double reach = layer_reach(site, layer);
  if (contour_neck_find(site->contour, reach, &neck)) {
    neck_tell(site, DIAG_LAYER_IN_NECK, layer, reach, &neck);
    return false;
  }
  if (!contour_neck_find(site->contour, tip, &neck))
    return true;
  struct diag *diag = neck_tell(site, DIAG_TIP_IN_NECK, layer, tip, &neck);
  diag_note(diag, origin_of_key(&procedure->origin, "arc_length"),
            "arc length of %.6g mm, over %.6g mm of metal", procedure->arc_length, layer->offset);
  return false;
}
