/* Sectors laid on the contour: parts of the lap, the edges between them, and a ramp centred on each
 * edge. */
#include "plan/plan_parts.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "borelay/num.h"

/* Edges that are equal on paper may differ by this after conversion of units, mm. */
static const double SAME_EDGE = 1e-6;
static const double SAME_ANGLE = 1e-9; /* rad */

/* -- parts ----------------------------------------------------------------------------------- */

static void part_add(const struct plan_site *site, struct sector_parts *parts,
                     struct sector_part part) {
  parts->items =
      arena_grow(site->arena, parts->items, parts->count, parts->count + 1, sizeof *parts->items);
  size_t i = parts->count++;
  for (; i > 0 && parts->items[i - 1].from > part.from; i--)
    parts->items[i] = parts->items[i - 1];
  parts->items[i] = part;
}

static size_t angles_add(const struct plan_site *site, struct sector_parts *parts,
                         const struct sector *sector) {
  struct range seen = {sector->angles.lo + site->part_turned,
                       sector->angles.hi + site->part_turned};
  struct contour_stretch *found;
  size_t count = contour_sector(site->arena, site->contour, seen, &found);
  for (size_t i = 0; i < count; i++)
    part_add(site, parts, (struct sector_part){sector, found[i].from, found[i].to});
  return count;
}

static size_t along_add(const struct plan_site *site, struct sector_parts *parts,
                        const struct sector *sector) {
  double turn = site->contour->perimeter, long_ = sector->along.hi - sector->along.lo, turns;
  double from = contour_wrap(site->contour, sector->along.lo, &turns);
  if (long_ <= SAME_EDGE)
    return 0;
  bool is_whole = long_ >= turn - SAME_EDGE;
  part_add(site, parts,
           is_whole ? (struct sector_part){sector, 0, turn}
                    : (struct sector_part){sector, from, from + long_});
  return 1;
}

static const char *place_key(const struct sector *sector) {
  return sector->has_angles ? "angles" : "along";
}

static span place_of(const struct sector *sector) {
  return origin_of_key(&sector->origin, place_key(sector));
}

/* Its range has no length; or, of angles, from a centre outside the bore nothing is seen there. */
static void refuse_nowhere(const struct plan_site *site, const struct sector *sector) {
  struct range range = sector->has_angles ? sector->angles : sector->along;
  double lo = sector->has_angles ? num_degrees(range.lo) : range.lo;
  double hi = sector->has_angles ? num_degrees(range.hi) : range.hi;
  bool is_empty = !sector->has_angles || range.hi - range.lo <= SAME_ANGLE;
  struct diag *diag =
      diag_error(site->diags, DIAG_SECTOR_NOWHERE, place_of(sector),
                 "sector `%s` holds no part of the lap: %s", sector->name,
                 is_empty ? arena_format(site->arena, "%.6g to %.6g %s has no length", lo, hi,
                                         sector->has_angles ? "deg" : "mm")
                          : arena_format(site->arena,
                                         "between %.6g and %.6g deg no wall is seen from the "
                                         "centre of `%s`",
                                         lo, hi, site->overlay->wall->name));
  if (is_empty)
    diag_help(diag, "once round the wall is %.3f mm%s; give the sector more of it than its ramp",
              site->contour->perimeter, sector->has_angles ? ", or 360 deg" : "");
  else
    diag_help(diag, "give the shape a `centre` inside the bore, or the sector `along` instead");
}

static bool parts_find(const struct plan_site *site, struct sector_parts *parts) {
  bool good = true;
  for (size_t i = 0; i < site->overlay->sector_count; i++) {
    const struct sector *sector = &site->overlay->sectors[i];
    size_t count =
        sector->has_angles ? angles_add(site, parts, sector) : along_add(site, parts, sector);
    if (count > 0)
      continue;
    refuse_nowhere(site, sector);
    good = false;
  }
  return good;
}

