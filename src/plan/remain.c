/* What is left of the clad at the worst place, after machining where the job tells of it.
 *
 * Everything is the same on one segment of the contour between two edges of layers, but for the
 * distance from a taught wall to the finished one, whose range on a segment is known in closed
 * form: so the worst place is found by looking at each (docs/buildup.md, sections 5 and 6). */
#include "plan/plan_parts.h"

#include <math.h>

#include "borelay/deposit.h"
#include "borelay/num.h"

/* Of a limit: docs/semantics.md, first lines. */
static const double SLACK = 1e-6;

/* -- build-up ---------------------------------------------------------------------------------- */

/* Of the layers so far: metal per area of the shape, nominal and flat figures. */
struct pile {
  double metal, nominal, flat;
};

/* Share of a bead's metal from its centre line to u widths from it. */
static double bead_share(double u) {
  double x = fmin(u, 0.5);
  return x * (1.5 - 2 * x * x);
}

/* Level in the middle of the band, where an odd number of crowded laps does not quite fill it. */
static double middle_level(const struct plan_layer *layer, double width, double area) {
  if (layer->laps < 2 || layer->pitch <= 0)
    return HUGE_VAL;
  double laps = (double)layer->laps, fewer = floor(laps / 2), share = layer->pitch / width;
  return area / layer->pitch * (bead_share(fewer * share) + bead_share((laps - fewer) * share));
}

static void pile_add(struct pile *pile, const struct plan_layer *layer, double feed,
                     const struct contour_seg *seg) {
  double width = bead_width_laid(layer->procedure), area = feed * layer->bead_areas.lo;
  double even = fmin(feed * layer->thicknesses.lo, middle_level(layer, width, area));
  double radius = seg->radius - seg->turn * pile->nominal;
  double over = layer_thickness_true(even, seg->turn, radius);
  double metal = layer_thickness_flat(area, layer->pitch, layer->laps, width, even);
  pile->flat += layer_thickness_flat(area, layer->pitch, layer->laps, width, over);
  pile->metal += seg->turn == 0 ? metal : metal * (radius / seg->radius);
}

static bool layer_lies_at(const struct plan_layer *layer, double depth) {
  return depth >= layer->layer->depths.lo && depth <= layer->layer->depths.hi;
}

double plan_build_up_with(const struct plan_overlay *overlay, const struct contour_seg *seg,
                          double depth, size_t more, double feed) {
  struct pile pile = {0, 0, 0};
  for (size_t k = 0; k < overlay->layer_count + more; k++) {
    size_t i = k < overlay->layer_count ? k : overlay->layer_count - 1;
    const struct plan_layer *layer = &overlay->layers[i];
    if (layer_lies_at(layer, depth))
      pile_add(&pile, layer, feed, seg);
    pile.nominal += feed * layer->thickness;
  }
  return fmin(pile.flat, layer_thickness_true(pile.metal, seg->turn, seg->radius));
}

double plan_build_up_least(const struct plan_overlay *overlay, const struct contour_seg *seg,
                           double depth) {
  return plan_build_up_with(overlay, seg, depth, 0, 1);
}

/* -- the finished wall ------------------------------------------------------------------------- */

/* Distance between the centres of a racetrack's half circles. */
static double core_of(const struct contour *contour) {
  const struct contour_seg *first = NULL;
  double most = 0;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    if (seg->turn == 0)
      continue;
    if (!first)
      first = seg;
    most = fmax(most, num_hypot(seg->centre.x - first->centre.x, seg->centre.y - first->centre.y));
  }
  return most;
}

/* How far a touched wall lies outside the shape's dimensions, laid on it with the same centre and
 * turn.  The dimensions' wall is where the distance to the line between the two centres of its half
 * circles (a point, on a round) is its radius; `longer` is how much farther out the touched ones'
 * centres lie. */
static struct range wall_outside(const struct contour *contour, const struct contour_seg *seg) {
  const struct shape *shape = contour->shape;
  if (!contour->taught || !shape->has_dimensions)
    return (struct range){0, 0};
  if (shape->kind == SHAPE_ROUND)
    return (struct range){seg->radius - shape->diameter / 2, seg->radius - shape->diameter / 2};
  double longer = (core_of(contour) - (shape->length - shape->width)) / 2, radius = seg->radius;
  for (size_t i = 0; seg->turn == 0 && i < contour->count; i++)
    radius = fmax(radius, contour->segs[i].radius);
  double corner = num_hypot(radius, fmax(longer, 0)) - shape->width / 2;
  double side = radius - shape->width / 2;
  if (seg->turn == 0) /* it may end beyond the other's centres */
    return (struct range){side, corner};
  return longer >= 0 ? (struct range){corner, side + longer} : (struct range){side + longer, side};
}

