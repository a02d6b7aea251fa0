/* beads.c - every bead as a band of its width: a broken line, stroked as wide as the bead.
 *
 * A bead lies where the wire was on.  One element a run and lap, so that a page can tell what is
 * under the pointer. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"
#include "draw/wall_view.h"

struct laid {
  const struct plan_overlay *overlay;
  const struct plan_layer *layer;
  size_t overlay_index, layer_index;
  const struct motion *motion;
};

struct weld {
  const struct phase *phase;
  struct run_info info;
  struct lane lane;
};

static struct weld weld_of(struct arena *arena, const struct laid *laid,
                           const struct phase *phase) {
  struct weld weld = {.phase = phase, .info = phase_run_info(laid->motion, phase)};
  const struct plan_run *run = weld.info.run;
  weld.lane = lane_make(arena, laid->overlay->contour, laid->layer, run->s_start, run->legs,
                        run->leg_count);
  return weld;
}

static void bead_open(struct drawing *drawing, const struct laid *laid, int64_t lap) {
  pen(drawing, "<path class=\"bead\" data-overlay=\"%zu\" data-layer=\"%zu\" data-lap=\"%zu\"",
      laid->overlay_index + 1, laid->layer_index + 1, (size_t)lap);
  pen(drawing, " data-line=\"%zu\" d=\"", (size_t)laid->overlay->overlay->line);
}

static void parts_put(struct drawing *drawing, const struct laid *laid,
                      const struct lane_part *parts, size_t count, bool is_bead) {
  struct lane_pen at = {0};
  for (size_t i = 0; i < count; i++) {
    bool begins = i == 0 || parts[i].lap != parts[i - 1].lap;
    if (begins && i > 0)
      pen_raw(drawing, "\"/>\n");
    if (begins) {
      at.down = false;
      if (is_bead)
        bead_open(drawing, laid, parts[i].lap);
      else
        pen_raw(drawing, "<path d=\"");
    }
    lane_put(drawing, laid->overlay->contour, laid->layer->offset, &parts[i], &at);
  }
  if (count > 0)
    pen_raw(drawing, "\"/>\n");
}

static void run_beads(struct drawing *drawing, const struct laid *laid, const struct weld *weld,
                      bool is_bead) {
  double tick = laid->motion->plan->job->cell->tick;
  double from = run_length_at(laid->motion, weld->phase, (double)weld->phase->wire.feed0 * tick);
  double to = run_length_at(laid->motion, weld->phase, (double)weld->phase->wire.feed1 * tick);
  struct lane_part *parts;
  size_t count = lane_parts(drawing->arena, &weld->lane, from, to, &parts);
  parts_put(drawing, laid, parts, count, is_bead);
}

/* The tie-in is the last leg of its path, as far as a run takes it in. */
static void run_tie(struct drawing *drawing, const struct laid *laid, const struct weld *weld) {
  const struct plan_run *run = weld->info.run;
  const struct plan_path *path = &laid->layer->paths[run->path];
  double whole = 0;
  for (size_t i = 0; i < path->leg_count; i++)
    whole += path->legs[i].s_length;
  double begin = whole - path->tie_in;
  if (path->tie_in <= 0 || run->to <= begin + 1e-6)
    return;
  struct lane_part *parts;
  double from = weld->lane.begin[run->leg_count - 1];
  size_t count =
      lane_parts(drawing->arena, &weld->lane, from, weld->lane.begin[run->leg_count], &parts);
  parts_put(drawing, laid, parts, count, false);
}

static void run_slope(struct drawing *drawing, const struct laid *laid, const struct weld *weld) {
  struct lane_part *parts;
  size_t count =
      lane_parts(drawing->arena, &weld->lane, weld->info.length, weld->info.total, &parts);
  parts_put(drawing, laid, parts, count, false);
}

/* -- bare lengths ---------------------------------------------------------------------------- */

static void bare_put(struct drawing *drawing, const struct laid *laid,
                     const struct bare_length *bare) {
  static const char *const kinds[] = {
      [BARE_ZONE] = "zone-bare", [BARE_DOWNSLOPE] = "downslope", [BARE_WIRE] = "wire"};
  for (size_t i = 0; i < laid->layer->path_count; i++) {
    const struct plan_path *path = &laid->layer->paths[i];
    struct lane lane = lane_make(drawing->arena, laid->overlay->contour, laid->layer, path->s_start,
                                 path->legs, path->leg_count);
    double from = lane_find(&lane, bare->lap, bare->s);
    if (from < 0)
      continue;
    struct lane_part *parts;
    size_t count = lane_parts(drawing->arena, &lane, from, from + bare->length, &parts);
    struct lane_pen at = {0};
    pen(drawing, "<path class=\"%s\" data-lap=\"%zu\" d=\"", kinds[bare->kind], (size_t)bare->lap);
    for (size_t k = 0; k < count; k++)
      lane_put(drawing, laid->overlay->contour, laid->layer->offset, &parts[k], &at);
    pen_raw(drawing, "\"/>\n");
    return;
  }
}

static void bares_put(struct drawing *drawing, const struct laid *laid,
                      const struct verdict *verdict, double width) {
  pen(drawing, "<g class=\"bare\" stroke-width=\"%f\">\n", width);
  for (size_t i = 0; verdict && i < verdict->bare_count; i++)
    if (verdict->bare[i].overlay == laid->overlay_index &&
        verdict->bare[i].layer == laid->layer_index)
      bare_put(drawing, laid, &verdict->bare[i]);
  pen_raw(drawing, "</g>\n");
}

/* -- a layer --------------------------------------------------------------------------------- */

typedef void run_put(struct drawing *drawing, const struct laid *laid, const struct weld *weld);

static void run_bands(struct drawing *drawing, const struct laid *laid, const struct weld *weld) {
  run_beads(drawing, laid, weld, true);
}
static void run_lines(struct drawing *drawing, const struct laid *laid, const struct weld *weld) {
  run_beads(drawing, laid, weld, false);
}

static void each_run(struct drawing *drawing, const struct laid *laid, const char *class_name,
                     double width, run_put *put) {
  pen(drawing, "<g class=\"%s\"", class_name);
  if (width > 0)
    pen(drawing, " stroke-width=\"%f\"", width);
  pen_raw(drawing, ">\n");
  for (size_t i = 0; i < laid->motion->phase_count; i++) {
    const struct phase *phase = &laid->motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->plan_layer != laid->layer)
      continue;
    struct weld weld = weld_of(drawing->arena, laid, phase);
    put(drawing, laid, &weld);
  }
  pen_raw(drawing, "</g>\n");
}

void wall_put_beads(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                    size_t layer) {
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
  struct laid laid = {over, &over->layers[layer], overlay, layer, outcome->motion};
  double width = bead_width_laid(laid.layer->procedure);
  /* The group is drawn out in depth, and level lines with it. */
  double thin = 0.06 * drawing->em / drawing->depth_scale;
  wall_scaled(drawing, "scaled");
  each_run(drawing, &laid, "beads", width, run_bands);
  each_run(drawing, &laid, "lines", thin, run_lines);
  each_run(drawing, &laid, "ties", width, run_tie);
  each_run(drawing, &laid, "slopes", 2 * thin, run_slope);
  bares_put(drawing, &laid, outcome->verdict, 4 * thin);
  drawing_group_end(drawing);
}
