/* wall.c - free inside, metal outside, within the tolerance, all round and over the whole band.
 *
 * The envelope has one cross-section between two depths at which a volume or the datum face begins
 * or ends, so one depth stands for all of them.  There the wall P(s), normal n into the metal, is
 * the envelope's face within the tolerance e when for every s metal lies within e of P(s) and P(s)
 * - e n(s) is free. Then the face passes between P and its place e further in, or within e of P.
 * The distance D from a place to metal changes by no more than the place moves.  So over a stretch
 * of half length h, middle m, D(P_m) + h <= e and D(P_m - e n_m) > h f prove it, f being the ratio
 * of the inner contour's length to the wall's; otherwise the stretch is halved, down to DECIDED mm,
 * where the middle decides.  A segment of the wall that is the face itself is proved at once
 * (wall_face.c).
 *
 * D is taken in space.  Half way down a slab more than 2 e high, what is within e is metal of this
 * very cross-section and there at every depth.  In a thinner one it may be metal above or below,
 * which other depths are farther from: there a stretch has a height too, which adds to h, down to
 * half heights of FLAT e, where the middle decides.
 *
 * Where zones keep the arc out over the whole height of the slab nothing is clad, and the wall may
 * be anything: the mouth of a port, a keyway, the wall beside the one strip that is clad. */
#include "check/wall.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/digits.h"
#include "borelay/metal.h"
#include "check/allowance.h"
#include "check/wall_face.h"

static const double NOMINAL_TOLERANCE = 0.5, DECIDED = 0.001, FAR = 1000; /* mm */
static const double FLAT = 1.0 / 16; /* of the tolerance: no lower, where a stretch has a height */

struct wall_judge {
  const struct metal *metal;
  const struct plan_overlay *overlay;
  const struct allowance *allowance; /* of its zones; NULL: none */
  struct range slab;                 /* depths */
  double tolerance, top, middle;     /* mm: height of the datum face; depth of the slab's middle */
  struct check_result *result;
  double worst;            /* of all, as a share of the tolerance */
  double s, off, depth_at; /* where */
  bool in_metal;           /* the wall lies inside metal there, else away from it */
};

static vec3 place(const struct wall_judge *judge, double s, double inward, double depth) {
  vec2 p = contour_at(judge->overlay->contour, s, inward).at;
  return (vec3){p.x, p.y, judge->top - depth};
}

static double from_metal(const struct wall_judge *judge, double s, double inward, double depth) {
  return metal_distance_point(judge->metal, place(judge, s, inward, depth)).distance;
}

/* How far the wall at s lies inside metal, measured along the normal; at least `from`, and no more
 * than FAR is looked for. */
static double sunk(const struct wall_judge *judge, double s, double from) {
  double far = 2 * from;
  while (far < FAR && metal_contains(judge->metal, place(judge, s, far, judge->middle))) {
    from = far;
    far *= 2;
  }
  for (int i = 0; i < 40; i++) {
    double mid = from + (far - from) / 2;
    if (metal_contains(judge->metal, place(judge, s, mid, judge->middle)))
      from = mid;
    else
      far = mid;
  }
  return fmin(from, FAR);
}

static void note(struct wall_judge *judge, double s, double depth, double off, bool in_metal) {
  off = off > WALL_ON_FACE ? off : 0;
  if (off / judge->tolerance <= judge->worst)
    return;
  judge->worst = off / judge->tolerance;
  judge->s = s;
  judge->off = off;
  judge->depth_at = depth;
  judge->in_metal = in_metal;
  judge->result->limit = judge->tolerance;
  judge->result->at = judge->overlay->overlay->origin.head;
}

/* No arc anywhere over s0 .. s1 in this slab. */
static bool is_shut(const struct wall_judge *judge, double s0, double s1) {
  return judge->allowance &&
         allowance_is_shut(judge->allowance, (struct wall_box){{s0, s1}, judge->slab});
}

/* A part of the wall on one segment. */
struct stretch {
  struct range s, depths; /* depths: only the middle in a slab of which that tells all */
  double ratio;           /* f of above */
};

static double middle_of(struct range range) {
  return range.lo + (range.hi - range.lo) / 2;
}

/* Where the wall is wrong the search goes on only as far as it may be wrong by 2 % more than was
 * seen already: that is for the message. */