/* The part behind the i-th, round the contour; *by: mm from s = 0 that its places are moved on. */
static const struct sector_part *
part_behind(const struct plan_site *site, const struct sector_parts *parts, size_t i, double *by) {
  bool wraps = i + 1 == parts->count;
  *by = wraps ? site->contour->perimeter : 0;
  return &parts->items[wraps ? 0 : i + 1];
}

static bool parts_are_apart(const struct plan_site *site, const struct sector_parts *parts) {
  bool good = true;
  for (size_t i = 0; i < parts->count; i++) {
    double by;
    const struct sector_part *a = &parts->items[i], *b = part_behind(site, parts, i, &by);
    double shared = a->to - (b->from + by);
    if (a->sector == b->sector || shared <= SAME_EDGE)
      continue;
    bool in_order = a->sector < b->sector;
    const struct sector *first = in_order ? a->sector : b->sector;
    const struct sector *second = in_order ? b->sector : a->sector;
    struct diag *diag = diag_error(site->diags, DIAG_SECTORS_OVERLAP, place_of(second),
                                   "sector `%s` shares %.3f mm of the lap with sector `%s`",
                                   second->name, fmin(shared, b->to - b->from), first->name);
    diag_note(diag, place_of(first), "sector `%s` lies here", first->name);
    diag_help(diag, "let one end where the other begins");
    good = false;
  }
  return good;
}

bool sector_parts_find(const struct plan_site *site, struct sector_parts *parts) {
  *parts = (struct sector_parts){0};
  bool good = parts_find(site, parts) && parts_are_apart(site, parts);
  if (!good) /* what else is wrong is told as if there were none */
    parts->count = 0;
  return good;
}

/* -- edges ----------------------------------------------------------------------------------- */

/* An edge with its ramp, while the ramps are set apart. */
struct edge {
  double at, ramp; /* s; length */
  const struct sector *sector;
  struct lap_values before, after;
};
struct edges {
  struct edge *items;
  size_t count;
};

static struct lap_values values_of(const struct procedure *procedure, const struct sector *sector) {
  struct lap_values values = lap_values_of(procedure);
  if (sector && sector->has_current)
    values.current = sector->current;
  if (sector && sector->has_voltage)
    values.voltage = sector->voltage;
  if (sector && sector->has_travel_speed)
    values.travel_speed = sector->travel_speed;
  if (sector && sector->has_wire_feed_speed)
    values.wire_feed_speed = sector->wire_feed_speed;
  return values;
}

static bool is_same(const struct lap_values *a, const struct lap_values *b) {
  return a->current == b->current && a->voltage == b->voltage &&
         a->travel_speed == b->travel_speed && a->wire_feed_speed == b->wire_feed_speed;
}

static double ramp_of(const struct plan_site *site, const struct plan_layer *layer,
                      const struct sector *sector) {
  if (!sector->has_ramp)
    return 2 * bead_width_laid(layer->procedure);
  return site_length_along(site, sector->ramp);
}

/* owner: whose ramp it is. */
static void edge_add(struct edges *edges, const struct plan_layer *layer, double at,
                     const struct sector *before, const struct sector *after, double ramp,
                     const struct sector *owner) {
  struct edge edge = {.at = at, .ramp = ramp, .sector = owner};
  edge.before = values_of(layer->procedure, before);
  edge.after = values_of(layer->procedure, after);
  if (!is_same(&edge.before, &edge.after))
    edges->items[edges->count++] = edge;
}

/* Where one part meets the next the longer of both ramps is taken. */
static void edges_find(const struct plan_site *site, const struct sector_parts *parts,
                       const struct plan_layer *layer, struct edges *edges) {
  for (size_t i = 0; i < parts->count; i++) {
    double by;
    const struct sector_part *a = &parts->items[i], *b = part_behind(site, parts, i, &by);
    double ramp_a = ramp_of(site, layer, a->sector), ramp_b = ramp_of(site, layer, b->sector);
    if (b->from + by - a->to <= SAME_EDGE) {
      edge_add(edges, layer, a->to, a->sector, b->sector, fmax(ramp_a, ramp_b),
               ramp_b > ramp_a ? b->sector : a->sector);
    } else {
      edge_add(edges, layer, a->to, a->sector, NULL, ramp_a, a->sector);
      edge_add(edges, layer, b->from + by, NULL, b->sector, ramp_b, b->sector);
    }
  }
}

