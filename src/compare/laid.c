/* Runs to strips: leg by leg, segment by segment of the contour, from where the wire reaches the
 * pool to where it stops.
 *
 * Within a leg the depth changes evenly with the pool's path; within a segment of the contour that
 * is even in s too. */
#include "compare/laid.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/deposit.h"

struct layer_run {
  struct arena *arena;
  const struct plan_overlay *overlay;
  const struct plan_layer *layer;
  struct laid *out;
};

static void add(const struct layer_run *run, struct laid_strip strip) {
  struct laid *laid = run->out;
  size_t n = laid->count;
  if ((n & (n - 1)) == 0)
    laid->strips = arena_grow(run->arena, laid->strips, n, n ? 2 * n : 1, sizeof *laid->strips);
  laid->strips[laid->count++] = strip;
}

/* A straight stretch of a leg: in s from a to b (any turn, a < b or a > b by direction). */
struct stretch_of_leg {
  double a, b, depth_a, depth_b;
};

static double depth_on(const struct stretch_of_leg *on, double s) {
  double share = (s - on->a) / (on->b - on->a);
  return on->depth_a + share * (on->depth_b - on->depth_a);
}

/* Where the contour begins anew the strip is cut; it is less than a turn long. */
static void add_wrapped(const struct layer_run *run, const struct stretch_of_leg *on) {
  double perimeter = run->overlay->contour->perimeter;
  double lo = fmin(on->a, on->b), hi = fmax(on->a, on->b), turns;
  double half = bead_width_laid(run->layer->procedure) / 2;
  double base = lo - contour_wrap(run->overlay->contour, lo, &turns);
  for (double from = lo; hi - from > 1e-9; base += perimeter) {
    double to = fmin(hi, base + perimeter);
    add(run,
        (struct laid_strip){from - base, to - base, depth_on(on, from), depth_on(on, to), half});
    from = to;
  }
}

/* s of the next joint of the contour after s in the direction. */
static double next_joint(const struct contour *contour, double s, int dir) {
  double turns, at = contour_wrap(contour, s, &turns), base = s - at;
  size_t k = contour_seg_at(contour, at);
  double from = contour->segs[k].s0, to = from + contour->segs[k].length;
  if (dir > 0)
    return base + to - s > 1e-9 ? base + to : next_joint(contour, base + to + 1e-9, dir);
  return s - (base + from) > 1e-9 ? base + from : next_joint(contour, base + from - 1e-9, dir);
}

/* The part of a leg whose pool's path is between two lengths from the leg's start. */
static void add_leg(const struct layer_run *run, const struct plan_leg *leg, double s_leg,
                    double length, double from, double to) {
  const struct contour *contour = run->overlay->contour;
  int dir = run->layer->dir;
  double level =
      contour_offset_length(contour, run->layer->offset, fmin(s_leg, s_leg + dir * leg->s_length),
                            fmax(s_leg, s_leg + dir * leg->s_length));
  double fall = leg->depth_to - leg->depth_from;
  double s = contour_advance(contour, run->layer->offset, s_leg, dir, level * from / length);
  double end = contour_advance(contour, run->layer->offset, s_leg, dir, level * to / length);
  double depth = leg->depth_from + fall * from / length;
  while (dir * (end - s) > 1e-9) {
    double next = next_joint(contour, s, dir);
    if (dir * (next - end) > 0)
      next = end;
    double done =
        contour_offset_length(contour, run->layer->offset, fmin(s_leg, next), fmax(s_leg, next));
    double at = leg->depth_from + fall * (level > 0 ? done / level : 1);
    struct stretch_of_leg on = {s, next, depth, at};
    add_wrapped(run, &on);
    s = next;
    depth = at;
  }
}

/* Wire that was drawn back reaches the pool only when that length is fed again. */
static void add_weld(struct arena *arena, const struct motion *motion, const struct phase *weld,
                     struct laid *out) {
  struct run_info info = phase_run_info(motion, weld);
  const struct procedure *procedure = info.layer->procedure;
  double tick = motion->plan->job->cell->tick;
  double on = run_wire_time(motion, weld, procedure->wire_retract);
  double off = (double)weld->wire.feed1 * tick;
  if (on >= off)
    return;
  double from = run_length_at(motion, weld, on), to = run_length_at(motion, weld, off);
  struct layer_run run = {arena, info.overlay, info.layer, out};
  double s = info.run->s_start;
  for (size_t i = 0; i < info.run->leg_count; i++) {
    const struct plan_leg *leg = &info.run->legs[i];
    double begin = run_leg_start(motion, weld, i), end = run_leg_start(motion, weld, i + 1);
    double a = fmax(from, begin), b = fmin(to, end);
    if (b - a > 1e-9)
      add_leg(&run, leg, s, end - begin, a - begin, b - begin);
    s += info.layer->dir * leg->s_length;
  }
}

struct laid laid_make(struct arena *arena, const struct motion *motion, size_t overlay,
                      size_t layer) {
  struct laid laid = {NULL, 0};
  const struct plan_layer *wanted = &motion->plan->overlays[overlay].layers[layer];
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].kind == PHASE_WELD && motion->phases[i].plan_layer == wanted)
      add_weld(arena, motion, &motion->phases[i], &laid);
  return laid;
}
