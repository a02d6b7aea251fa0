/* Zones whose part of the wall is another one, margin worked in. */
#include <math.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "compare/comparison.h"

static const char *join_text(struct arena *arena, const char *text, const char *more) {
  return *text ? arena_format(arena, "%s, %s", text, more) : more;
}

/* What it takes from the wall, or leaves: an off zone is widened by its margin, an on zone
 * narrowed. */
static const char *zone_text(struct arena *arena, const struct zone *zone) {
  double by = zone->is_on ? -zone->margin : zone->margin;
  const double degrees = 180.0 / NUM_PI;
  const char *text = "";
  if (zone->has_depths)
    text = join_text(
        arena, text,
        arena_format(arena, "depths %.6g .. %.6g mm", zone->depths.lo - by, zone->depths.hi + by));
  if (zone->has_along)
    text = join_text(
        arena, text,
        arena_format(arena, "along %.6g .. %.6g mm", zone->along.lo - by, zone->along.hi + by));
  if (zone->has_angles)
    text = join_text(arena, text,
                     arena_format(arena, "angles %.6g .. %.6g deg", zone->angles.lo * degrees,
                                  zone->angles.hi * degrees));
  if (zone->has_angles && by < 0)
    text = arena_format(arena, "%s less %.6g mm on each side", text, -by);
  else if (zone->has_angles && by > 0)
    text = arena_format(arena, "%s and %.6g mm on each side", text, by);
  if (zone->has_cross_bore)
    text = join_text(arena, text,
                     arena_format(arena, "round %.6g mm about depth %.6g mm toward %.6g deg",
                                  zone->bore_diameter + 2 * by, zone->bore_depth,
                                  zone->bore_toward * degrees));
  return arena_format(arena, "arc %s: %s", zone->is_on ? "on" : "off", text);
}

static const struct zone *zone_find(const struct plan_overlay *overlay, const char *name) {
  for (size_t i = 0; overlay && i < overlay->overlay->zone_count; i++)
    if (strcmp(overlay->overlay->zones[i].name, name) == 0)
      return &overlay->overlay->zones[i];
  return NULL;
}

static void compare_zone(struct arena *arena, struct comparison *comparison, const char *overlay,
                         const struct zone *before, const struct zone *after) {
  struct zone_change change = {overlay, after ? after->name : before->name,
                               before ? zone_text(arena, before) : NULL,
                               after ? zone_text(arena, after) : NULL};
  if (change.before && change.after && strcmp(change.before, change.after) == 0)
    return;
  size_t n = comparison->zone_count;
  if ((n & (n - 1)) == 0)
    comparison->zones = arena_grow(arena, comparison->zones, n, n ? 2 * n : 1, sizeof change);
  comparison->zones[comparison->zone_count++] = change;
}

void zones_compare(struct arena *arena, struct comparison *comparison) {
  const struct plan *before = comparison->sides[0].outcome.plan;
  const struct plan *after = comparison->sides[1].outcome.plan;
  struct overlay_pairs pairs = overlay_pairs_make(arena, before, after, &comparison->names);
  for (size_t i = 0; i < pairs.count; i++) {
    const struct plan_overlay *a = pairs.items[i].before, *b = pairs.items[i].after;
    const char *name = (b ? b : a)->overlay->name;
    for (size_t k = 0; b && k < b->overlay->zone_count; k++)
      compare_zone(arena, comparison, name, zone_find(a, b->overlay->zones[k].name),
                   &b->overlay->zones[k]);
    for (size_t k = 0; a && k < a->overlay->zone_count; k++)
      if (!zone_find(b, a->overlay->zones[k].name))
        compare_zone(arena, comparison, name, &a->overlay->zones[k], NULL);
  }
}
