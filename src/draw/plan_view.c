/* plan_view.c - one overlay seen from outside the part, in the cell frame.
 *
 * Laps lie over one another, so each layer's way is drawn once.  The tip runs on an offset of the
 * contour; the head's axis is drawn as the motion has it, since the head may round the joints. */
#include <inttypes.h>
#include <math.h>

#include "borelay/arena.h"
#include "borelay/buildup.h"
#include "borelay/digits.h"
#include "borelay/num.h"
#include "draw/head.h"
#include "draw/instant.h"
#include "draw/rim.h"
#include "draw/sheet.h"
#include "draw/zone_wall.h"

static const struct plan_overlay *overlay_of(const struct outcome *outcome, size_t overlay) {
  return &outcome->plan->overlays[overlay];
}

static struct range band_of(const struct plan_overlay *overlay) {
  struct range band = overlay->layers[0].layer->depths;
  for (size_t k = 1; k < overlay->layer_count; k++) {
    band.lo = fmin(band.lo, overlay->layers[k].layer->depths.lo);
    band.hi = fmax(band.hi, overlay->layers[k].layer->depths.hi);
  }
  return band;
}

static double section_depth(const struct plan_overlay *overlay) {
  struct range band = band_of(overlay);
  return (band.lo + band.hi) / 2;
}

struct draw_box plan_extents(const struct outcome *outcome, size_t overlay) {
  struct arena *scratch = arena_new();
  struct rim wall = rim_of_contour(scratch, overlay_of(outcome, overlay)->contour, 0);
  struct draw_box box = rim_box(&wall);
  double more = 0.16 * fmax(box.x1 - box.x0, box.y1 - box.y0);
  arena_free(scratch);
  return (struct draw_box){box.x0 - more, box.y0 - more, box.x1 + more, box.y1 + more};
}

struct drawing *drawing_open_plan(struct arena *arena, struct draw_box extents, const char *id,
                                  const char *title, const struct draw_look *look) {
  struct drawing *drawing = pen_new(arena, id, look);
  drawing->field = extents;
  struct sheet sheet = {.class_name = "plan",
                        .attributes = " data-frame=\"cell\"",
                        .title = title,
                        .text = "Seen from outside the part, along the head's axis; x to the right "
                                "and y up in the cell frame, millimetres.",
                        .room = {6, 4.4, 2, 7},
                        .columns = 66};
  sheet_open(drawing, &sheet);
  sheet_heading(drawing, title, "");
  ticks_below(drawing, (struct tick_scale){1, 1, 0, "x of the cell, mm"}, false);
  ticks_left(drawing, (struct tick_scale){1, -1, 0, "y of the cell, mm"}, false);
  field_open(drawing);
  return drawing;
}

const char *drawing_close(struct drawing *drawing) {
  field_close(drawing);
  sheet_close(drawing);
  return drawing->text;
}

/* -- metal ----------------------------------------------------------------------------------- */

static void volumes_put(struct drawing *drawing, const struct outcome *outcome, double depth,
                        bool is_free, const char *class_name) {
  const struct envelope *envelope = outcome->job->envelope;
  pen(drawing, "<path class=\"%s\" d=\"", class_name);
  for (size_t i = 0; i < envelope->volume_count; i++) {
    const struct volume *volume = &envelope->volumes[i];
    if (volume->is_free != is_free || depth < volume->depths.lo || depth > volume->depths.hi)
      continue;
    struct rim rim = rim_of_contour(drawing->arena, outcome->plan->volume_contours[i], 0);
    rim_put(drawing, &rim);
  }
  pen_raw(drawing, "\"/>\n");
}

/* What counts as laid by the plan, all round: of a rehearsal, or of a weld taken up again, of which
 * the build-up knows only the rest. */
static void clad_by_plan(struct drawing *drawing, const struct plan_overlay *overlay,
                         double depth) {
  size_t layers = 0;
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (overlay->layers[k].layer->depths.lo <= depth &&
        overlay->layers[k].layer->depths.hi >= depth)
      layers = k + 1;
  struct rim wall = rim_of_contour(drawing->arena, overlay->contour, 0);
  struct rim face = rim_of_clad(drawing->arena, overlay, layers, false);
  rim_put(drawing, &wall);
  rim_put(drawing, &face);
}