static void judge_stretch(struct wall_judge *judge, struct stretch part) {
  double s = middle_of(part.s), depth = middle_of(part.depths), e = judge->tolerance;
  double out = from_metal(judge, s, 0, depth), in = from_metal(judge, s, e, judge->middle);
  double off = in > 0 ? fmax(out, e - in) : sunk(judge, s, e);
  if (in <= 0)
    part.depths = (struct range){depth, depth}; /* the same at every depth */
  double along = (part.s.hi - part.s.lo) / 2, high = (part.depths.hi - part.depths.lo) / 2;
  if (high <= FLAT * e)
    high = 0;
  bool wrong = off > e * (1 + CHECK_SLACK), shut = wrong && is_shut(judge, s, s);
  if (!shut)
    note(judge, s, depth, off, out < off);
  if (wrong ? off + along + high <= 1.02 * judge->worst * e
            : out + along + high <= e && in > along * part.ratio)
    return;
  if ((along <= DECIDED && high == 0) || (shut && is_shut(judge, part.s.lo, part.s.hi)))
    return;
  struct stretch first = part, second = part;
  if (along >= high)
    first.s.hi = second.s.lo = s;
  else
    first.depths.hi = second.depths.lo = depth;
  judge_stretch(judge, first);
  judge_stretch(judge, second);
}

static void judge_slab(struct wall_judge *judge, const struct plan *plan, struct range slab) {
  const struct contour *contour = judge->overlay->contour;
  judge->slab = slab;
  judge->top = plan->placement.at.z;
  judge->middle = middle_of(slab);
  bool is_thin = slab.hi - slab.lo <= 2 * judge->tolerance * (1 + CHECK_SLACK);
  struct range depths = is_thin ? slab : (struct range){judge->middle, judge->middle};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double ratio = 1;
    if (seg->turn != 0)
      ratio = fabs(1 - seg->turn * judge->tolerance / seg->radius);
    if (wall_on_face(judge->metal, contour, seg, judge->tolerance, judge->top - judge->middle))
      note(judge, seg->s0 + seg->length / 2, judge->middle, 0, false);
    else
      judge_stretch(judge, (struct stretch){{seg->s0, seg->s0 + seg->length}, depths, ratio});
  }
}

/* -- depths ----------------------------------------------------------------------------------- */

static int double_compare(const void *a, const void *b) {
  double x = *(const double *)a, y = *(const double *)b;
  return (x > y) - (x < y);
}

static bool in_band(const struct plan_overlay *overlay, double depth) {
  for (size_t k = 0; k < overlay->layer_count; k++) {
    struct range band = overlay->layers[k].layer->depths;
    if (depth > band.lo && depth < band.hi)
      return true;
  }
  return false;
}

struct cuts {
  double *depths; /* in order */
  size_t count;
};

/* Every depth at which the envelope changes. */
static struct cuts envelope_cuts(struct arena *arena, const struct envelope *envelope) {
  struct cuts cuts = {.depths = arena_alloc(arena, 2 * envelope->volume_count + 1, sizeof(double))};
  cuts.depths[cuts.count++] = 0; /* the datum face */
  for (size_t i = 0; i < envelope->volume_count; i++) {
    cuts.depths[cuts.count++] = envelope->volumes[i].depths.lo;
    cuts.depths[cuts.count++] = envelope->volumes[i].depths.hi;
  }
  qsort(cuts.depths, cuts.count, sizeof *cuts.depths, double_compare);
  return cuts;
}

/* The first one that is no shallower. */
static size_t cut_from(const struct cuts *cuts, double depth) {
  size_t lo = 0, hi = cuts->count;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (cuts->depths[middle] < depth)
      lo = middle + 1;
    else
      hi = middle;
  }
  return lo;
}

