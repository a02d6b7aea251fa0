/* Both jobs over each other, overlay by overlay: seen from outside the part, and the wall
 * unrolled. */
#include <inttypes.h>

#include "borelay/arena.h"
#include "borelay/draw.h"
#include "compare/page_parts.h"

struct both {
  FILE *to;
  struct arena *arena;
  const struct comparison *comparison;
  const struct overlay_pair *pair;
  const char *name;
};

static const struct outcome *outcome_of(const struct both *both, int side) {
  return &both->comparison->sides[side].outcome;
}
static const struct plan_overlay *overlay_of(const struct both *both, int side) {
  return side == 0 ? both->pair->before : both->pair->after;
}
static size_t index_of(const struct both *both, int side) {
  return side == 0 ? both->pair->index_before : both->pair->index_after;
}

static const char *const SIDES[] = {"before", "after"};

typedef struct draw_box extents(const struct outcome *outcome, size_t overlay);

static struct draw_box both_extents(const struct both *both, extents *of) {
  struct draw_box box = {0, 0, 0, 0};
  bool is_first = true;
  for (int side = 0; side < 2; side++) {
    if (!overlay_of(both, side))
      continue;
    struct draw_box one = of(outcome_of(both, side), index_of(both, side));
    box = is_first ? one : draw_box_join(box, one);
    is_first = false;
  }
  return box;
}

static void put_figure(const struct both *both, const char *caption, const char *drawing) {
  fputs("<figure><figcaption>", both->to);
  page_text(both->to, caption);
  fprintf(both->to, "</figcaption>\n%s</figure>\n", drawing);
}

/* -- from outside ------------------------------------------------------------------------------ */

static void draw_both_plan(const struct both *both, const char *id) {
  struct draw_look look = {"", true};
  const char *title = arena_format(both->arena, "%s from outside the part", both->name);
  struct drawing *drawing =
      drawing_open_plan(both->arena, both_extents(both, plan_extents),
                        arena_format(both->arena, "plan-%s", id), title, &look);
  int ground = both->pair->after ? 1 : 0;
  plan_put_metal(drawing, outcome_of(both, ground), index_of(both, ground));
  for (int side = 0; side < 2; side++) {
    if (!overlay_of(both, side))
      continue;
    const struct outcome *outcome = outcome_of(both, side);
    size_t overlay = index_of(both, side);
    drawing_group(drawing, SIDES[side]);
    plan_put_zones(drawing, outcome, overlay);
    plan_put_contour(drawing, outcome, overlay);
    plan_put_paths(drawing, outcome, overlay);
    plan_put_marks(drawing, outcome, overlay);
    drawing_group_end(drawing);
  }
  put_figure(both, "Seen from outside the part, in the cell frame", drawing_close(drawing));
}

/* -- the wall ---------------------------------------------------------------------------------- */

static void put_parts(const struct both *both, struct drawing *drawing, const char *class_name,
                      const struct cover_parts *parts) {
  struct wall_patch *patches = arena_alloc(both->arena, parts->patch_count + 1, sizeof *patches);
  for (size_t i = 0; i < parts->patch_count; i++) {
    const struct cover_patch *patch = &parts->patches[i];
    patches[i] =
        (struct wall_patch){patch->s_from, patch->s_to, patch->depths_from, patch->depths_to};
  }
  wall_put_patches(drawing, class_name, patches, parts->patch_count);
}

static const struct cover_change *change_of(const struct both *both, size_t layer) {
  const struct comparison *comparison = both->comparison;
  const struct plan_overlay *one = both->pair->after ? both->pair->after : both->pair->before;
  for (size_t i = 0; i < comparison->cover_count; i++)
    if (comparison->covers[i].contour == one->contour &&
        comparison->covers[i].overlay == one->overlay->name &&
        comparison->covers[i].layer == (int64_t)layer + 1)
      return &comparison->covers[i];
  return NULL;
}

static void put_layer(const struct both *both, struct drawing *drawing, int side, size_t layer) {
  const struct plan_overlay *overlay = overlay_of(both, side);
  if (!overlay || layer >= overlay->layer_count)
    return;
  drawing_group(drawing, SIDES[side]);
  wall_put_zones(drawing, outcome_of(both, side), index_of(both, side));
  wall_put_sectors(drawing, outcome_of(both, side), index_of(both, side));
  wall_put_beads(drawing, outcome_of(both, side), index_of(both, side), layer);
  wall_put_marks(drawing, outcome_of(both, side), index_of(both, side), layer);
  drawing_group_end(drawing);
}

static void draw_both_wall(const struct both *both, const char *id, size_t layer) {
  struct draw_look look = {"", true};
  const struct plan_overlay *one = both->pair->after ? both->pair->after : both->pair->before;
  const struct cover_change *change = change_of(both, layer);
  const char *title =
      arena_format(both->arena, "Wall of %s unrolled, layer %zu", both->name, layer + 1);
  bool is_round = one->contour->shape->kind == SHAPE_ROUND;
  struct drawing *drawing = drawing_open_wall(
      both->arena, both_extents(both, wall_extents), is_round ? one->contour->perimeter : 0,
      arena_format(both->arena, "wall-%s-%zu", id, layer + 1), title, &look);
  put_layer(both, drawing, 0, layer);
  put_layer(both, drawing, 1, layer);
  if (change) {
    put_parts(both, drawing, "newly", &change->newly);
    put_parts(both, drawing, "gone", &change->no_longer);
  }
  put_figure(both, arena_format(both->arena, "Wall unrolled, layer %zu", layer + 1),
             drawing_close(drawing));
}

static size_t layers_of(const struct both *both) {
  size_t before = both->pair->before ? both->pair->before->layer_count : 0;
  size_t after = both->pair->after ? both->pair->after->layer_count : 0;
  return before > after ? before : after;
}

static void draw_pair(const struct both *both, size_t number) {
  const char *id = arena_format(both->arena, "%zu", number);
  size_t layers = layers_of(both);
  fputs("<h3>Overlay ", both->to);
  page_text(both->to, both->name);
  fputs("</h3>\n", both->to);
  draw_both_plan(both, id);
  fputs("<div class=\"walls\">\n", both->to);
  for (size_t k = 0; k < layers; k++)
    draw_both_wall(both, id, k);
  fputs("</div>\n", both->to);
}

void page_drawings(FILE *to, struct arena *arena, const struct comparison *comparison) {
  const struct outcome *before = &comparison->sides[0].outcome;
  const struct outcome *after = &comparison->sides[1].outcome;
  if (!comparison->has_effects || !before->motion || !after->motion)
    return;
  fputs("<h2>Both over each other</h2>\n<p><span class=\"key before\"></span>before, dashed "
        "&#160; <span class=\"key after\"></span>after, drawn through "
        "<span class=\"swatch newly\"></span>newly covered "
        "<span class=\"swatch gone\"></span>no longer covered &#160; &#9654; arc starts "
        "&#160; &#9632; arc stops</p>\n",
        to);
  struct overlay_pairs pairs =
      overlay_pairs_make(arena, before->plan, after->plan, &comparison->names);
  for (size_t i = 0; i < pairs.count; i++) {
    const struct plan_overlay *one =
        pairs.items[i].after ? pairs.items[i].after : pairs.items[i].before;
    struct both both = {to, arena, comparison, &pairs.items[i], one->overlay->name};
    draw_pair(&both, i + 1);
  }
}
