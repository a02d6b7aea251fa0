/* What the zones of an overlay leave of a path: piece by piece, each on one segment of the contour
 * and one leg, so that the depth is linear in x on it. */
#include "plan/zones.h"

#include <math.h>

#include "borelay/arena.h"

/* Nearer to a joint than this (mm) the piece begins behind it. */
static const double AT_JOINT = 1e-9;

/* What a path is walked with. */
struct zone_walk {
  const struct plan_site *site;
  const struct wall_zone *zones;
  bool any_on;
  struct stretches off; /* of sigma */
};

static void piece_judge(struct zone_walk *walk, const struct wall_piece *piece) {
  const struct plan_site *site = walk->site;
  struct stretches off = {.arena = site->arena}, on = {.arena = site->arena};
  for (size_t i = 0; i < site->overlay->zone_count; i++) {
    struct stretches in = wall_zone_cut(site, &walk->zones[i], piece);
    struct stretches *set = walk->zones[i].zone->is_on ? &on : &off;
    for (size_t k = 0; k < in.count; k++)
      stretches_add(set, in.items[k].from, in.items[k].to);
  }
  if (walk->any_on) {
    struct stretches outside = stretches_rest(&on, 0, piece->length);
    for (size_t k = 0; k < outside.count; k++)
      stretches_add(&off, outside.items[k].from, outside.items[k].to);
  }
  for (size_t k = 0; k < off.count; k++)
    stretches_add(&walk->off, piece->sigma + off.items[k].from, piece->sigma + off.items[k].to);
}

/* One leg, cut where the contour's segments join. */
struct leg_walk {
  const struct plan_leg *leg;
  double s0;    /* where it begins, not wrapped */
  double sigma; /* of the path, there */
  double level; /* length of the pool's path, laid level */
};

static double leg_depth(const struct leg_walk *leg, const struct contour *contour, int dir,
                        double offset, double x) {
  const struct plan_leg *l = leg->leg;
  if (l->depth_from == l->depth_to || x <= 0)
    return l->depth_from;
  if (x >= l->s_length)
    return l->depth_to;
  double s = leg->s0 + dir * x;
  double done = contour_offset_length(contour, offset, fmin(leg->s0, s), fmax(leg->s0, s));
  return l->depth_from + done / leg->level * (l->depth_to - l->depth_from);
}

static void leg_judge(struct zone_walk *walk, const struct leg_walk *leg, int dir, double offset) {
  const struct contour *contour = walk->site->contour;
  double length = leg->leg->s_length, turns, s = contour_wrap(contour, leg->s0, &turns);
  size_t i = contour_seg_at(contour, s);
  double into = s - contour->segs[i].s0;
  for (double x = 0; x < length;) {
    const struct contour_seg *seg = &contour->segs[i];
    double left = dir > 0 ? seg->length - into : into;
    double end = fmin(x + left, length);
    if (end - x > AT_JOINT) {
      double from = leg_depth(leg, contour, dir, offset, x);
      double to = leg_depth(leg, contour, dir, offset, end);
      struct wall_piece piece = {seg,           dir, into, end - x, from, (to - from) / (end - x),
                                 leg->sigma + x};
      piece_judge(walk, &piece);
    }
    x = fmax(end, x);
    if (length - x <= AT_JOINT)
      return;
    i = dir > 0 ? (i + 1) % contour->count : (i + contour->count - 1) % contour->count;
    into = dir > 0 ? 0 : contour->segs[i].length;
  }
}

struct stretches zones_leave(const struct plan_site *site, const struct plan_layer *layer,
                             double s_start, const struct plan_leg *legs, size_t leg_count) {
  int dir = layer->dir;
  double offset = layer->offset, half_sway = layer->procedure->oscillation.width / 2;
  const struct overlay *overlay = site->overlay;
  struct wall_zone *zones = arena_alloc(site->arena, overlay->zone_count, sizeof *zones);
  struct zone_walk walk = {.site = site, .zones = zones, .off = {.arena = site->arena}};
  for (size_t i = 0; i < overlay->zone_count; i++) {
    zones[i] = wall_zone_make(site, &overlay->zones[i], half_sway);
    walk.any_on |= overlay->zones[i].is_on;
  }
  double s = s_start, sigma = 0;
  for (size_t i = 0; i < leg_count; i++) {
    double s_end = s + dir * legs[i].s_length;
    double level = contour_offset_length(site->contour, offset, fmin(s, s_end), fmax(s, s_end));
    struct leg_walk leg = {&legs[i], s, sigma, level};
    leg_judge(&walk, &leg, dir, offset);
    s = s_end;
    sigma += legs[i].s_length;
  }
  struct stretches off = stretches_sift(&walk.off, ZONE_SLIVER);
  struct stretches on = stretches_rest(&off, 0, sigma);
  return stretches_sift(&on, ZONE_SLIVER);
}
