/* deposit.c - what the job's figures alone decide once the rows are known to follow them: qualified
 * ranges, thickness, iron. */
#include <math.h>
#include <string.h>

#include "verify/judge.h"

static double eta(enum process process) {
  switch (process) { /* ISO/TR 17671-1, EN 1011-1: docs/semantics.md, Heat */
  case PROCESS_GTAW:
  case PROCESS_PAW:
    return 0.6;
  case PROCESS_GMAW:
  case PROCESS_FCAW:
    return 0.8;
  case PROCESS_SAW:
    return 1;
  }
  return 1;
}

static const char *const LIMIT_NAMES[LIMIT_COUNT] = {
    "current",      "voltage",    "travel_speed", "wire_feed_speed",
    "wire_current", "arc_length", "arc_energy",   "heat_input"};

/* Least and most along a lap, in the order of enum limit_kind. */
static struct range asked_of(const struct lay *lay, int kind) {
  const struct procedure *p = lay->procedure;
  const double *lo = lay->asked.least.of, *hi = lay->asked.most.of;
  struct range energy = lay->asked.arc_energy;
  double share = eta(p->process);
  const struct range values[LIMIT_COUNT] = {{lo[ASKED_CURRENT], hi[ASKED_CURRENT]},
                                            {lo[ASKED_VOLTAGE], hi[ASKED_VOLTAGE]},
                                            {lo[ASKED_SPEED], hi[ASKED_SPEED]},
                                            {lo[ASKED_WIRE], hi[ASKED_WIRE]},
                                            {p->wire_current, p->wire_current},
                                            {p->arc_length, p->arc_length},
                                            energy,
                                            {share * energy.lo, share * energy.hi}};
  return values[kind];
}

static bool is_below(struct range values, struct range limit) {
  return values.lo < limit.lo - 1e-6 * fabs(limit.lo);
}

static bool is_above(struct range values, struct range limit) {
  return values.hi > limit.hi + 1e-6 * fabs(limit.hi);
}

bool lay_is_qualified(const struct lay *lay) {
  for (int i = 0; i < LIMIT_COUNT; i++) {
    struct range values = asked_of(lay, i), limit = lay->procedure->limit[i];
    if (lay->procedure->has_limit[i] && (is_below(values, limit) || is_above(values, limit)))
      return false;
  }
  return true;
}

static void judge_limits(struct judge *judge, const struct lay *lay) {
  const struct procedure *p = lay->procedure;
  for (int i = 0; i < LIMIT_COUNT; i++) {
    if (!p->has_limit[i])
      continue;
    struct range limit = p->limit[i], values = asked_of(lay, i);
    finding_judged(judge->findings, CHECK_QUALIFIED);
    bool is_low = is_below(values, limit);
    if (is_low || is_above(values, limit))
      finding_fault(judge->findings, CHECK_QUALIFIED, FINDING_NO_ROW,
                    "procedure %s: %s is %.6g, its range is %.6g to %.6g", p->name, LIMIT_NAMES[i],
                    is_low ? values.lo : values.hi, limit.lo, limit.hi);
  }
}

/* -- thickness -------------------------------------------------------------------------------- */

static bool has_own_depths(const struct layer *layer, const struct overlay *overlay) {
  span a = layer->origin.head, b = overlay->origin.head;
  if (a.file == b.file && a.begin == b.begin)
    return false;
  for (size_t i = 0; i < layer->origin.place_count; i++)
    if (strcmp(layer->origin.places[i].key, "depths") == 0)
      return true;
  return false;
}

static struct range own_band(const struct overlay *overlay) {
  struct range all = overlay->layers[0].depths;
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct layer *layer = &overlay->layers[k];
    if (!has_own_depths(layer, overlay))
      return layer->depths;
    all.lo = fmin(all.lo, layer->depths.lo);
    all.hi = fmax(all.hi, layer->depths.hi);
  }
  return all;
}

static bool covers(struct range depths, double depth) {
  return depth > depths.lo && depth < depths.hi;
}

/* -- what remains: docs/buildup.md, sections 5 and 6 ------------------------------------------ */

/* Share of a parabola bead within u widths of its centre line, on one side. */
static double side_share(double u) {
  return u < 0.5 ? 1.5 * u - 2 * u * u * u : 0.5;
}

/* Level of a layer on the flat, with sectors where it is thinnest; a band too narrow for crowded
 * laps has it in its middle. */
static double level_of(const struct lay *lay) {
  double x = lay->pitch / lay->width, half = floor((double)lay->laps / 2);
  if (lay->laps < 2)
    return lay->nominal_least;
  double middle = side_share(half * x) + side_share(((double)lay->laps - half) * x);
  return fmin(lay->nominal_least, middle * lay->asked.area_least / lay->pitch);
}

static double bent(double flat, int bend, double radius) {
  double square = radius * radius - 2 * bend * radius * flat;
  return bend == 0 ? flat : square > 0 ? bend * (radius - sqrt(square)) : radius;
}

