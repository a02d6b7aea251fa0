/* Overlays: layers with their overrides, starts, and what only some walls allow. */
#include <string.h>

#include "resolve/build.h"
#include "resolve/drafts.h"

/* Not zeroed twice: each layer starts as the overlay's own. */
struct overlay_reading {
  struct reading reading;
  struct overlay_draft draft;
  struct overlay *out;
};

/* -- layers -------------------------------------------------------------------- */

static void layer_override(struct overlay_reading *overlay, const struct flat *flat,
                           struct layer *layer) {
  struct layer_draft draft = {.layer = *layer};
  draft.layer.has_pitch = draft.layer.overlap_auto = false;
  struct reading reading = block_read(overlay->reading.r, flat, &draft, true);
  if (!draft.has_overlap && !draft.layer.has_pitch) {
    draft.layer.has_pitch = layer->has_pitch;
    draft.layer.overlap_auto = layer->overlap_auto;
  }
  *layer = draft.layer;
  layer->origin = origin_make(overlay->reading.r, &reading, &overlay->reading);
  if (!reading.is_whole)
    reading_fail(&overlay->reading);
}

static void layer_out_of_count(struct overlay_reading *overlay, const struct flat *flat) {
  struct reading *reading = &overlay->reading;
  size_t layers = overlay->draft.overlay.layer_count;
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_LAYER_NUMBER, flat->statement->block->name.at,
                 "there is no layer %s: the overlay has %zu", flat->name, layers);
  if (overlay->draft.overlay.layers_auto)
    diag_help(diag, "`auto` chooses among %d layers at most", LAYERS_AUTO_MOST);
  else if (reading_is_given(reading, "layers"))
    diag_note(diag, reading_at(reading, "layers"), "layers is given here");
  else
    diag_help(diag, "write `layers %s`", flat->name);
  reading_fail(reading);
}

static void layers_count(struct overlay_reading *overlay, bool is_counted) {
  struct overlay *out = overlay->out, *draft = &overlay->draft.overlay;
  if (draft->layers_auto)
    draft->layer_count = LAYERS_AUTO_MOST;
  out->layer_count = is_counted ? draft->layer_count : 1;
  out->layer_room = out->layer_count < LAYERS_AUTO_MOST ? LAYERS_AUTO_MOST : out->layer_count;
  out->layers = arena_alloc(overlay->reading.r->arena, out->layer_room, sizeof *out->layers);
  for (size_t i = 0; i < out->layer_room; i++)
    out->layers[i] = overlay->draft.every_layer.layer;
}

static void layers_read(struct overlay_reading *overlay) {
  struct reading *reading = &overlay->reading;
  struct overlay *out = overlay->out;
  bool is_counted = reading_has(reading, KEYS("layers"));
  layers_count(overlay, is_counted);
  for (size_t i = 0; i < reading->flat->item_count; i++) {
    const struct flat *flat = reading->flat->items[i].block;
    size_t number;
    if (!flat || strcmp(flat->kind->word, "layer") != 0 || !layer_number(flat->name, &number))
      continue;
    struct layer unwanted = overlay->draft.every_layer.layer;
    bool exists = number >= 1 && number <= out->layer_count;
    if (!exists && is_counted)
      layer_out_of_count(overlay, flat);
    layer_override(overlay, flat, exists ? &out->layers[number - 1] : &unwanted);
  }
}

/* -- what only some walls allow -------------------------------------------------- */

static const char *shape_phrase(enum shape_kind kind) {
  switch (kind) {
  case SHAPE_ROUND:
    return "a round";
  case SHAPE_RACETRACK:
    return "a racetrack";
  case SHAPE_RECTANGLE:
    return "a rectangle";
  case SHAPE_OUTLINE:
    return "an outline";
  }
  return "";
}

static struct diag *angle_refused(struct overlay_reading *overlay, span at, const char *key) {
  const struct shape *wall = overlay->out->wall;
  struct diag *diag = diag_error(overlay->reading.r->diags, DIAG_ANGLE_NOT_ROUND, at,
                                 "%s is an angle, but the wall `%s` is %s, not a round", key,
                                 wall->name, shape_phrase(wall->kind));
  diag_help(diag, "give a length along the contour");
  reading_fail(&overlay->reading);
  return diag;
}

static void angles_check(struct overlay_reading *overlay) {
  const struct overlay *out = overlay->out;
  const struct reading *reading = &overlay->reading;
  if (out->has_stagger && out->stagger.is_angle)
    angle_refused(overlay, reading_at(reading, "stagger"), "stagger");
  if (out->has_step_length && out->step_length.is_angle)
    angle_refused(overlay, reading_at(reading, "step_length"), "step_length");
  for (size_t i = 0; i < out->layer_count; i++) {
    const struct layer *layer = &out->layers[i];
    if (!layer->procedure || !layer->procedure->tie_in_is_angle)
      continue;
    struct diag *diag = angle_refused(overlay, origin_of_key(&layer->origin, "procedure"),
                                      "tie_in of this procedure");
    diag_note(diag, origin_of_key(&layer->procedure->origin, "tie_in"), "tie_in is given here");
  }
}

static void ramps_check(struct overlay_reading *overlay) {
  const struct overlay *out = overlay->out;
  for (size_t i = 0; i < out->sector_count; i++)
    if (out->sectors[i].has_ramp && out->sectors[i].ramp.is_angle)
      angle_refused(overlay, origin_of_key(&out->sectors[i].origin, "ramp"), "ramp");
}