/* Those within what the layers span, and the edges of their bands. */
static struct cuts overlay_cuts(struct arena *arena, const struct cuts *envelope,
                                const struct plan_overlay *overlay) {
  struct range all = {HUGE_VAL, -HUGE_VAL};
  for (size_t k = 0; k < overlay->layer_count; k++) {
    all.lo = fmin(all.lo, overlay->layers[k].layer->depths.lo);
    all.hi = fmax(all.hi, overlay->layers[k].layer->depths.hi);
  }
  size_t first = cut_from(envelope, all.lo), end = first;
  while (end < envelope->count && envelope->depths[end] <= all.hi)
    end++;
  size_t room = end - first + 2 * overlay->layer_count;
  struct cuts cuts = {.depths = arena_alloc(arena, room, sizeof *cuts.depths)};
  for (size_t i = first; i < end; i++)
    cuts.depths[cuts.count++] = envelope->depths[i];
  for (size_t k = 0; k < overlay->layer_count; k++) {
    cuts.depths[cuts.count++] = overlay->layers[k].layer->depths.lo;
    cuts.depths[cuts.count++] = overlay->layers[k].layer->depths.hi;
  }
  qsort(cuts.depths, cuts.count, sizeof *cuts.depths, double_compare);
  return cuts;
}

static void judge_overlay(struct wall_judge *judge, const struct scene *scene,
                          const struct cuts *envelope, const struct plan_overlay *overlay) {
  const double thinnest = 1e-6; /* mm: two depths nearer than this are one */
  const struct shape *wall = overlay->overlay->wall;
  struct cuts cuts = overlay_cuts(scene->arena, envelope, overlay);
  judge->overlay = overlay;
  judge->allowance = allowance_make(scene->arena, scene->motion->plan, overlay);
  judge->tolerance =
      fmax(overlay->contour->taught ? wall->fit_tolerance : NOMINAL_TOLERANCE, DECIDED);
  for (size_t i = 1; i < cuts.count; i++) {
    struct range slab = {cuts.depths[i - 1], cuts.depths[i]};
    if (slab.hi - slab.lo > thinnest && in_band(overlay, middle_of(slab)))
      judge_slab(judge, scene->motion->plan, slab);
  }
}

struct check_result wall_check(const struct scene *scene) {
  const struct plan *plan = scene->motion->plan;
  struct check_result result = finding_not_asked("wall-in-envelope", "mm");
  const struct metal *bare = scene->motion->bare;
  if (!bare)
    bare = metal_make(scene->arena, plan, (struct clad_state){.layers = NULL});
  struct wall_judge judge = {.metal = bare, .result = &result, .worst = -1};
  struct cuts cuts = envelope_cuts(scene->arena, plan->job->envelope);
  const struct plan_overlay *worst = NULL;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    double before = judge.worst;
    judge_overlay(&judge, scene, &cuts, &plan->overlays[i]);
    if (judge.worst > before)
      worst = &plan->overlays[i];
  }
  if (!worst)
    return result;
  result.judged = true;
  result.worst = judge.off;
  result.passed = judge.worst <= 1 + CHECK_SLACK;
  if (!finding_is_told(scene, result.passed))
    return result;
  if (!result.passed && !judge.in_metal && judge.depth_at < 0)
    result.help = "a negative depth lies above the datum face, where only a `solid` is metal";
  vec2 p = contour_at(worst->contour, judge.s, 0).at;
  bool is_buried = judge.in_metal && judge.off > 0.999 * FAR;
  const char *side = judge.off < 1e-6  ? "on"
                     : !judge.in_metal ? "away from"
                     : is_buried       ? "in metal, with nothing free before it, not on"
                                       : "in the metal behind";
  if (!result.passed && !result.help && !is_buried)
    result.help =
        arena_format(scene->arena,
                     "at depth %.3f mm no `free` of the envelope leaves this wall: another "
                     "shape or other `depths` would do",
                     digits_shown(judge.depth_at, 3));
  if (is_buried && !result.passed) {
    result.told = arena_format(
        scene->arena, "no face of the envelope within %.0f mm, limit %.6g mm", FAR, result.limit);
    result.help = arena_format(
        scene->arena,
        "a `free` of the envelope must hold the bore before the wall, at depth %.3f mm",
        digits_shown(judge.depth_at, 3));
  }
  result.detail = arena_format(
      scene->arena,
      "wall of %s %s the envelope's face at depth %.3f mm, s = %.3f mm, x %.3f y %.3f mm",
      worst->overlay->name, side, digits_shown(judge.depth_at, 3), digits_shown(judge.s, 3),
      digits_shown(p.x, 3), digits_shown(p.y, 3));
  return result;
}
