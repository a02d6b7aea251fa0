/* One layer: how many laps fill its band, what metal and heat they bring, and how far inside the
 * wall they lie (semantics.md, Deposit and Heat). */
#include "plan/plan_parts.h"

#include <assert.h>
#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/deposit.h"

/* Bands and lengths that are equal on paper may differ by this after conversion of units, mm. */
static const double SAME_LENGTH = 1e-9;

/* No wall of this world needs more; each lap is held in memory. */
static const int64_t LAYER_LAPS_MAX = 100000;

span site_layer_place(const struct plan_site *site, const struct layer *layer, const char *key) {
  for (size_t k = 0; k < layer->origin.place_count; k++)
    if (strcmp(layer->origin.places[k].key, key) == 0)
      return layer->origin.places[k].value_at;
  return origin_of_key(&site->overlay->origin, key);
}

static bool band_holds_a_bead(const struct plan_site *site, const struct layer *layer,
                              double band) {
  const struct procedure *procedure = layer->procedure;
  double width = bead_width_laid(procedure);
  if (band >= width - SAME_LENGTH)
    return true;
  struct diag *diag =
      diag_error(site->diags, DIAG_BAND_NARROW, site_layer_place(site, layer, "depths"),
                 "the band is %.6g mm wide; one bead of procedure `%s` takes %.6g mm", band,
                 procedure->name, width);
  diag_note(diag, origin_of_key(&procedure->origin, "bead_width"), "the bead's width stands here");
  if (procedure->oscillation.width > 0)
    diag_note(diag, origin_of_key(&procedure->oscillation.origin, "width"),
              "swaying makes it wider by %.6g mm", procedure->oscillation.width);
  diag_help(diag, "a band of %.6g mm takes one lap", width);
  return false;
}

static bool laps_are_countable(const struct plan_site *site, const struct plan_layer *layer,
                               double band) {
  if (layer->laps <= LAYER_LAPS_MAX)
    return true;
  diag_error(site->diags, DIAG_LAPS_TOO_MANY,
             site_layer_place(site, layer->layer, layer->layer->has_pitch ? "pitch" : "overlap"),
             "a step-over of %.6g mm asks for more than %" PRId64 " laps on a band of %.6g mm",
             layer->wanted_pitch, LAYER_LAPS_MAX, band);
  return false;
}

/* Only two laps can come out so close: with more, n - 2 whole pitches fit into the band. */
static void warn_of_crowded_laps(const struct plan_site *site, const struct plan_layer *layer,
                                 double band) {
  if (layer->laps == 1 || layer->pitch >= layer->wanted_pitch / 2)
    return;
  double width = bead_width_laid(layer->procedure);
  double shorter = width + layer->wanted_pitch * (double)(layer->laps - 2);
  struct diag *diag = diag_warning(
      site->diags, DIAG_BAND_DIVIDES_BADLY, site_layer_place(site, layer->layer, "depths"),
      "%" PRId64
      " laps share a band of %.6g mm at a pitch of %.6g mm, less than half of the %.6g mm "
      "wanted",
      layer->laps, band, layer->pitch, layer->wanted_pitch);
  diag_help(diag,
            "a band of %.6g mm takes %" PRId64 " %s, one of %.6g mm takes %" PRId64
            " at the full pitch",
            shorter, layer->laps - 1, layer->laps == 2 ? "lap" : "laps",
            shorter + layer->wanted_pitch, layer->laps);
}

/* Only a `pitch` asks for so much.  Layers over the valleys fill what lies between. */
static void warn_of_open_laps(const struct plan_site *site, const struct plan_layer *layer) {
  double width = bead_width_laid(layer->procedure);
  bool is_filled = site->overlay->over_valleys && site->overlay->layer_count > 1;
  if (layer->pitch <= width + SAME_LENGTH || is_filled)
    return;
  struct diag *diag = diag_warning(
      site->diags, DIAG_LAPS_APART, site_layer_place(site, layer->layer, "pitch"),
      "laps of layer %" PRId64 " lie %.6g mm apart and its beads are %.6g mm wide: %.6g mm of wall "
      "stay bare between them",
      layer->number, layer->pitch, width, layer->pitch - width);
  diag_help(diag, "at a pitch of %.6g mm or less neighbours meet", width);
}

