/* The laps of a layer as paths, as if no zone were there.  Every leg is a contour length on the
 * shape itself and the depths at its ends, so that the same legs serve whatever the layer's offset
 * (semantics.md, The torch over the wall; docs/plan.md). */
#include "plan/plan_parts.h"

#include <assert.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"

/* Stagger and step that are equal on paper may differ by this after conversion of units, mm. */
static const double SAME_LENGTH = 1e-9;

/* -- lengths that the program names -------------------------------------------------- */

/* An angle on a round counts radius * angle; on any other wall it was refused with the names. */
double site_length_along(const struct plan_site *site, struct along along) {
  if (!along.is_angle)
    return along.value;
  assert(site->overlay->wall->kind == SHAPE_ROUND);
  return along.value * site->contour->segs[0].radius;
}

static double start_find(const struct plan_site *site) {
  const struct overlay *overlay = site->overlay;
  switch (overlay->start) {
  case START_DEFAULT:
    return 0.0;
  case START_ANGLE:
    return contour_s_at_angle(site->contour, overlay->start_value + site->part_turned);
  case START_ALONG:
    return overlay->start_value;
  case START_STRAIGHT:
    assert(overlay->wall->kind == SHAPE_RACETRACK);
    /* s = 0 is the middle of straight 1; the other straight's lies half the way round. */
    return overlay->start_value < 1.5 ? 0.0 : site->contour->perimeter / 2;
  }
  assert(false); /* outside the enumeration */
  return 0.0;
}

static double step_find(const struct plan_site *site, const struct plan_layer *layer) {
  const struct overlay *overlay = site->overlay;
  return overlay->has_step_length ? site_length_along(site, overlay->step_length)
                                  : 2.0 * bead_width_laid(layer->procedure);
}

/* A shorter stagger would begin the next level run before the step has ended. */
static bool stagger_is_long_enough(const struct plan_site *site,
                                   const struct run_lengths *lengths) {
  if (lengths->stagger >= lengths->step - SAME_LENGTH)
    return true;
  const struct origin *origin = &site->overlay->origin;
  struct diag *diag = diag_error(site->diags, DIAG_STAGGER_SHORT, origin_of_key(origin, "stagger"),
                                 "the stagger of %.6g mm is shorter than the step of %.6g mm",
                                 lengths->stagger, lengths->step);
  if (site->overlay->has_step_length)
    diag_note(diag, origin_of_key(origin, "step_length"), "the step's length stands here");
  diag_help(diag,
            "leave `stagger` out and each step follows the one before it, or ask for at least "
            "%.6g mm",
            lengths->step);
  return false;
}

bool run_lengths_find(const struct plan_site *site, const struct plan_layer *layer,
                      struct run_lengths *lengths) {
  const struct overlay *overlay = site->overlay;
  const struct procedure *procedure = layer->procedure;
  bool stepped = overlay->pattern == PATTERN_STEPPED;
  lengths->start = start_find(site);
  lengths->tie_in =
      site_length_along(site, (struct along){procedure->tie_in_is_angle, procedure->tie_in});
  lengths->step = step_find(site, layer);
  lengths->stagger = stepped ? lengths->step : 0.0;
  if (overlay->has_stagger)
    lengths->stagger = site_length_along(site, overlay->stagger);
  return !stepped || stagger_is_long_enough(site, lengths);
}

/* -- legs ---------------------------------------------------------------------------- */

/* The last lap lies exactly where the band asks for it. */
double plan_lap_depth(const struct plan_layer *layer, int64_t lap) {
  if (lap == 0)
    return layer->first_depth;
  if (lap == layer->laps - 1)
    return layer->last_depth;
  double steps = (double)lap - (layer->is_over_valleys ? 0.5 : 0.0);
  return layer->first_depth + (layer->layer->deeper ? 1.0 : -1.0) * layer->pitch * steps;
}

static struct plan_leg level_leg(double length, double depth, int64_t lap) {
  return (struct plan_leg){
      .s_length = length, .depth_from = depth, .depth_to = depth, .lap = lap, .is_step = false};
}

static double start_moved_on(const struct plan_site *site, const struct run_lengths *lengths,
                             const struct plan_layer *layer, int64_t times) {
  double turns;
  return contour_wrap(site->contour, lengths->start + layer->dir * lengths->stagger * (double)times,
                      &turns);
}