/* Further layers with the same edges say the same, which is told once. */
static bool ramps_fit(const struct plan_site *site, const struct edges *edges) {
  for (size_t i = 0; i < edges->count; i++) {
    const struct edge *a = &edges->items[i], *b = &edges->items[(i + 1) % edges->count];
    double apart = b->at - a->at + (i + 1 == edges->count ? site->contour->perimeter : 0);
    double needed = (a->ramp + b->ramp) / 2;
    if (needed <= apart + SAME_EDGE)
      continue;
    struct diag *diag = diag_error(
        site->diags, DIAG_RAMPS_MEET, origin_of_key(&a->sector->origin, "ramp"),
        "two edges of sectors lie %.3f mm apart on the lap; their ramps of %.3f and %.3f mm, "
        "half of each between them, need %.3f mm",
        apart, a->ramp, b->ramp, needed);
    if (b->sector != a->sector)
      diag_note(diag, origin_of_key(&b->sector->origin, "ramp"), "the other edge is of sector `%s`",
                b->sector->name);
    diag_help(diag, "ramps of at most %.3f mm would fit", floor(apart * 1e3 + 1e-6) / 1e3);
    return false;
  }
  return true;
}

static void changes_make(const struct plan_site *site, const struct edges *edges,
                         struct plan_layer *layer) {
  layer->changes = arena_alloc(site->arena, edges->count, sizeof *layer->changes);
  for (size_t i = 0; i < edges->count; i++) {
    const struct edge *edge = &edges->items[i];
    double turns, from = contour_wrap(site->contour, edge->at - edge->ramp / 2, &turns);
    struct lap_change change = {from, from + edge->ramp, edge->before, edge->after, edge->sector};
    size_t k = layer->change_count++;
    for (; k > 0 && layer->changes[k - 1].from > change.from; k--)
      layer->changes[k] = layer->changes[k - 1];
    layer->changes[k] = change;
  }
}

/* -- what comes of it ------------------------------------------------------------------------- */

static void meet(struct plan_layer *layer, const struct lap_values *values) {
  struct lap_values *lo = &layer->values_least, *hi = &layer->values_most;
  *lo = (struct lap_values){fmin(lo->current, values->current), fmin(lo->voltage, values->voltage),
                            fmin(lo->travel_speed, values->travel_speed),
                            fmin(lo->wire_feed_speed, values->wire_feed_speed)};
  *hi = (struct lap_values){fmax(hi->current, values->current), fmax(hi->voltage, values->voltage),
                            fmax(hi->travel_speed, values->travel_speed),
                            fmax(hi->wire_feed_speed, values->wire_feed_speed)};
}

static void widen(struct range *range, double lo, double hi) {
  range->lo = fmin(range->lo, lo);
  range->hi = fmax(range->hi, hi);
}

static double wire_energy_of(const struct procedure *p, double travel_speed) {
  return arc_energy_kj_mm(p->wire_voltage, p->wire_current, travel_speed);
}

/* All round as with `values`. */
static void figures_begin(struct plan_layer *layer, const struct lap_values *values) {
  const struct procedure *p = layer->procedure;
  double speed = values->travel_speed;
  layer->values = layer->values_least = layer->values_most = *values;
  layer->bead_area = bead_area_at(p, values);
  layer->arc_energy = arc_energy_kj_mm(values->voltage, values->current, speed);
  layer->heat_input = heat_input_kj_mm(p->process, values->voltage, values->current, speed);
  layer->wire_energy = wire_energy_of(p, speed);
  layer->bead_areas = (struct range){layer->bead_area, layer->bead_area};
  layer->arc_energies = (struct range){layer->arc_energy, layer->arc_energy};
  layer->heat_inputs = (struct range){layer->heat_input, layer->heat_input};
  layer->wire_energies = (struct range){layer->wire_energy, layer->wire_energy};
}