/* Strokes that lie farther apart than a bead is wide leave gaps at the ends of the sway. */
static void warn_of_open_strokes(const struct plan_site *site, const struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  const struct oscillation *oscillation = &procedure->oscillation;
  double fastest = layer->values_most.travel_speed, advance = fastest / oscillation->frequency;
  if (oscillation->width == 0 || advance <= procedure->bead_width + SAME_LENGTH)
    return;
  struct diag *diag = diag_warning(site->diags, DIAG_STROKES_APART,
                                   origin_of_key(&oscillation->origin, "frequency"),
                                   "in one sway the pool goes on by %.6g mm, farther than a bead "
                                   "of %.6g mm is wide: the ends of "
                                   "the sway do not meet",
                                   advance, procedure->bead_width);
  diag_help(diag, "with %.3f Hz or more they do",
            ceil(1000 * fastest / procedure->bead_width) / 1000);
}

/* Centre lines of the first and the last lap: half a bead inside the edges. */
static void depths_find(struct plan_layer *layer) {
  struct range band = layer->layer->depths;
  double half = bead_width_laid(layer->procedure) / 2;
  if (layer->laps == 1)
    layer->first_depth = layer->last_depth = band.lo + (band.hi - band.lo) / 2;
  else if (layer->layer->deeper)
    layer->first_depth = band.lo + half, layer->last_depth = band.hi - half;
  else
    layer->first_depth = band.hi - half, layer->last_depth = band.lo + half;
}

static void thicknesses_find(struct plan_layer *layer) {
  double width = bead_width_laid(layer->procedure);
  layer->thickness = layer_thickness_nominal(layer->bead_area, layer->pitch, layer->laps, width);
  layer->thicknesses = (struct range){
      layer_thickness_nominal(layer->bead_areas.lo, layer->pitch, layer->laps, width),
      layer_thickness_nominal(layer->bead_areas.hi, layer->pitch, layer->laps, width)};
}

static bool own_laps(const struct plan_site *site, struct plan_layer *layer, double band) {
  double width = bead_width_laid(layer->procedure);
  layer->laps = lap_count(band, width, layer->wanted_pitch);
  if (!laps_are_countable(site, layer, band))
    return false;
  layer->pitch = lap_pitch(band, width, layer->laps);
  warn_of_crowded_laps(site, layer, band);
  warn_of_open_laps(site, layer);
  return true;
}

bool layer_laps(const struct plan_site *site, const struct plan_layer *below,
                struct plan_layer *layer) {
  const struct layer *asked = layer->layer;
  double width = bead_width_laid(asked->procedure), band = asked->depths.hi - asked->depths.lo;
  layer->procedure = asked->procedure;
  layer->dir = asked->clockwise ? -1 : 1;
  layer->wanted_pitch = asked->has_pitch ? asked->pitch : width * (1.0 - asked->overlap);
  if (!band_holds_a_bead(site, asked, band))
    return false;
  bool over_valleys = site->overlay->over_valleys && layer->number % 2 == 0;
  if (over_valleys && below->laps == 0)
    return false; /* told of the layer below */
  if (over_valleys ? !valley_laps(site, below, layer) : !own_laps(site, layer, band))
    return false;
  layer->overlap = layer->laps > 1 ? 1.0 - layer->pitch / width : 0.0;
  depths_find(layer);
  if (!layer_sectors(site, layer))
    return false;
  warn_of_open_strokes(site, layer);
  thicknesses_find(layer);
  return layer_heat(site, layer);
}

/* -- the stack of layers ------------------------------------------------------------- */