enum { CLAD_PLACES = 360 };
static const double CLAD_LEAST = 0.02; /* mm */

/* whole: round the wall and back to its beginning, so that no line joins wall and face. */
static void clad_stretch(struct drawing *drawing, const struct contour *contour,
                         const double *thickness, int from, int to, bool whole) {
  double step = contour->perimeter / CLAD_PLACES;
  for (int i = from; i <= to; i++) {
    vec2 at = contour_at(contour, i * step, 0).at;
    pen(drawing, i == from ? "M%f %f" : "L%f %f", at.x, -at.y);
  }
  for (int i = to; i >= from; i--) {
    vec2 at = contour_at(contour, i * step, thickness[i % CLAD_PLACES]).at;
    pen(drawing, whole && i == to ? "zM%f %f" : "L%f %f", at.x, -at.y);
  }
  pen_raw(drawing, "z");
}

/* The build-up at the depth, stretch by stretch; one that takes in the whole wall is closed. */
static void clad_by_buildup(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                            double depth) {
  const struct plan_overlay *over = overlay_of(outcome, overlay);
  const struct buildup *buildup = buildup_make(drawing->arena, outcome->motion, overlay);
  double thickness[CLAD_PLACES];
  int bare = -1;
  for (int i = 0; i < CLAD_PLACES; i++) {
    thickness[i] = buildup_thickness(buildup, over->layer_count,
                                     over->contour->perimeter * i / CLAD_PLACES, depth);
    if (thickness[i] < CLAD_LEAST)
      bare = i;
  }
  if (bare < 0) {
    clad_stretch(drawing, over->contour, thickness, 0, CLAD_PLACES, true);
    return;
  }
  for (int i = bare + 1, from = -1; i <= bare + CLAD_PLACES; i++) {
    bool laid = thickness[i % CLAD_PLACES] >= CLAD_LEAST;
    if (laid && from < 0)
      from = i;
    if (laid || from < 0)
      continue;
    clad_stretch(drawing, over->contour, thickness, from, i - 1, false);
    from = -1;
  }
}

static void clad_put(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                     double depth) {
  pen_raw(drawing, "<path class=\"clad\" d=\"");
  if (outcome->motion->mode == MODE_WELD)
    clad_by_buildup(drawing, outcome, overlay, depth);
  else
    clad_by_plan(drawing, overlay_of(outcome, overlay), depth);
  pen_raw(drawing, "\"/>\n");
}

/* Outlines first: what lies within the union is then covered by the fills. */
void plan_put_metal(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  double depth = section_depth(overlay_of(outcome, overlay));
  struct draw_box f = drawing->field;
  pen_raw(drawing, "<g class=\"section\">\n");
  if (depth > 0)
    pen(drawing, "<rect class=\"metal\" x=\"%f\" y=\"%f\" width=\"%f\" height=\"%f\"/>\n", f.x0,
        f.y0, f.x1 - f.x0, f.y1 - f.y0);
  volumes_put(drawing, outcome, depth, false, "edge");
  volumes_put(drawing, outcome, depth, false, "metal");
  volumes_put(drawing, outcome, depth, true, "edge");
  volumes_put(drawing, outcome, depth, true, "free");
  clad_put(drawing, outcome, overlay, depth);
  pen_raw(drawing, "</g>\n");
}

void plan_put_contour(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  struct rim wall = rim_of_contour(drawing->arena, overlay_of(outcome, overlay)->contour, 0);
  pen_raw(drawing, "<path class=\"wall-line\" d=\"");
  rim_put(drawing, &wall);
  pen_raw(drawing, "\"/>\n");
}

/* -- zones as sectors ------------------------------------------------------------------------ */