/* Bead and wire energy are monotone over a ramp: quotients of linear functions of time. */
static void change_meet(struct plan_layer *layer, const struct lap_change *change) {
  const struct procedure *p = layer->procedure;
  const struct lap_values *a = &change->before, *b = &change->after;
  double area_a = bead_area_at(p, a), area_b = bead_area_at(p, b);
  double wire_a = wire_energy_of(p, a->travel_speed), wire_b = wire_energy_of(p, b->travel_speed);
  struct range energy = change_arc_energy(a, b);
  double share = process_efficiency(p->process);
  meet(layer, a);
  meet(layer, b);
  widen(&layer->bead_areas, fmin(area_a, area_b), fmax(area_a, area_b));
  widen(&layer->wire_energies, fmin(wire_a, wire_b), fmax(wire_a, wire_b));
  widen(&layer->arc_energies, energy.lo, energy.hi);
  widen(&layer->heat_inputs, share * energy.lo, share * energy.hi);
}

/* Over a lap, measured on the shape: the ramps, and what lies level between them. */
static void means_find(const struct contour *contour, struct plan_layer *layer) {
  const struct procedure *p = layer->procedure;
  double area = 0, arc = 0, wire = 0;
  for (size_t i = 0; i < layer->change_count; i++) {
    const struct lap_change *change = &layer->changes[i];
    const struct lap_values *a = &change->before, *b = &change->after;
    bool is_last = i + 1 == layer->change_count;
    double next = is_last ? layer->changes[0].from + contour->perimeter : change[1].from;
    double ramp = change->to - change->from, level = fmax(next - change->to, 0);
    area += ramp * change_bead_area_mean(p, a, b) + level * bead_area_at(p, b);
    arc += ramp * change_arc_energy_mean(a, b) +
           level * arc_energy_kj_mm(b->voltage, b->current, b->travel_speed);
    wire += ramp * wire_energy_of(p, (a->travel_speed + b->travel_speed) / 2) +
            level * wire_energy_of(p, b->travel_speed);
  }
  layer->bead_area = area / contour->perimeter;
  layer->arc_energy = arc / contour->perimeter;
  layer->heat_input = process_efficiency(p->process) * layer->arc_energy;
  layer->wire_energy = wire / contour->perimeter;
}

bool layer_sectors(const struct plan_site *site, struct plan_layer *layer) {
  const struct sector_parts *parts = &site->sectors;
  const struct sector_part *first = parts->count > 0 ? &parts->items[0] : NULL;
  struct lap_values values = values_of(layer->procedure, first ? first->sector : NULL);
  figures_begin(layer, &values);
  if (!first || first->to - first->from >= site->contour->perimeter - SAME_EDGE)
    return true;
  struct edges edges = {arena_alloc(site->arena, 2 * parts->count, sizeof *edges.items), 0};
  edges_find(site, parts, layer, &edges);
  if (!ramps_fit(site, &edges))
    return false;
  changes_make(site, &edges, layer);
  for (size_t i = 0; i < layer->change_count; i++)
    change_meet(layer, &layer->changes[i]);
  if (layer->change_count > 0)
    means_find(site->contour, layer);
  return true;
}

/* -- at a place ------------------------------------------------------------------------------- */

struct lap_values plan_values_at(const struct plan_overlay *overlay, const struct plan_layer *layer,
                                 double s) {
  const struct contour *contour = overlay->contour;
  if (layer->change_count == 0)
    return layer->values;
  double turns, at = contour_wrap(contour, s, &turns);
  size_t i = layer->change_count;
  while (i > 0 && layer->changes[i - 1].from > at)
    i--;
  bool wraps = i == 0; /* the last change of the turn before */
  const struct lap_change *change = &layer->changes[wraps ? layer->change_count - 1 : i - 1];
  if (wraps)
    at += contour->perimeter;
  if (at >= change->to)
    return change->after;
  double done = contour_offset_length(contour, layer->offset, change->from, at);
  double whole = contour_offset_length(contour, layer->offset, change->from, change->to);
  double u = change_share(change->before.travel_speed, change->after.travel_speed, done / whole);
  return change_at(&change->before, &change->after, u);
}
