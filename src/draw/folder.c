/* folder.c - every drawing as a file of its own. */
#include <string.h>

#include "borelay/arena.h"
#include "borelay/draw.h"

struct sheets {
  struct arena *arena;
  const char *folder;
  struct output *items;
  size_t count;
};

static void sheet_add(struct sheets *sheets, const char *name, const char *text) {
  if (!text)
    return;
  sheets->items[sheets->count++] =
      (struct output){.path = arena_format(sheets->arena, "%s/%s.svg", sheets->folder, name),
                      .bytes = text,
                      .length = strlen(text)};
}

static void overlay_add(struct sheets *sheets, const struct outcome *outcome, size_t i) {
  static const struct draw_look look = {.prefix = ""};
  struct arena *arena = sheets->arena;
  const char *name = outcome->plan->overlays[i].overlay->name;
  sheet_add(sheets, arena_format(arena, "plan-%zu-%s", i + 1, name),
            draw_plan(arena, outcome, i, draw_overlay_time(outcome, i), &look));
  sheet_add(sheets, arena_format(arena, "wall-%zu-%s", i + 1, name),
            draw_wall(arena, outcome, i, &look));
  sheet_add(sheets, arena_format(arena, "thickness-%zu-%s", i + 1, name),
            draw_thickness(arena, outcome, i, &look));
  sheet_add(sheets, arena_format(arena, "bore-%zu-%s", i + 1, name),
            draw_bore(arena, outcome, i, &look));
}

static void sheets_make(struct sheets *sheets, const struct outcome *outcome) {
  static const struct draw_look look = {.prefix = ""};
  static const char *const closest[] = {"clearance", "torch-clearance"};
  struct arena *arena = sheets->arena;
  sheet_add(sheets, "checks", draw_checks(arena, outcome, &look));
  sheet_add(sheets, "axes", draw_axes(arena, outcome, &look));
  for (size_t i = 0; i < 2; i++) {
    double t = draw_check_time(outcome, closest[i]);
    if (t >= 0)
      sheet_add(sheets, arena_format(arena, "section-%s", closest[i]),
                draw_section(arena, outcome, t, &look));
  }
  for (size_t i = 0; outcome->plan && i < outcome->plan->overlay_count; i++)
    overlay_add(sheets, outcome, i);
}

const struct output *draw_sheets(struct arena *arena, const struct outcome *outcome,
                                 const char *folder, size_t *count) {
  size_t most = 4 + 4 * (outcome->plan ? outcome->plan->overlay_count : 0);
  struct sheets sheets = {arena, folder, arena_alloc(arena, most, sizeof *sheets.items), 0};
  sheets_make(&sheets, outcome);
  *count = sheets.count;
  return sheets.items;
}