/* A stretch of the contour with the way in to its centre and back. */
static void sector_put(struct drawing *drawing, const struct contour *contour, double from,
                       double to) {
  enum { PARTS = 40 };
  pen(drawing, "M%f %f", contour->centre.x, -contour->centre.y);
  for (int i = 0; i <= PARTS; i++) {
    vec2 at = contour_at(contour, from + (to - from) * i / PARTS, 0).at;
    pen(drawing, "L%f %f", at.x, -at.y);
  }
  pen_raw(drawing, "z");
}

static void zone_sectors(struct drawing *drawing, const struct contour *contour,
                         const struct zone *zone, double part_turned, double margin) {
  if (zone->has_cross_bore) {
    struct mouth *mouths;
    size_t count = zone_mouths(drawing->arena, contour, zone, part_turned, margin, &mouths);
    for (size_t i = 0; i < count; i++)
      sector_put(drawing, contour, mouths[i].points[0].x,
                 mouths[i].points[mouths[i].count / 2 - 1].x);
    return;
  }
  struct stretches set = zone_along(drawing->arena, contour, zone, part_turned, margin);
  for (size_t i = 0; i < set.count; i++)
    sector_put(drawing, contour, set.items[i].from, set.items[i].to);
}

static bool is_all_round(const struct zone *zone) {
  return !zone->has_angles && !zone->has_along && !zone->has_cross_bore;
}

void plan_put_zones(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = overlay_of(outcome, overlay);
  double turned = outcome->plan->placement.turned;
  pen_raw(drawing, "<g class=\"zones\">\n");
  for (size_t i = 0; i < over->overlay->zone_count; i++) {
    const struct zone *zone = &over->overlay->zones[i];
    const char *kind = zone->is_on ? "on" : "off";
    if (is_all_round(zone))
      continue;
    pen(drawing, "<path class=\"zone %s\" data-zone=\"%s\" d=\"", kind, zone->name);
    zone_sectors(drawing, over->contour, zone, turned, 0);
    pen(drawing, "\"><title>zone %s, arc %s</title></path>\n", zone->name, kind);
    if (zone->margin > 0) {
      pen(drawing, "<path class=\"zone %s margin\" d=\"", kind);
      zone_sectors(drawing, over->contour, zone, turned,
                   zone->is_on ? -zone->margin : zone->margin);
      pen_raw(drawing, "\"/>\n");
    }
  }
  pen_raw(drawing, "</g>\n");
}

/* -- ways ------------------------------------------------------------------------------------ */

static const double CHORD = 0.004; /* mm that a straight may leave the way */

static vec2 axis_at(const struct piece *piece, double t) {
  struct pose pose = piece_at(piece, t);
  return (vec2){pose.x, pose.y};
}

/* Straights whose middle and quarters lie within CHORD of the way: on lines and arcs, all that
 * pieces are made of, no more hides between. */
static void way_put(struct drawing *drawing, const struct piece *piece, double ta, double tb,
                    int depth) {
  vec2 a = axis_at(piece, ta), b = axis_at(piece, tb), way = vec2_sub(b, a);
  double length = num_hypot(way.x, way.y), off = 0;
  for (int i = 1; i < 4; i++) {
    vec2 p = vec2_sub(axis_at(piece, ta + (tb - ta) * i / 4), a);
    off = fmax(off, length > 1e-9 ? fabs(vec2_cross(way, p)) / length : num_hypot(p.x, p.y));
  }
  if (off > CHORD && depth < 12) {
    double tm = ta + (tb - ta) / 2;
    way_put(drawing, piece, ta, tm, depth + 1);
    way_put(drawing, piece, tm, tb, depth + 1);
    return;
  }
  pen(drawing, "L%f %f", b.x, -b.y);
}

/* The pool's path of a whole turn, or of the run where it is shorter, mm. */
static double one_turn(const struct run_info *info) {
  double turn = contour_offset_length(info->overlay->contour, info->layer->offset, 0,
                                      info->overlay->contour->perimeter);
  return fmin(turn, info->total);
}

/* When the pool has gone that far, within a stretch of time at whose end it has. */
static double time_at_length(const struct motion *motion, const struct phase *phase, double length,
                             double ta, double tb) {
  for (int i = 0; i < 50; i++) {
    double mid = ta + (tb - ta) / 2;
    if (run_length_at(motion, phase, mid) < length)
      ta = mid;
    else
      tb = mid;
  }
  return tb;
}

