/* The comparison for people: where on the part something differs. */
#include <inttypes.h>

#include "borelay/wrap.h"
#include "compare/print_parts.h"

enum { PARTS_SHOWN = 6 };

static void print_parts(struct arena *arena, const struct cover_change *change,
                        const struct cover_parts *parts, const char *what, FILE *to) {
  if (parts->count == 0)
    return;
  fprintf(to, "  overlay %s, layer %" PRId64 ": %s %.1f mm2\n", change->overlay, change->layer,
          what, parts->area);
  for (size_t i = 0; i < parts->count && i < PARTS_SHOWN; i++) {
    const struct cover_part *part = &parts->items[i];
    fprintf(to, "    %9.1f mm2  depths %.2f .. %.2f mm, %s\n", part->area, part->depth.lo,
            part->depth.hi, cover_part_round(arena, change, part));
  }
  if (parts->count > PARTS_SHOWN)
    fprintf(to, "    and %zu smaller\n", parts->count - PARTS_SHOWN);
}

void print_covers(struct arena *arena, const struct comparison *comparison, FILE *to) {
  bool is_other_wall = false;
  if (comparison->cover_count > 0)
    fputs("\nWall covered\n", to);
  for (size_t i = 0; i < comparison->cover_count; i++) {
    const struct cover_change *change = &comparison->covers[i];
    print_parts(arena, change, &change->newly, "newly covered", to);
    print_parts(arena, change, &change->no_longer, "no longer covered", to);
    is_other_wall = is_other_wall || change->is_other_wall;
  }
  if (is_other_wall)
    fputs(
        "  (where a wall has another length round, places at the same share of it are compared)\n",
        to);
}

void print_zones(const struct comparison *comparison, FILE *to) {
  if (comparison->zone_count > 0)
    fputs("\nZones that moved, with their margin\n", to);
  for (size_t i = 0; i < comparison->zone_count; i++) {
    const struct zone_change *change = &comparison->zones[i];
    fprintf(to, "  overlay %s, zone %s\n", change->overlay, change->zone);
    fprintf(to, "    before  %s\n", change->before ? change->before : "not there");
    fprintf(to, "    after   %s\n", change->after ? change->after : "not there");
  }
}

static void print_tip(const char *what, const struct tip_apart *tip, FILE *to) {
  if (!tip->apart.is_there)
    return;
  if (tip->apart.distance < APART_SURE) {
    fprintf(to, "  arc %-3s  the same to %.2f mm\n", what, APART_SURE);
    return;
  }
  int length = fprintf(to, "  arc %-3s  %.2f mm  ", what, tip->apart.distance);
  fprintf(to, "%s", tip->apart.side == 0 ? "before, " : "after, ");
  length += tip->apart.side == 0 ? 8 : 7;
  wrap_go_on(tip->where, length, 11, PRINT_WIDTH, to);
}

void print_tips(const struct comparison *comparison, FILE *to) {
  if (!comparison->tip_on.apart.is_there && !comparison->tip_off.apart.is_there)
    return;
  fputs("\nLargest distance between the two ways of the tip, on the part\n", to);
  print_tip("on", &comparison->tip_on, to);
  print_tip("off", &comparison->tip_off, to);
}
