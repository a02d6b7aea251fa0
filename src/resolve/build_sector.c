/* Sectors of an overlay: each with a place on the lap. */
#include <string.h>

#include "borelay/num.h"
#include "resolve/build.h"

/* A whole turn given in degrees may come out a few bits above one in radians. */
static const double TURN_SLACK = 1e-12;

static void place_check(struct reading *reading, const struct sector *sector) {
  bool any = reading_state(reading, "angles") != KEY_ABSENT ||
             reading_state(reading, "along") != KEY_ABSENT;
  if (!any)
    key_missing(reading, "angles", "along");
  double wide = sector->angles.hi - sector->angles.lo;
  if (!sector->has_angles || wide <= NUM_TURN * (1 + TURN_SLACK))
    return;
  diag_error(reading->r->diags, DIAG_VALUE_RANGE, reading_at(reading, "angles"),
             "angles span %.9g deg here; a sector spans one turn at most", num_degrees(wide));
  reading_fail(reading);
}

static struct sector sector_read(struct reading *overlay, const struct flat *flat) {
  struct sector sector = {.name = flat->name};
  struct reading reading = block_read(overlay->r, flat, &sector, false);
  place_check(&reading, &sector);
  sector.origin = origin_make(overlay->r, &reading, NULL);
  if (!reading.is_whole)
    reading_fail(overlay);
  return sector;
}

void sectors_read(struct reading *overlay, struct overlay *out) {
  for (size_t i = 0; i < overlay->flat->item_count; i++) {
    const struct flat *flat = overlay->flat->items[i].block;
    if (!flat || strcmp(flat->kind->word, "sector") != 0)
      continue;
    struct sector sector = sector_read(overlay, flat);
    out->sectors =
        list_append(overlay->r->arena, out->sectors, &out->sector_count, &sector, sizeof sector);
  }
}
