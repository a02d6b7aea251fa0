/* Zones of an overlay: each with at least one region. */
#include <string.h>

#include "borelay/num.h"
#include "resolve/build.h"

/* A whole turn given in degrees may come out a few bits above one in radians. */
static const double TURN_SLACK = 1e-12;

static void zone_bore_read(struct reading *reading, struct zone *zone) {
  const struct flat *flat = inner_get(reading->flat, "cross_bore", NULL);
  if (!flat)
    return;
  zone->has_cross_bore = true;
  struct reading bore = block_read(reading->r, flat, zone, false);
  if (!bore.is_whole)
    reading_fail(reading);
}

static void zone_region_missing(struct reading *reading) {
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_KEY_MISSING, reading->flat->statement->block->head,
                 "zone `%s` does not say where it lies", reading->flat->name);
  diag_help(diag, "give `angles`, `along`, `depths` or a `cross_bore`");
  reading_fail(reading);
}

static void zone_angles_check(struct reading *reading, const struct zone *zone) {
  double wide = zone->angles.hi - zone->angles.lo;
  if (wide <= NUM_TURN * (1 + TURN_SLACK))
    return;
  diag_error(reading->r->diags, DIAG_VALUE_RANGE, reading_at(reading, "angles"),
             "angles span %.9g deg here; a zone spans one turn at most", num_degrees(wide));
  reading_fail(reading);
}

static bool any_region_read(const struct reading *reading) {
  static const char *const keys[] = {"angles", "along", "depths"};
  for (size_t i = 0; i < sizeof keys / sizeof *keys; i++)
    if (reading_state(reading, keys[i]) != KEY_ABSENT)
      return true;
  return inner_get(reading->flat, "cross_bore", NULL) || reading->flat->is_broken ||
         flat_is_misspelt(reading->flat, "cross_bore");
}

static struct zone zone_read(struct reading *overlay, const struct flat *flat) {
  struct zone zone = {.name = flat->name};
  struct reading reading = block_read(overlay->r, flat, &zone, false);
  zone_bore_read(&reading, &zone);
  if (!any_region_read(&reading))
    zone_region_missing(&reading);
  if (zone.has_angles)
    zone_angles_check(&reading, &zone);
  zone.origin = origin_make(overlay->r, &reading, NULL);
  if (!reading.is_whole)
    reading_fail(overlay);
  return zone;
}

void zones_read(struct reading *overlay, struct overlay *out) {
  for (size_t i = 0; i < overlay->flat->item_count; i++) {
    const struct flat *flat = overlay->flat->items[i].block;
    if (!flat || strcmp(flat->kind->word, "zone") != 0)
      continue;
    struct zone zone = zone_read(overlay, flat);
    out->zones = list_append(overlay->r->arena, out->zones, &out->zone_count, &zone, sizeof zone);
  }
}
