/* plan_ways.c - ways of the tip and of the head's axis, once for each layer: laps lie over one
 * another.  The tip runs on an offset of the contour; the head's axis is drawn as the motion has
 * it, since the head may round the joints. */
#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "draw/rim.h"

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
  const struct plan_layer *laid = &outcome->plan->overlays[overlay].layers[layer];
  double turned = 0, perimeter = outcome->plan->overlays[overlay].contour->perimeter;
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
  const struct plan_overlay *over = &outcome->plan->overlays[overlay];
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
