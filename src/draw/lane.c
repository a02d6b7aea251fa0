/* lane.c - the depth of a leg changes evenly with the length of the pool's path, which on each
 * segment of the contour goes evenly with s: a lap is a broken line over s with its corners where
 * segments meet. */
#include "draw/lane.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

static double level_of(const struct lane *lane, size_t leg) {
  double a = lane->s_start + lane->layer->dir * lane->sigma[leg];
  double b = lane->s_start + lane->layer->dir * lane->sigma[leg + 1];
  return contour_offset_length(lane->contour, lane->layer->offset, fmin(a, b), fmax(a, b));
}

struct lane lane_make(struct arena *arena, const struct contour *contour,
                      const struct plan_layer *layer, double s_start, const struct plan_leg *legs,
                      size_t leg_count) {
  struct lane lane = {contour,
                      layer,
                      s_start,
                      legs,
                      leg_count,
                      arena_alloc(arena, leg_count + 1, sizeof(double)),
                      arena_alloc(arena, leg_count + 1, sizeof(double))};
  for (size_t i = 0; i < leg_count; i++) {
    lane.sigma[i + 1] = lane.sigma[i] + legs[i].s_length;
    lane.begin[i + 1] =
        lane.begin[i] + num_hypot(level_of(&lane, i), legs[i].depth_to - legs[i].depth_from);
  }
  return lane;
}

static double s_on_leg(const struct lane *lane, size_t leg, double share) {
  double s = lane->s_start + lane->layer->dir * lane->sigma[leg];
  if (share <= 0)
    return s;
  if (share >= 1)
    return lane->s_start + lane->layer->dir * lane->sigma[leg + 1];
  return contour_advance(lane->contour, lane->layer->offset, s, lane->layer->dir,
                         share * level_of(lane, leg));
}

static struct lane_part part_on_leg(const struct lane *lane, size_t leg, double from, double to) {
  const struct plan_leg *l = &lane->legs[leg];
  double length = lane->begin[leg + 1] - lane->begin[leg];
  double a = fmax((from - lane->begin[leg]) / length, 0);
  double b = fmin((to - lane->begin[leg]) / length, 1), sink = l->depth_to - l->depth_from;
  return (struct lane_part){leg,
                            l->lap,
                            s_on_leg(lane, leg, a),
                            s_on_leg(lane, leg, b),
                            l->depth_from + a * sink,
                            l->depth_from + b * sink};
}

static struct lane_part part_beyond(const struct lane *lane, double from, double to) {
  size_t last = lane->leg_count - 1;
  const struct plan_layer *layer = lane->layer;
  double end = lane->begin[lane->leg_count], depth = lane->legs[last].depth_to;
  double s = lane->s_start + layer->dir * lane->sigma[lane->leg_count];
  double a = contour_advance(lane->contour, layer->offset, s, layer->dir, fmax(from - end, 0));
  double b = contour_advance(lane->contour, layer->offset, s, layer->dir, to - end);
  return (struct lane_part){last, lane->legs[last].lap, a, b, depth, depth};
}

static const double LEAST = 1e-6; /* mm: what is shorter is rounding */

size_t lane_parts(struct arena *arena, const struct lane *lane, double from, double to,
                  struct lane_part **out) {
  size_t count = 0;
  *out = arena_alloc(arena, lane->leg_count + 1, sizeof **out);
  for (size_t i = 0; i < lane->leg_count; i++)
    if (fmin(to, lane->begin[i + 1]) - fmax(from, lane->begin[i]) > LEAST)
      (*out)[count++] = part_on_leg(lane, i, from, to);
  if (to - fmax(from, lane->begin[lane->leg_count]) > LEAST)
    (*out)[count++] = part_beyond(lane, from, to);
  return count;
}

double lane_find(const struct lane *lane, int64_t lap, double s) {
  double turn = lane->contour->perimeter;
  for (size_t i = 0; i < lane->leg_count; i++) {
    if (lane->legs[i].lap != lap)
      continue;
    double begin = lane->s_start + lane->layer->dir * lane->sigma[i];
    double sigma = lane->layer->dir * (s - begin);
    sigma -= turn * floor((sigma + LEAST) / turn);
    if (sigma > lane->legs[i].s_length)
      continue;
    double to = begin + lane->layer->dir * sigma;
    double level =
        contour_offset_length(lane->contour, lane->layer->offset, fmin(begin, to), fmax(begin, to));
    double length = lane->begin[i + 1] - lane->begin[i];
    return lane->begin[i] + length * level / level_of(lane, i);
  }
  return -1;
}

/* -- as path data ---------------------------------------------------------------------------- */

static void point_put(struct drawing *drawing, struct lane_pen *at, double s, double depth) {
  if (!at->down)
    pen(drawing, "M%f %f", s, depth);
  else if (at->depth == depth)
    pen(drawing, "H%f", s);
  else
    pen(drawing, "L%f %f", s, depth);
  *at = (struct lane_pen){true, s, depth};
}

/* The nearest joint of segments, or end of the turn, that lies ahead of s (unwrapped). */
static double next_corner(const struct contour *contour, double s, int dir) {
  double turns, rest = contour_wrap(contour, s, &turns);
  double best = dir > 0 ? contour->perimeter : 0;
  if (dir < 0 && rest <= LEAST) {
    rest = contour->perimeter;
    turns -= 1;
  }
  if (dir > 0 && rest >= contour->perimeter - LEAST) {
    rest = 0;
    turns += 1;
  }
  for (size_t i = 0; i < contour->count; i++) {
    double joint = contour->segs[i].s0;
    if (dir > 0 ? joint > rest + LEAST && joint < best : joint < rest - LEAST && joint > best)
      best = joint;
  }
  return turns * contour->perimeter + best;
}

static bool is_turn_end(const struct contour *contour, double s) {
  double turns = s / contour->perimeter;
  return fabs(turns - floor(turns + 0.5)) * contour->perimeter < LEAST;
}

/* s within the turn; at its end that of the side from which the pen comes or to which it goes. */
static double wrapped(const struct contour *contour, double s, int coming_from) {
  double turns, rest = contour_wrap(contour, s, &turns);
  if (!is_turn_end(contour, s))
    return rest;
  return coming_from > 0 ? contour->perimeter : 0;
}

void lane_put(struct drawing *drawing, const struct contour *contour, double offset,
              const struct lane_part *part, struct lane_pen *at) {
  int dir = part->s_to >= part->s_from ? 1 : -1;
  double whole = contour_offset_length(contour, offset, fmin(part->s_from, part->s_to),
                                       fmax(part->s_from, part->s_to));
  double sink = part->depth_to - part->depth_from, done = 0, depth = part->depth_from;
  double s = part->s_from, begin = wrapped(contour, s, -dir);
  if (!at->down || fabs(at->s - begin) > LEAST || at->depth != depth) {
    at->down = false;
    point_put(drawing, at, begin, depth);
  }
  while (dir * (part->s_to - s) > LEAST) {
    double next = next_corner(contour, s, dir);
    if (dir * (next - part->s_to) > -LEAST)
      next = part->s_to;
    done += contour_offset_length(contour, offset, fmin(s, next), fmax(s, next));
    depth = next == part->s_to ? part->depth_to : part->depth_from + sink * done / whole;
    bool ends = is_turn_end(contour, next);
    if (sink != 0 || ends || next == part->s_to)
      point_put(drawing, at, wrapped(contour, next, dir), depth);
    if (ends && dir * (part->s_to - next) > LEAST) {
      at->down = false;
      point_put(drawing, at, wrapped(contour, next, -dir), depth);
    }
    s = next;
  }
}
