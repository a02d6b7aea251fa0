/* lay.c - laps, pitch, offsets and the depth along a path, worked out anew. */
#include "verify/lay.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "verify/choose.h"
#include "verify/fit.h"

/* -- where the part lies ---------------------------------------------------------------------- */

static bool datum_fitted(const struct datum_fit *datum, double reach, struct fitted *fitted) {
  struct arena *scratch = arena_new();
  vec2 *tips = arena_alloc(scratch, datum->touch_count, sizeof *tips);
  for (size_t i = 0; i < datum->touch_count; i++)
    tips[i] = touched_point(&datum->touches[i], reach);
  bool is_found = datum->shape->kind == SHAPE_ROUND
                      ? fit_circle(tips, datum->touch_count, fitted)
                      : datum->touch_count == 5 && fit_track(tips, fitted);
  arena_free(scratch);
  return is_found;
}

static bool lie_find(const struct job *job, double reach, struct lie *lie) {
  if (!job->has_datum_fit) {
    *lie = lie_make(job->at, job->turned);
    return true;
  }
  const struct datum_fit *datum = &job->datum;
  struct fitted fitted;
  bool is_round = datum->shape->kind == SHAPE_ROUND;
  if (!datum_fitted(datum, reach, &fitted))
    return false;
  double turned = is_round ? datum->turned : fitted.turned - datum->shape->turned;
  struct lie about = lie_make((vec3){0, 0, 0}, turned);
  vec2 c = datum->shape->centre;
  vec2 arm = {about.cos * c.x - about.sin * c.y, about.sin * c.x + about.cos * c.y};
  *lie = lie_make((vec3){fitted.centre.x - arm.x, fitted.centre.y - arm.y, datum->z}, turned);
  return true;
}

/* -- layers ----------------------------------------------------------------------------------- */

static double contour_length(const struct wall *wall, struct along along) {
  return along.is_angle ? wall->diameter / 2 * along.value : along.value;
}

static double start_place(const struct overlay *overlay, const struct wall *wall) {
  switch (overlay->start) {
  case START_ANGLE:
    return wall_ray_start(wall, overlay->start_value);
  case START_ALONG:
    return overlay->start_value;
  case START_STRAIGHT:
    return overlay->start_value > 1.5 ? wall->perimeter / 2 : 0;
  case START_DEFAULT:
    break;
  }
  return 0;
}

/* The laps of even layers, where beads are asked for over the valleys: one more than below. */
static void set_count(struct lay *lay, const struct lay *below) {
  const struct procedure *p = lay->procedure;
  double band = lay->layer->depths.hi - lay->layer->depths.lo;
  double width = lay->width = p->bead_width + p->oscillation.width;
  double wanted = lay->layer->has_pitch ? lay->layer->pitch : width * (1 - lay->layer->overlap);
  double more = ceil((band - width) / wanted - 1e-9);
  lay->laps = more > 0 ? 1 + (int64_t)more : 1;
  lay->pitch = lay->laps > 1 ? (band - width) / (double)(lay->laps - 1) : 0;
  if (!lay->overlay->over_valleys || lay->layer_number % 2 != 0 || below->laps == 1)
    return;
  lay->is_over = true;
  lay->laps = below->laps + 1;
  lay->pitch = (band - width) / (double)(below->laps - 1);
}

static double nominal_of(const struct lay *lay, double area) {
  double spread = area * (double)lay->laps / lay->width;
  return lay->laps > 1 ? fmin(area / lay->pitch, spread) : spread;
}

static void set_laps(struct lay *lay) {
  double width = lay->width, middle = (lay->layer->depths.lo + lay->layer->depths.hi) / 2;
  lay->sink = lay->layer->deeper ? lay->pitch : -lay->pitch;
  lay->first = lay->laps == 1       ? middle
               : lay->layer->deeper ? lay->layer->depths.lo + width / 2
                                    : lay->layer->depths.hi - width / 2;
  lay->nominal = nominal_of(lay, lay->asked.area);
  lay->nominal_least = nominal_of(lay, lay->asked.area_least);
  lay->nominal_most = nominal_of(lay, lay->asked.area_most);
}

static void set_starts(struct lay *lay) {
  const struct overlay *overlay = lay->overlay;
  const struct procedure *p = lay->procedure;
  double stagger = overlay->has_stagger ? contour_length(lay->wall, overlay->stagger) : 0;
  lay->step =
      overlay->has_step_length ? contour_length(lay->wall, overlay->step_length) : 2 * lay->width;
  lay->tie = p->tie_in_is_angle ? lay->wall->diameter / 2 * p->tie_in : p->tie_in;
  if (overlay->pattern == PATTERN_STEPPED && !overlay->has_stagger)
    stagger = lay->step;
  lay->extra = stagger - lay->step;
  lay->unit = lay->wall->perimeter + stagger;
  lay->stagger = stagger;
  double moved = overlay->pattern == PATTERN_RINGS ? (double)lay->rings_before
                                                   : (double)(lay->layer_number - 1);
  lay->s_start = start_place(overlay, lay->wall) + lay->dir * stagger * moved;
}