static void paths_new(const struct plan_site *site, struct plan_layer *layer, size_t paths,
                      size_t legs) {
  layer->paths = arena_alloc(site->arena, paths, sizeof *layer->paths);
  layer->path_count = paths;
  for (size_t k = 0; k < paths; k++)
    layer->paths[k].legs = arena_alloc(site->arena, legs, sizeof *layer->paths[k].legs);
}

static void add_leg(struct plan_path *path, struct plan_leg leg) {
  path->legs[path->leg_count++] = leg;
}

/* Goes on over its own start, at the depth and in the lap of the last leg. */
static void add_tie_in(struct plan_path *path, double length) {
  struct plan_leg last = path->legs[path->leg_count - 1];
  path->tie_in = length;
  if (length > 0.0)
    add_leg(path, level_leg(length, last.depth_to, last.lap));
}

/* -- patterns ------------------------------------------------------------------------ */

static void spiral_path(const struct plan_site *site, const struct run_lengths *lengths,
                        struct plan_layer *layer) {
  double turn = site->contour->perimeter;
  int64_t laps = layer->laps;
  layer->turns = laps == 1 ? 1 : laps + 1;
  paths_new(site, layer, 1, (size_t)laps + 2);
  struct plan_path *path = layer->paths;
  path->s_start = start_moved_on(site, lengths, layer, layer->number - 1);
  add_leg(path, level_leg(turn, layer->first_depth, 1));
  for (int64_t i = 1; i < laps; i++)
    add_leg(path, (struct plan_leg){.s_length = turn,
                                    .depth_from = plan_lap_depth(layer, i - 1),
                                    .depth_to = plan_lap_depth(layer, i),
                                    .lap = i + 1});
  if (laps > 1)
    add_leg(path, level_leg(turn, layer->last_depth, laps + 1));
  add_tie_in(path, lengths->tie_in);
}

/* The last lap has no step to move on: it is one whole turn, so that the tie-in begins at its
 * start. */
static void stepped_path(const struct plan_site *site, const struct run_lengths *lengths,
                         struct plan_layer *layer) {
  double turn = site->contour->perimeter, extra = fmax(lengths->stagger - lengths->step, 0.0);
  int64_t laps = layer->laps;
  layer->turns = laps;
  paths_new(site, layer, 1, 2 * (size_t)laps);
  struct plan_path *path = layer->paths;
  path->s_start = start_moved_on(site, lengths, layer, layer->number - 1);
  for (int64_t i = 0; i < laps - 1; i++) {
    add_leg(path, level_leg(turn + extra, plan_lap_depth(layer, i), i + 1));
    add_leg(path, (struct plan_leg){.s_length = lengths->step,
                                    .depth_from = plan_lap_depth(layer, i),
                                    .depth_to = plan_lap_depth(layer, i + 1),
                                    .lap = i + 1,
                                    .is_step = true});
  }
  add_leg(path, level_leg(turn, layer->last_depth, laps));
  add_tie_in(path, lengths->tie_in);
}

static void ring_paths(const struct plan_site *site, const struct run_lengths *lengths,
                       int64_t rings_below, struct plan_layer *layer) {
  layer->turns = layer->laps;
  paths_new(site, layer, (size_t)layer->laps, 2);
  for (int64_t i = 0; i < layer->laps; i++) {
    struct plan_path *path = &layer->paths[i];
    path->s_start = start_moved_on(site, lengths, layer, rings_below + i);
    add_leg(path, level_leg(site->contour->perimeter, plan_lap_depth(layer, i), i + 1));
    add_tie_in(path, lengths->tie_in);
  }
}

void layer_paths(const struct plan_site *site, const struct run_lengths *lengths,
                 int64_t rings_below, struct plan_layer *layer) {
  switch (site->overlay->pattern) {
  case PATTERN_SPIRAL:
    spiral_path(site, lengths, layer);
    break;
  case PATTERN_STEPPED:
    stepped_path(site, lengths, layer);
    break;
  case PATTERN_RINGS:
    ring_paths(site, lengths, rings_below, layer);
    break;
  }
}
