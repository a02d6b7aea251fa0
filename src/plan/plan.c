/* From the job to its plan: where the part lies, the contours of every shape that the job reaches,
 * then each overlay's layers and runs in welding order. */
#include "borelay/plan.h"

#include <inttypes.h>

#include "borelay/arena.h"
#include "plan/plan_parts.h"

/* -- contours, one for each shape, so that a fit is made and told once --------------- */

struct placed_shape {
  const struct shape *shape;     /* NULL: a free place */
  const struct contour *contour; /* NULL: refused, and told */
};
struct shape_store {
  struct arena *arena;
  struct diag_list *diags;
  struct plan *plan;
  struct placed_shape *placed; /* by hash of the shape's address, in the first place free */
  int placed_bits;             /* of the number of a place */
};

static size_t shape_uses(const struct job *job) {
  return job->overlay_count + job->envelope->volume_count;
}

static void fit_add(struct plan *plan, const struct fit *fit) {
  plan->fits[plan->fit_count++] = *fit;
}

static void store_begin(struct shape_store *store) {
  while ((size_t)1 << store->placed_bits < 2 * shape_uses(store->plan->job))
    store->placed_bits++;
  store->placed = arena_alloc(store->arena, (size_t)1 << store->placed_bits, sizeof *store->placed);
}

/* Its place, or a free one: the upper bits of a product with 2^64 over the golden ratio, and on. */
static struct placed_shape *placed_find(const struct shape_store *store,
                                        const struct shape *shape) {
  size_t mask = ((size_t)1 << store->placed_bits) - 1;
  size_t at = (size_t)((uint64_t)(uintptr_t)shape * 0x9E3779B97F4A7C15u >> 32);
  while (store->placed[at & mask].shape && store->placed[at & mask].shape != shape)
    at++;
  return &store->placed[at & mask];
}

static const struct contour *shape_place(struct shape_store *store, const struct shape *shape) {
  struct placed_shape *placed = placed_find(store, shape);
  if (placed->shape)
    return placed->contour;
  struct fit fit;
  bool has_fit = false;
  const struct contour *contour =
      contour_make(store->arena, shape, &store->plan->placement, store->plan->job->cell->reach,
                   store->diags, &fit, &has_fit);
  if (contour && has_fit)
    fit_add(store->plan, &fit);
  *placed = (struct placed_shape){shape, contour};
  return contour;
}

static void volumes_place(struct shape_store *store) {
  const struct envelope *envelope = store->plan->job->envelope;
  store->plan->volume_contours =
      arena_alloc(store->arena, envelope->volume_count, sizeof *store->plan->volume_contours);
  for (size_t k = 0; k < envelope->volume_count; k++)
    store->plan->volume_contours[k] = shape_place(store, envelope->volumes[k].shape);
}

/* -- overlays ------------------------------------------------------------------------ */

bool overlay_lap(const struct plan_site *site, struct plan_overlay *overlay) {
  bool good = true;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    struct plan_layer *layer = &overlay->layers[k];
    layer->layer = &overlay->overlay->layers[k];
    layer->number = (int64_t)k + 1;
    good &= layer_laps(site, k ? layer - 1 : NULL, layer);
  }
  return good;
}

bool overlay_stack(const struct plan_site *site, struct plan_overlay *overlay) {
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (!layer_stack(site, k ? &overlay->layers[k - 1] : NULL, &overlay->layers[k]))
      return false; /* the layers above lie on this one */
  return true;
}

static bool lengths_find(const struct plan_site *site, const struct plan_overlay *overlay,
                         struct run_lengths *lengths) {
  bool good = true;
  for (size_t k = 0; k < overlay->layer_count; k++)
    good &= run_lengths_find(site, &overlay->layers[k], &lengths[k]);
  return good;
}

static void layers_run(const struct plan_site *site, const struct run_lengths *lengths,
                       struct plan_overlay *overlay) {
  int64_t rings = 0;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    layer_paths(site, &lengths[k], rings, &overlay->layers[k]);
    rings += overlay->layers[k].laps;
    layer_runs(site, &overlay->layers[k]);
  }
}