static void set_iron(struct lay *lay, const struct lay *below) {
  const struct procedure *p = lay->procedure;
  double base = NAN;
  if (below)
    base = below->iron;
  else if (p->has_iron_base)
    base = p->iron_base;
  lay->iron = NAN;
  if (p->has_dilution && p->has_iron_wire)
    lay->iron = p->dilution * base + (1 - p->dilution) * p->iron_wire;
}

void lay_overlay(struct arena *arena, struct lay *lays, const struct overlay *overlay,
                 uint32_t number, const struct wall *wall) {
  for (size_t k = 0; k < overlay->layer_count; k++) {
    struct lay *lay = &lays[k];
    const struct lay *below = k > 0 ? lay - 1 : NULL;
    lay->overlay = overlay;
    lay->layer = &overlay->layers[k];
    lay->procedure = lay->layer->procedure;
    lay->wall = wall;
    lay->overlay_number = number;
    lay->layer_number = (uint32_t)k + 1;
    lay->dir = lay->layer->clockwise ? -1 : 1;
    lay->asked = asked_lap_make(arena, overlay, wall, lay->procedure);
    set_count(lay, below);
    set_laps(lay);
    lay->offset = below ? below->offset + below->nominal : 0;
    lay->rings_before = below ? below->rings_before + below->laps : 0;
    set_starts(lay);
    set_iron(lay, below);
  }
}

struct lay_stack lay_stack_make(struct arena *arena, const struct job *job) {
  struct lay_stack stack = {.is_whole = true};
  double reach = job->cell->reach;
  size_t layers = 0;
  for (size_t i = 0; i < job->overlay_count; i++)
    layers += job->sequence[i]->layer_count;
  stack.items = arena_alloc(arena, layers, sizeof *stack.items);
  stack.volumes = arena_alloc(arena, job->envelope->volume_count, sizeof *stack.volumes);
  if (!lie_find(job, reach, &stack.lie))
    stack.is_whole = false;
  for (size_t i = 0; i < job->overlay_count && stack.is_whole; i++) {
    const struct wall *wall = wall_make(arena, job->sequence[i]->wall, reach, &stack.lie);
    stack.is_whole = wall != NULL;
    const struct overlay *overlay =
        wall ? overlay_plain(arena, job->sequence[i], wall, job->cell) : NULL;
    if (!overlay) {
      stack.is_unmet = wall != NULL;
      stack.is_whole = false;
      break;
    }
    lay_overlay(arena, &stack.items[stack.count], overlay, (uint32_t)i + 1, wall);
    stack.count += overlay->layer_count;
  }
  for (size_t i = 0; i < job->envelope->volume_count && stack.is_whole; i++) {
    stack.volumes[i] = wall_make(arena, job->envelope->volumes[i].shape, reach, &stack.lie);
    stack.is_whole = stack.volumes[i] != NULL;
  }
  return stack;
}

const struct lay *lay_find(const struct lay_stack *stack, uint32_t overlay, uint32_t layer) {
  for (size_t i = 0; i < stack->count; i++)
    if (stack->items[i].overlay_number == overlay && stack->items[i].layer_number == layer)
      return &stack->items[i];
  return NULL;
}

/* -- paths ------------------------------------------------------------------------------------ */

static enum pattern pattern_of(const struct lay *lay) {
  return lay->overlay->pattern;
}

size_t lay_path_count(const struct lay *lay) {
  return pattern_of(lay) == PATTERN_RINGS ? (size_t)lay->laps : 1;
}

double lay_path_start(const struct lay *lay, size_t path) {
  return lay->s_start + lay->dir * lay->stagger * (double)path;
}

double lay_path_length(const struct lay *lay, size_t path) {
  (void)path;
  double turn = lay->wall->perimeter, laps = (double)lay->laps;
  switch (pattern_of(lay)) {
  case PATTERN_SPIRAL:
    return lay->laps == 1 ? turn : (laps + 1) * turn;
  case PATTERN_STEPPED:
    return (laps - 1) * lay->unit + turn;
  case PATTERN_RINGS:
    break;
  }
  return turn;
}

double lay_s(const struct lay *lay, size_t path, double sigma) {
  return lay_path_start(lay, path) + lay->dir * sigma;
}

double lay_pool_way(const struct lay *lay, size_t path, double sigma) {
  double from = wall_pool_way(lay->wall, lay->offset, lay_path_start(lay, path));
  return lay->dir * (wall_pool_way(lay->wall, lay->offset, lay_s(lay, path, sigma)) - from);
}

static double clamp(double value, double lo, double hi) {
  return value < lo ? lo : value > hi ? hi : value;
}

/* How many steps below the first lap: over valleys the first and the last step are halves. */
static double steps_to(const struct lay *lay, double lap) {
  double whole = (double)lay->laps - 1;
  return lay->is_over ? clamp(lap - 0.5, 0, whole - 1) : clamp(lap, 0, whole);
}

double lay_lap_depth(const struct lay *lay, double lap) {
  return lay->first + lay->sink * steps_to(lay, lap);
}