/* What the smallest radius of a wall is called, and the key that it was given by. */
struct radius_name {
  const char *words, *key;
};
static struct radius_name radius_name(enum shape_kind kind) {
  switch (kind) {
  case SHAPE_ROUND:
    return (struct radius_name){"the bore's radius", "diameter"};
  case SHAPE_RACETRACK:
    return (struct radius_name){"the end radius", "width"};
  case SHAPE_RECTANGLE:
    return (struct radius_name){"the corner radius", "corner"};
  case SHAPE_OUTLINE:
    return (struct radius_name){"the bend's radius", "from"};
  }
  assert(false); /* outside the enumeration */
  return (struct radius_name){"the radius", "radius"};
}

static struct diag *tell_lost_radius(const struct plan_site *site, enum diag_code code,
                                     const struct plan_layer *layer, const char *what,
                                     double inside, const struct contour_seg *seg) {
  const struct shape *wall = site->overlay->wall;
  struct radius_name name = radius_name(wall->kind);
  struct diag *diag = diag_error(
      site->diags, code,
      origin_of_key(&site->overlay->origin, layer->number == 1 ? "wall" : "layers"),
      "%s %" PRId64 " %s %.6g mm inside the wall; %s of %.6g mm is lost there, by %.6g mm", what,
      layer->number, code == DIAG_OFFSET_LOSES_RADIUS ? "lies" : "runs", inside, name.words,
      seg->radius, inside - seg->radius);
  span shaped = seg->part ? seg->part->place : origin_of_key(&wall->origin, name.key);
  diag_note(diag, shaped, "the wall is shaped here");
  return diag;
}

static bool radii_last(const struct plan_site *site, const struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  double tip = layer->offset + procedure->arc_length;
  int lost = contour_vanishing_seg(site->contour, layer->offset, 0.0);
  if (lost >= 0) {
    tell_lost_radius(site, DIAG_OFFSET_LOSES_RADIUS, layer, "layer", layer->offset,
                     &site->contour->segs[lost]);
    return false;
  }
  lost = contour_vanishing_seg(site->contour, tip, 0.0);
  if (lost < 0)
    return true;
  struct diag *diag =
      tell_lost_radius(site, DIAG_TIP_LOSES_RADIUS, layer, "the electrode's tip in layer", tip,
                       &site->contour->segs[lost]);
  diag_note(diag, origin_of_key(&procedure->origin, "arc_length"),
            "arc length of %.6g mm, over %.6g mm of metal", procedure->arc_length, layer->offset);
  return false;
}

static void thickness_find(const struct contour *contour, struct plan_layer *layer) {
  layer->wall_true = layer->wall_flat = HUGE_VAL;
  for (size_t k = 0; k < contour->count; k++) {
    const struct contour_seg *seg = &contour->segs[k];
    double here = layer_thickness_true(layer->thicknesses.lo, seg->turn,
                                       seg->radius - seg->turn * layer->offset);
    double flat = layer_thickness_flat(layer->bead_areas.lo, layer->pitch, layer->laps,
                                       bead_width_laid(layer->procedure), here);
    layer->wall_true = fmin(layer->wall_true, here);
    layer->wall_flat = fmin(layer->wall_flat, flat);
  }
  layer->ridge = layer_ridge(layer->bead_areas.hi, layer->pitch, layer->laps,
                             bead_width_laid(layer->procedure));
}

static void iron_find(const struct plan_layer *below, struct plan_layer *layer) {
  const struct procedure *procedure = layer->procedure;
  bool base_known = below ? below->has_iron : procedure->has_iron_base;
  layer->has_iron = base_known && procedure->has_dilution && procedure->has_iron_wire;
  if (layer->has_iron)
    layer->iron = iron_after_layer(below ? below->iron : procedure->iron_base, procedure->dilution,
                                   procedure->iron_wire);
}

bool layer_stack(const struct plan_site *site, const struct plan_layer *below,
                 struct plan_layer *layer) {
  layer->offset = below ? below->offset + below->thickness : 0.0;
  if (!radii_last(site, layer) || !layer_passes_necks(site, layer))
    return false;
  thickness_find(site->contour, layer);
  iron_find(below, layer);
  return true;
}
