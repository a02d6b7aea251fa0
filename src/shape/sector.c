/* The stretches of a contour that lie between two rays from its centre.
 *
 * Both straights through the centre cut the contour into parts: whether a part lies inside
 * changes nowhere within it, so its middle decides.  The straights are cut backwards too: a cut
 * too many does no harm, and one that passes through the centre is not missed. */
#include "borelay/arena.h"
#include "borelay/num.h"
#include "shape/crossing.h"
#include "shape/segments.h"

/* Nearer to a ray than this (mm) counts as on it, hence inside: a straight side along the ray
 * would otherwise hang on the last bit. */
#define RAY_SLACK 1e-9
/* Stretches and gaps shorter than this (mm) do not count.  Where a ray only touches a bend of
 * radius R, rounding by e makes 2 sqrt(2 R e) of it: 9e-5 mm for R = 1 m and e = 1e-12 mm. */
#define SHORTEST_STRETCH 1e-4
/* A sector that lacks less than this (rad) is the whole turn. */
#define TURN_SLACK 1e-9

struct view { /* what lies between two rays */
  vec2 centre;
  vec2 lo, hi;    /* unit, along both rays */
  vec2 middle;    /* unit, between them */
  bool is_narrow; /* half a turn at most */
};

static vec2 direction_of(double angle) {
  struct sincos d = num_sincos(angle);
  return (vec2){d.cos, d.sin};
}

static struct view view_of(vec2 centre, struct range angles) {
  return (struct view){.centre = centre,
                       .lo = direction_of(angles.lo),
                       .hi = direction_of(angles.hi),
                       .middle = direction_of((angles.lo + angles.hi) / 2),
                       .is_narrow = angles.hi - angles.lo <= NUM_PI};
}

/* Up to half a turn a sector is where two half planes meet; beyond, what such a one leaves. */
static bool view_holds(const struct view *view, vec2 point) {
  vec2 arm = vec2_sub(point, view->centre);
  double after_lo = vec2_cross(view->lo, arm), before_hi = vec2_cross(arm, view->hi);
  double ahead = vec2_dot(view->middle, arm);
  if (view->is_narrow)
    return after_lo >= -RAY_SLACK && before_hi >= -RAY_SLACK && ahead >= 0;
  return after_lo >= -RAY_SLACK || before_hi >= -RAY_SLACK || ahead >= 0;
}

/* Where a segment begins, is cut and ends, mm after its start, rising. */
struct cuts {
  double u[6];
  size_t count;
};

static void cut_add(struct cuts *cuts, double u) {
  size_t i = cuts->count++;
  for (; i > 0 && cuts->u[i - 1] > u; i--)
    cuts->u[i] = cuts->u[i - 1];
  cuts->u[i] = u;
}

static struct cuts seg_cuts(const struct contour_seg *seg, const struct view *view) {
  struct cuts cuts = {{0}, 0};
  cut_add(&cuts, 0);
  cut_add(&cuts, seg->length);
  const vec2 rays[2] = {view->lo, view->hi};
  for (int k = 0; k < 2; k++) {
    struct seg_crossing crossings[2];
    size_t count = seg_crossings(seg, view->centre, rays[k], crossings);
    for (size_t i = 0; i < count; i++)
      cut_add(&cuts, crossings[i].u);
  }
  return cuts;
}

struct stretches {
  struct contour_stretch *all;
  size_t count;
};

/* Parts come in order; one that goes on where the last ended lengthens it. */
static void stretch_add(struct stretches *stretches, double from, double to) {
  struct contour_stretch *last =
      stretches->count > 0 ? &stretches->all[stretches->count - 1] : NULL;
  if (last && from - last->to <= SHORTEST_STRETCH)
    last->to = to;
  else
    stretches->all[stretches->count++] = (struct contour_stretch){from, to};
}

static void seg_collect(const struct contour_seg *seg, const struct view *view,
                        struct stretches *stretches) {
  struct cuts cuts = seg_cuts(seg, view);
  for (size_t i = 0; i + 1 < cuts.count; i++) {
    double middle = (cuts.u[i] + cuts.u[i + 1]) / 2;
    if (cuts.u[i + 1] > cuts.u[i] && view_holds(view, seg_point(seg, middle, 0).at))
      stretch_add(stretches, seg->s0 + cuts.u[i], seg->s0 + cuts.u[i + 1]);
  }
}

/* What ends at the whole perimeter goes on where the first begins at 0. */
static void join_over_zero(struct stretches *stretches, double perimeter) {
  if (stretches->count == 0)
    return;
  struct contour_stretch *first = &stretches->all[0];
  struct contour_stretch *last = &stretches->all[stretches->count - 1];
  if (first->from + perimeter - last->to > SHORTEST_STRETCH)
    return;
  if (first == last) {
    *first = (struct contour_stretch){0, perimeter};
    return;
  }
  last->to = first->to + perimeter;
  for (size_t i = 1; i < stretches->count; i++)
    stretches->all[i - 1] = stretches->all[i];
  stretches->count--;
}

static void drop_short(struct stretches *stretches) {
  size_t kept = 0;
  for (size_t i = 0; i < stretches->count; i++)
    if (stretches->all[i].to - stretches->all[i].from > SHORTEST_STRETCH)
      stretches->all[kept++] = stretches->all[i];
  stretches->count = kept;
}

size_t contour_sector(struct arena *arena, const struct contour *contour, struct range angles,
                      struct contour_stretch **out) {
  struct stretches stretches = {arena_alloc(arena, 5 * contour->count, sizeof *stretches.all), 0};
  struct view view = view_of(contour->centre, angles);
  if (angles.hi - angles.lo >= NUM_TURN - TURN_SLACK)
    stretch_add(&stretches, 0, contour->perimeter);
  else
    for (size_t i = 0; i < contour->count; i++)
      seg_collect(&contour->segs[i], &view, &stretches);
  join_over_zero(&stretches, contour->perimeter);
  drop_short(&stretches);
  *out = stretches.all;
  return stretches.count;
}

static void places_collect(const struct contour_seg *seg, vec2 centre, vec2 ray,
                           struct stretches *places) {
  struct seg_crossing met[2];
  size_t count = seg_crossings(seg, centre, ray, met);
  bool is_falling = count == 2 && met[0].u > met[1].u;
  for (size_t i = 0; i < count; i++) {
    const struct seg_crossing *at = &met[is_falling ? 1 - i : i];
    if (at->range > 0)
      stretch_add(places, seg->s0 + at->u, seg->s0 + at->u);
  }
}

size_t contour_sector_or_place(struct arena *arena, const struct contour *contour,
                               struct range angles, struct contour_stretch **out) {
  size_t count = contour_sector(arena, contour, angles, out);
  if (count > 0)
    return count;
  struct stretches places = {*out, 0};
  vec2 ray = direction_of((angles.lo + angles.hi) / 2);
  for (size_t i = 0; i < contour->count; i++)
    places_collect(&contour->segs[i], contour->centre, ray, &places);
  join_over_zero(&places, contour->perimeter);
  return places.count;
}