double lay_sink(const struct lay *lay, double lap) {
  return lay->sink * (steps_to(lay, lap + 1) - steps_to(lay, lap));
}

/* Depth on a stretch of the path on which it changes evenly with the pool's way, from one lap's to
 * the next one's. */
static void sinking(const struct lay *lay, double lap, double from, double to, double sigma,
                    struct lay_depth *depth) {
  double a = lay_pool_way(lay, 0, from), b = lay_pool_way(lay, 0, to);
  double share = clamp((lay_pool_way(lay, 0, sigma) - a) / (b - a), 0, 1);
  double sink = lay_sink(lay, lap);
  depth->depth += sink * share;
  depth->slope = sink / (b - a);
}

static void spiral_depth(const struct lay *lay, double sigma, struct lay_depth *depth) {
  double turn = lay->wall->perimeter, end = (double)lay->laps * turn;
  double nth = clamp(floor(sigma / turn), 0, (double)lay->laps);
  if (lay->laps == 1)
    return;
  depth->depth = lay_lap_depth(lay, nth - 1);
  if (nth >= 1 && sigma < end)
    sinking(lay, nth - 1, nth * turn, (nth + 1) * turn, sigma, depth);
  depth->knee = fmin(fabs(sigma - turn), fabs(sigma - end));
  depth->knee_slope = fabs(lay->sink) / turn;
  if (!lay->is_over)
    return;
  depth->knee = fmin(depth->knee, fmin(fabs(sigma - 2 * turn), fabs(sigma - (end - turn))));
  depth->knee_slope /= 2;
}

static void stepped_depth(const struct lay *lay, double sigma, struct lay_depth *depth) {
  double nth = clamp(floor(sigma / lay->unit), 0, (double)lay->laps - 1);
  double from = nth * lay->unit + lay->unit - lay->step, to = (nth + 1) * lay->unit;
  depth->depth = lay_lap_depth(lay, nth);
  if (lay->laps == 1)
    return;
  bool has_step = nth < (double)lay->laps - 1;
  depth->is_step = has_step && sigma >= from;
  if (depth->is_step)
    sinking(lay, nth, from, to, sigma, depth);
  if (has_step)
    depth->knee = fmin(fabs(sigma - from), fabs(to - sigma));
  if (nth > 0)
    depth->knee = fmin(depth->knee, fabs(sigma - nth * lay->unit));
  depth->knee_slope = fabs(lay->sink) / lay->step;
}

struct lay_depth lay_depth(const struct lay *lay, size_t path, double sigma) {
  struct lay_depth depth = {.depth = lay->first, .knee = INFINITY};
  switch (pattern_of(lay)) {
  case PATTERN_SPIRAL:
    spiral_depth(lay, sigma, &depth);
    break;
  case PATTERN_STEPPED:
    stepped_depth(lay, sigma, &depth);
    break;
  case PATTERN_RINGS:
    depth.depth = lay_lap_depth(lay, (double)path);
    break;
  }
  return depth;
}

int64_t lay_lap(const struct lay *lay, size_t path, double sigma) {
  double nth;
  switch (pattern_of(lay)) {
  case PATTERN_SPIRAL:
    nth = floor(sigma / lay->wall->perimeter);
    return lay->laps == 1 ? 1 : 1 + (int64_t)clamp(nth, 0, (double)lay->laps);
  case PATTERN_STEPPED:
    return 1 + (int64_t)clamp(floor(sigma / lay->unit), 0, (double)lay->laps - 1);
  case PATTERN_RINGS:
    break;
  }
  return (int64_t)path + 1;
}

double lay_lap_start(const struct lay *lay, int64_t lap) {
  switch (pattern_of(lay)) {
  case PATTERN_SPIRAL:
    return (double)(lap - 1) * lay->wall->perimeter;
  case PATTERN_STEPPED:
    return (double)(lap - 1) * lay->unit;
  case PATTERN_RINGS:
    break;
  }
  return 0;
}

size_t lay_lap_path(const struct lay *lay, int64_t lap) {
  return pattern_of(lay) == PATTERN_RINGS ? (size_t)(lap - 1) : 0;
}

/* -- thickness -------------------------------------------------------------------------------- */

static double true_of(const struct lay *lay, const struct edge *edge, double nominal) {
  if (edge->bend == 0)
    return nominal;
  double r = edge->radius - edge->bend * lay->offset;
  double square = r * r - 2 * edge->bend * r * nominal;
  return square > 0 ? edge->bend * (r - sqrt(square)) : r;
}

double lay_true(const struct lay *lay, const struct edge *edge) {
  return true_of(lay, edge, lay->nominal_most);
}

double lay_ridge(const struct lay *lay) {
  double x = lay->pitch / lay->width;
  if (lay->laps == 1 || x <= 0.738)
    return 0;
  double area = lay->asked.area_most, height = 3 * area / (2 * lay->width);
  return x < 1 ? height - fmin(area / lay->pitch, 2 * height * (1 - x * x)) : height;
}