static void start_check(struct overlay_reading *overlay) {
  struct overlay *out = overlay->out;
  struct reading *reading = &overlay->reading;
  const struct overlay_draft *draft = &overlay->draft;
  if (reading_is_given(reading, "start_angle")) {
    out->start = START_ANGLE;
    out->start_value = draft->start_angle;
  } else if (reading_is_given(reading, "start_along")) {
    out->start = START_ALONG;
    out->start_value = draft->start_along;
  } else if (reading_is_given(reading, "start_straight")) {
    out->start = START_STRAIGHT;
    out->start_value = (double)draft->start_straight;
  }
  if (out->start != START_STRAIGHT || !out->wall || out->wall->kind == SHAPE_RACETRACK)
    return;
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_START_STRAIGHT, reading_at(reading, "start_straight"),
                 "start_straight is for a racetrack; the wall `%s` is %s", out->wall->name,
                 shape_phrase(out->wall->kind));
  diag_help(diag, "give `start_angle` or `start_along`");
  reading_fail(reading);
}

/* -- auto ---------------------------------------------------------------------------- */

static void auto_refused(struct overlay_reading *overlay, span at, const char *what,
                         const char *needs, const char *key) {
  struct diag *diag =
      diag_error(overlay->reading.r->diags, DIAG_AUTO_AIMLESS, at,
                 "`%s auto` is chosen by what `require` asks; no %s is asked for", what, needs);
  diag_help(diag, "write `require { %s }`, for instance", key);
  reading_fail(&overlay->reading);
}

/* Iron does not depend on the overlap, so that it could not be chosen by iron alone. */
static void auto_check(struct overlay_reading *overlay) {
  const struct overlay *out = overlay->out;
  bool shaped =
      out->has_required_thickness || out->has_required_finish || out->has_required_flatness;
  if (out->layers_auto && !shaped && !out->has_required_iron)
    auto_refused(overlay, reading_at(&overlay->reading, "layers"), "layers",
                 "thickness, finish, flatness or iron", "thickness 3 mm");
  for (size_t i = 0; i < out->layer_count && !shaped; i++)
    if (out->layers[i].overlap_auto)
      auto_refused(overlay, origin_of_key(&out->layers[i].origin, "overlap"), "overlap",
                   "thickness, finish or flatness", "thickness 3 mm");
}

/* -- require ---------------------------------------------------------------------- */

static void iron_missing(struct overlay_reading *overlay, const struct procedure *procedure,
                         bool told, const char *key, span wanted_at) {
  if (told)
    return;
  struct diag *diag =
      diag_error(overlay->reading.r->diags, DIAG_IRON_UNKNOWN, wanted_at,
                 "a limit on iron needs %s of the procedure `%s`", key, procedure->name);
  diag_note(diag, procedure->origin.head, "which does not give it");
  reading_fail(&overlay->reading);
}

static void iron_check(struct overlay_reading *overlay) {
  const struct overlay *out = overlay->out;
  span at = origin_of_key(&out->require_origin, "iron");
  for (size_t i = 0; i < out->layer_count; i++) {
    const struct procedure *p = out->layers[i].procedure;
    if (!p)
      continue;
    iron_missing(overlay, p, p->has_dilution, "dilution", at);
    iron_missing(overlay, p, p->has_iron_wire, "iron_wire", at);
    iron_missing(overlay, p, p->has_iron_base, "iron_base", at);
  }
}

static void require_read(struct overlay_reading *overlay) {
  const struct flat *flat = inner_get(overlay->reading.flat, "require", NULL);
  struct overlay *out = overlay->out;
  out->require_origin = (struct origin){.head = out->origin.head};
  if (!flat) {
    auto_check(overlay);
    return;
  }
  struct reading require = block_read(overlay->reading.r, flat, out, false);
  out->require_origin = origin_make(overlay->reading.r, &require, NULL);
  if (!require.is_whole)
    reading_fail(&overlay->reading);
  if (out->has_required_iron)
    iron_check(overlay);
  if (require.is_whole)
    auto_check(overlay);
}

/* -- all ---------------------------------------------------------------------------- */

static void step_check(struct overlay_reading *overlay) {
  struct reading *reading = &overlay->reading;
  bool any = reading_state(reading, "overlap") != KEY_ABSENT ||
             reading_state(reading, "pitch") != KEY_ABSENT;
  if (!any)
    key_missing(reading, "overlap", "pitch");
}

const struct overlay *overlay_build(struct resolver *r, const struct decl *decl,
                                    const struct flat *flat) {
  struct overlay *out = arena_alloc(r->arena, 1, sizeof *out);
  struct overlay_reading overlay = {.out = out};
  overlay.reading = block_read(r, flat, &overlay.draft, false);
  *out = overlay.draft.overlay;
  out->name = decl->full_name;
  out->origin = origin_make(r, &overlay.reading, NULL);
  out->line = source_place_get(r->sources, out->origin.head.file, out->origin.head.begin).line;
  overlay.draft.every_layer.layer.origin = out->origin;
  step_check(&overlay);
  layers_read(&overlay);
  start_check(&overlay);
  if (out->wall && out->wall->kind != SHAPE_ROUND)
    angles_check(&overlay);
  require_read(&overlay);
  zones_read(&overlay.reading, out);
  sectors_read(&overlay.reading, out);
  if (out->wall && out->wall->kind != SHAPE_ROUND)
    ramps_check(&overlay);
  return overlay.reading.is_whole ? out : NULL;
}