bool finish_is_inside(const struct plan_site *site) {
  const struct overlay *overlay = site->overlay;
  double finish = overlay->has_required_finish ? overlay->required_finish : 0;
  int lost = finish > 0 ? contour_vanishing_seg(site->contour, finish, 0) : -1;
  if (lost < 0)
    return true;
  const struct contour_seg *seg = &site->contour->segs[lost];
  struct diag *diag =
      diag_error(site->diags, DIAG_FINISH_DEEP, origin_of_key(&overlay->require_origin, "finish"),
                 "a finished wall %.6g mm inside `%s` loses a radius of %.6g mm", finish,
                 overlay->wall->name, seg->radius);
  diag_note(diag, seg->part ? seg->part->place : overlay->wall->origin.head,
            "the wall is shaped here");
  diag_help(diag, "a finish of less than %.6g mm leaves it its shape", seg->radius);
  return false;
}

bool plan_radii_last(const struct plan_overlay *planned, double inside) {
  return contour_vanishing_seg(planned->contour, inside, 0) < 0;
}

double plan_finish_least(const struct plan_overlay *planned) {
  const struct overlay *overlay = planned->overlay;
  double least = overlay->required_finish;
  for (size_t i = 0; overlay->has_required_thickness && i < planned->contour->count; i++) {
    struct range outside = wall_outside(planned->contour, &planned->contour->segs[i]);
    least = fmax(least, overlay->required_thickness - outside.lo);
  }
  return least;
}

/* -- the worst place --------------------------------------------------------------------------- */

static double share_of_least(double value, double least) {
  return least <= 0 ? 0 : value > 0 ? least / value : HUGE_VAL;
}

static void raise_to(struct plan_remaining *worst, struct plan_remaining here) {
  here.share = share_of_least(here.value, here.limit);
  if (!worst->is_asked || here.share > worst->share)
    *worst = here;
}

/* What is added to the overlay as it is planned. */
struct added {
  size_t layers; /* like the last one */
  double feed;   /* of every wire, times what is written */
};

static void judge_place(const struct plan_overlay *planned, struct added added, size_t seg,
                        struct range depths, struct plan_remaining *worst) {
  const struct overlay *overlay = planned->overlay;
  const struct contour_seg *on = &planned->contour->segs[seg];
  double middle = depths.lo + (depths.hi - depths.lo) / 2;
  struct plan_remaining here = {.is_asked = true, .seg = seg, .depths = depths};
  here.build_up = plan_build_up_with(planned, on, middle, added.layers, added.feed);
  here.finish = (struct range){(double)INFINITY, (double)INFINITY};
  if (overlay->has_required_finish) {
    struct range outside = wall_outside(planned->contour, on);
    here.finish = (struct range){overlay->required_finish + outside.lo,
                                 overlay->required_finish + outside.hi};
    here.is_clean_up = true;
    here.value = here.build_up;
    here.limit = here.finish.hi;
    raise_to(worst, here);
  }
  if (overlay->has_required_thickness) {
    here.is_clean_up = false;
    here.value = fmin(here.build_up, here.finish.lo);
    here.limit = overlay->required_thickness;
    raise_to(worst, here);
  }
}

struct plan_remaining plan_remaining_with(const struct plan_overlay *planned, size_t more,
                                          double feed) {
  struct plan_remaining worst = {0};
  const struct overlay *overlay = planned->overlay;
  if (!overlay->has_required_thickness && !overlay->has_required_finish)
    return worst;
  struct range band = overlay_band(overlay);
  for (double edge = band.lo; edge < band.hi;) {
    double next = overlay_next_edge(planned, edge, band.hi);
    if (next - edge > CLAD_SAME_EDGE)
      for (size_t i = 0; i < planned->contour->count; i++)
        judge_place(planned, (struct added){more, feed}, i, (struct range){edge, next}, &worst);
    edge = next;
  }
  worst.is_met = worst.share <= 1 + SLACK;
  return worst;
}

struct plan_remaining plan_remaining_get(const struct plan_overlay *planned) {
  return plan_remaining_with(planned, 0, 1);
}