/* From a centre outside the bore a ray may meet nothing but the far side of walls. */
static bool start_is_seen(const struct plan_site *site) {
  const struct overlay *overlay = site->overlay;
  if (overlay->start != START_ANGLE ||
      contour_s_at_angle(site->contour, overlay->start_value + site->part_turned) >= 0)
    return true;
  struct diag *diag =
      diag_error(site->diags, DIAG_START_UNSEEN, origin_of_key(&overlay->origin, "start_angle"),
                 "no wall is seen at that angle from the centre of `%s`, which "
                 "lies outside the bore",
                 overlay->wall->name);
  diag_note(diag, origin_of_key(&overlay->wall->origin, "centre"), "the wall is shaped here");
  diag_help(diag, "give the shape a `centre` inside the bore, or `start_along` instead");
  return false;
}

/* More metal than a round bore has room for: its layer would have no surface (docs/semantics.md,
 * Deposit: R^2 - 2 R A/p).  In the bends of other walls it joins that of the sides. */
static bool bore_stays_open(const struct plan_site *site, const struct plan_overlay *overlay) {
  const struct contour_seg *seg = &site->contour->segs[0];
  for (size_t k = 0; site->overlay->wall->kind == SHAPE_ROUND && k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    double radius = seg->radius - layer->offset, thick = layer->thicknesses.hi;
    if (2 * thick < radius)
      continue;
    struct diag *diag = diag_error(
        site->diags, DIAG_BORE_FILLED, origin_of_key(&site->overlay->origin, "wall"),
        "layer %" PRId64
        " fills the bore: beads of %.6g mm2 every %.6g mm are %.6g mm thick on a flat wall; in a "
        "bore of radius %.6g mm there is metal for less than %.6g mm",
        layer->number, layer->bead_areas.hi, layer->laps > 1 ? layer->pitch : layer->thickness,
        thick, radius, radius / 2);
    diag_note(diag, origin_of_key(&layer->procedure->origin, "wire_feed_speed"),
              "the wire is fed here, for a travel of %.6g mm/min",
              60 * layer->values_least.travel_speed);
    return false;
  }
  return true;
}

static void overlay_plan(struct shape_store *store, const struct overlay *asked,
                         struct plan_overlay *overlay) {
  overlay->overlay = asked;
  overlay->contour = shape_place(store, asked->wall);
  if (!overlay->contour)
    return;
  struct plan_site site = {.arena = store->arena,
                           .diags = store->diags,
                           .cell = store->plan->job->cell,
                           .overlay = asked,
                           .contour = overlay->contour,
                           .part_turned = store->plan->placement.turned};
  bool good = start_is_seen(&site);
  good &= sector_parts_find(&site, &site.sectors);
  good &= finish_is_inside(&site);
  site.overlay = overlay_choose(&site, &overlay->choice);
  if (!site.overlay)
    return;
  overlay->overlay = site.overlay;
  overlay->layer_count = site.overlay->layer_count;
  overlay->layers = arena_alloc(store->arena, overlay->layer_count, sizeof *overlay->layers);
  struct run_lengths *lengths = arena_alloc(store->arena, overlay->layer_count, sizeof *lengths);
  good &= overlay_lap(&site, overlay);
  good &= lengths_find(&site, overlay, lengths);
  if (!good || !overlay_stack(&site, overlay) || !bore_stays_open(&site, overlay))
    return;
  layers_run(&site, lengths, overlay);
  overlay_thickness(overlay);
}

static struct plan *plan_new(struct arena *arena, const struct job *job) {
  struct plan *plan = arena_alloc(arena, 1, sizeof *plan);
  plan->job = job;
  plan->overlay_count = job->overlay_count;
  plan->overlays = arena_alloc(arena, job->overlay_count, sizeof *plan->overlays);
  plan->fits = arena_alloc(arena, shape_uses(job) + 1, sizeof *plan->fits); /* one is the datum's */
  return plan;
}

const struct plan *plan_make(struct arena *arena, const struct job *job, struct diag_list *diags) {
  size_t errors_before = diag_error_count(diags);
  struct plan *plan = plan_new(arena, job);
  struct fit fit;
  bool has_fit = false;
  if (!placement_find(job, job->cell->reach, diags, &plan->placement, &fit, &has_fit))
    return NULL; /* touches of shapes are carried by the datum: nothing further can be judged */
  if (has_fit)
    fit_add(plan, &fit);
  struct shape_store store = {.arena = arena, .diags = diags, .plan = plan, .placed_bits = 1};
  store_begin(&store);
  for (size_t k = 0; k < job->overlay_count; k++)
    overlay_plan(&store, job->sequence[k], &plan->overlays[k]);
  volumes_place(&store);
  return diag_error_count(diags) == errors_before ? plan : NULL;
}