static void axis_way_put(struct drawing *drawing, const struct motion *motion,
                         const struct phase *phase) {
  struct run_info info = phase_run_info(motion, phase);
  double turn = one_turn(&info);
  struct piece_iter iter;
  struct piece piece;
  bool begun = false, over = false;
  piece_iter_begin(&iter, motion, phase);
  while (!over && piece_iter_next(&iter, &piece)) {
    if (!begun) {
      vec2 a = axis_at(&piece, piece.t0);
      pen(drawing, "M%f %f", a.x, -a.y);
      begun = true;
    }
    over = run_length_at(motion, phase, piece.t1) >= turn;
    double end = over ? time_at_length(motion, phase, turn, piece.t0, piece.t1) : piece.t1;
    way_put(drawing, &piece, piece.t0, end, 0);
  }
  piece_iter_release(&iter);
}

/* A whole turn needs one run; what zones leave of it needs the runs of a path. */
static void layer_axis_put(struct drawing *drawing, const struct outcome *outcome, size_t overlay,
                           size_t layer) {
  const struct motion *motion = outcome->motion;
  const struct plan_layer *laid = &overlay_of(outcome, overlay)->layers[layer];
  double turned = 0, perimeter = overlay_of(outcome, overlay)->contour->perimeter;
  pen(drawing, "<path class=\"head-path\" data-layer=\"%zu\" d=\"", layer + 1);
  for (size_t i = 0; i < motion->phase_count && turned < perimeter; i++) {
    const struct phase *phase = &motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->plan_layer != laid)
      continue;
    axis_way_put(drawing, motion, phase);
    struct run_info info = phase_run_info(motion, phase);
    turned += info.run->to - info.run->from;
  }
  pen_raw(drawing, "\"/>\n");
}

void plan_put_paths(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = overlay_of(outcome, overlay);
  pen_raw(drawing, "<g class=\"paths\">\n");
  for (size_t k = 0; k < over->layer_count; k++) {
    double offset = over->layers[k].offset + over->layers[k].procedure->arc_length;
    struct rim tip = rim_of_contour(drawing->arena, over->contour, offset);
    pen(drawing, "<path class=\"tip\" data-layer=\"%zu\" d=\"", k + 1);
    rim_put(drawing, &tip);
    pen_raw(drawing, "\"/>\n");
    layer_axis_put(drawing, outcome, overlay, k);
  }
  pen_raw(drawing, "</g>\n");
}

/* -- marks ----------------------------------------------------------------------------------- */

static bool in_field(const struct drawing *drawing, double x, double y) {
  struct draw_box f = drawing->field;
  return x > f.x0 && x < f.x1 && y > f.y0 && y < f.y1;
}

static void place_put(struct drawing *drawing, vec2 at, const char *words) {
  double em = drawing->em;
  if (!in_field(drawing, at.x, -at.y))
    return;
  pen(drawing, "<path class=\"mark\" d=\"M%f %fh%fm%f %fv%f\"/>", at.x - 0.5 * em, -at.y, em,
      -0.5 * em, -0.5 * em, em);
  pen(drawing, "<text class=\"small halo\" x=\"%f\" y=\"%f\">%s</text>\n", at.x + 0.7 * em,
      -at.y + 1.1 * em, words);
}

static vec2 entry_of(const struct outcome *outcome, const struct plan_overlay *over) {
  if (!over->overlay->has_entry)
    return over->contour->centre;
  struct sincos turn = num_sincos(outcome->plan->placement.turned);
  vec2 e = over->overlay->entry;
  vec3 at = outcome->plan->placement.at;
  return (vec2){at.x + e.x * turn.cos - e.y * turn.sin, at.y + e.x * turn.sin + e.y * turn.cos};
}