/* By the sum of the layers' own figures, or by all their metal on the wall, whichever is less. */
static double build_up(const struct lay *first, size_t layers, const struct edge *edge,
                       double depth) {
  double sum = 0, metal = 0;
  for (size_t k = 0; k < layers; k++) {
    const struct lay *lay = &first[k];
    if (!covers(lay->layer->depths, depth))
      continue;
    double x = lay->pitch / lay->width, level = level_of(lay), floor_flat = level;
    double radius = edge->radius - edge->bend * lay->offset;
    double over = bent(level, edge->bend, radius),
           height = 3 * lay->asked.area_least / (2 * lay->width);
    if (lay->laps > 1 && x > 0.738) {
      double valley =
          x < 1 ? fmin(lay->asked.area_least / lay->pitch, 2 * height * (1 - x * x)) : 0;
      floor_flat = fmin(level, valley);
      over = fmin(over, valley);
    }
    sum += over;
    metal += edge->bend == 0 ? floor_flat : floor_flat * radius / edge->radius;
  }
  return fmin(sum, bent(metal, edge->bend, edge->radius));
}

/* Shares of what is required, the larger the worse: 1 is just enough. */
static void raise_share(struct lay_remaining *worst, double value, double limit, bool is_clean_up) {
  double share = limit <= 0 ? 0 : value > 0 ? limit / value : (double)INFINITY;
  if (share > worst->share)
    *worst = (struct lay_remaining){share, value, limit, is_clean_up};
}

/* How far a touched round lies outside its nominal size. */
static double outside_of(const struct shape *shape, const struct edge *edge) {
  bool is_taught = shape->kind == SHAPE_ROUND && shape->touch_count > 0 && shape->has_dimensions;
  return is_taught ? edge->radius - shape->diameter / 2 : 0;
}

static void remaining_at(const struct lay *first, size_t layers, double depth,
                         struct lay_remaining *worst) {
  const struct overlay *overlay = first->overlay;
  for (size_t e = 0; e < first->wall->count; e++) {
    const struct edge *edge = &first->wall->edges[e];
    double up = build_up(first, layers, edge, depth), finish = (double)INFINITY;
    if (overlay->has_required_finish) {
      finish = overlay->required_finish + outside_of(overlay->wall, edge);
      raise_share(worst, up, finish, true);
    }
    if (overlay->has_required_thickness)
      raise_share(worst, fmin(up, finish), overlay->required_thickness, false);
  }
}

/* Between two layers' edges nothing changes with depth: just inside every edge is enough. */
struct lay_remaining lay_remaining_get(const struct lay *first, size_t layers) {
  struct lay_remaining worst = {.share = -1};
  struct range band = own_band(first->overlay);
  remaining_at(first, layers, (band.lo + band.hi) / 2, &worst);
  for (size_t k = 0; k < layers; k++)
    for (int end = 0; end < 2; end++) {
      double edge = end ? first[k].layer->depths.hi : first[k].layer->depths.lo;
      for (int side = -1; side <= 1; side += 2)
        if (covers(band, edge + side * 1e-5))
          remaining_at(first, layers, edge + side * 1e-5, &worst);
    }
  return worst;
}

/* Over any depth ridges may lie upon ridges. */
double lay_most_ridge(const struct lay *first, size_t layers) {
  struct range band = own_band(first->overlay);
  double most = 0;
  for (size_t i = 0; i < layers; i++)
    for (int end = 0; end < 2; end++) {
      struct range at = first[i].layer->depths;
      double depth = end ? at.hi - 1e-5 : at.lo + 1e-5, sum = 0;
      for (size_t k = 0; k < layers; k++)
        if (covers(first[k].layer->depths, depth))
          sum += lay_ridge(&first[k]);
      if (covers(band, depth))
        most = fmax(most, sum);
    }
  return most;
}

static void judge_overlay(struct judge *judge, const struct lay *first) {
  const struct overlay *overlay = first->overlay;
  size_t layers = overlay->layer_count;
  if (overlay->has_required_thickness || overlay->has_required_finish) {
    struct lay_remaining worst = lay_remaining_get(first, layers);
    if (!finding_least(judge->findings, CHECK_THICKNESS, FINDING_NO_ROW, worst.value, worst.limit,
                       0))
      finding_fault(judge->findings, CHECK_THICKNESS, FINDING_NO_ROW,
                    worst.is_clean_up
                        ? "overlay %s: %.4f mm at the valley floors do not reach the finished "
                          "wall, %.4f mm inside"
                        : "overlay %s: %.4f mm at the valley floors, %.4f mm are required",
                    overlay->name, worst.value, worst.limit);
  }
  if (overlay->has_required_flatness) {
    double ridge = lay_most_ridge(first, layers);
    if (!finding_most(judge->findings, CHECK_FLATNESS, FINDING_NO_ROW, ridge,
                      overlay->required_flatness, 0))
      finding_fault(judge->findings, CHECK_FLATNESS, FINDING_NO_ROW,
                    "overlay %s: ridges of %.4f mm over the valley floors, %.4f mm at most are "
                    "required",
                    overlay->name, ridge, overlay->required_flatness);
  }
  if (overlay->has_required_iron) {
    double iron = 100 * first[layers - 1].iron, most = 100 * overlay->required_iron;
    if (!finding_most(judge->findings, CHECK_IRON, FINDING_NO_ROW, iron, most, 0))
      finding_fault(judge->findings, CHECK_IRON, FINDING_NO_ROW,
                    "overlay %s: %.4f %% iron in the last layer, %.4f %% at most are required",
                    overlay->name, iron, most);
  }
}

void job_judge(struct judge *judge) {
  for (size_t i = 0; i < judge->stack->count; i++) {
    const struct lay *lay = &judge->stack->items[i];
    judge_limits(judge, lay);
    if (lay->layer_number == 1)
      judge_overlay(judge, lay);
  }
}