/* Runs' starts and stops lie on the tip's way of their layer. */
static void run_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct plan_overlay *over = overlay_of(outcome, overlay);
  const struct verdict *verdict = outcome->verdict;
  for (size_t i = 0; verdict && i < verdict->run_count; i++) {
    const struct arc_run *run = &verdict->runs[i];
    if (run->overlay != overlay)
      continue;
    const struct plan_layer *layer = &over->layers[run->layer];
    double offset = layer->offset + layer->procedure->arc_length;
    struct contour_point a = contour_at(over->contour, run->start.s, offset);
    struct contour_point b = contour_at(over->contour, run->stop.s, offset);
    /* The tangent is the normal turned by a right angle. */
    double degrees = -(a.angle / NUM_PI * 180 + layer->dir * 90);
    degrees -= 360 * floor(degrees / 360);
    stop_mark(drawing, b.at.x, -b.at.y, drawing->em);
    start_mark(drawing, a.at.x, -a.at.y, degrees, drawing->em);
  }
}

void plan_put_marks(struct drawing *drawing, const struct outcome *outcome, size_t overlay) {
  const struct cell *cell = outcome->job->cell;
  vec3 datum = outcome->plan->placement.at;
  pen_raw(drawing, "<g class=\"marks\">\n");
  run_marks(drawing, outcome, overlay);
  place_put(drawing, entry_of(outcome, overlay_of(outcome, overlay)), "entry");
  place_put(drawing, (vec2){cell->park.x, cell->park.y}, "park");
  if (num_hypot(datum.x - entry_of(outcome, overlay_of(outcome, overlay)).x,
                datum.y - entry_of(outcome, overlay_of(outcome, overlay)).y) > 0.5)
    place_put(drawing, (vec2){datum.x, datum.y}, "datum");
  pen_raw(drawing, "</g>\n");
}

void plan_put_head(struct drawing *drawing, const struct outcome *outcome, double t) {
  struct pose pose = draw_pose_at(outcome->motion, t);
  double degrees = pose.head / NUM_PI * 180;
  pen(drawing, "<g class=\"head\" transform=\"translate(%f %f)rotate(%f)\">\n", pose.x, -pose.y,
      -degrees);
  head_put_plan(drawing, outcome->job->cell, pose.z, outcome->plan->placement.at.z);
  pen_raw(drawing, "</g>\n");
}

static void legend(struct drawing *drawing, const struct plan_overlay *over) {
  struct legend at = legend_begin(drawing);
  legend_put(drawing, &at, LEGEND_BOX, "metal", "metal");
  legend_put(drawing, &at, LEGEND_BOX, "clad", "clad");
  legend_put(drawing, &at, LEGEND_LINE, "tip", "way of the tip");
  legend_put(drawing, &at, LEGEND_LINE, "head-path", "way of the head's axis");
  legend_put(drawing, &at, LEGEND_START, "", "arc starts");
  legend_put(drawing, &at, LEGEND_STOP, "", "arc stops");
  if (over->overlay->zone_count > 0)
    legend_put(drawing, &at, LEGEND_BOX, "zone", "zone");
}

const char *draw_plan(struct arena *arena, const struct outcome *outcome, size_t overlay, double t,
                      const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct plan_overlay *over = overlay_of(outcome, overlay);
  int64_t depth = digits_scale(section_depth(over), 1);
  const char *title =
      arena_format(arena, "Plan of %s, section at depth %" PRId64 ".%d mm", over->overlay->name,
                   depth / 10, (int)(depth % 10 < 0 ? -(depth % 10) : depth % 10));
  const char *id = arena_format(arena, "plan-%zu", overlay + 1);
  struct drawing *drawing =
      drawing_open_plan(arena, plan_extents(outcome, overlay), id, title, look);
  plan_put_metal(drawing, outcome, overlay);
  plan_put_zones(drawing, outcome, overlay);
  plan_put_contour(drawing, outcome, overlay);
  plan_put_paths(drawing, outcome, overlay);
  plan_put_head(drawing, outcome, t);
  plan_put_marks(drawing, outcome, overlay);
  field_close(drawing);
  legend(drawing, over);
  sheet_close(drawing);
  return drawing->text;
}
