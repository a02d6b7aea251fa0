/* hand_contour.h - contours and envelopes put together by hand, for tests that must not lean on
 * src/shape or on job files. */
#ifndef TESTS_HAND_CONTOUR_H
#define TESTS_HAND_CONTOUR_H

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"
#include "borelay/plan.h"

static const double hand_pi = 3.14159265358979323846;

static inline vec2 hand_polar(double length, double angle) {
  return (vec2){length * cos(angle), length * sin(angle)};
}

static inline void hand_add(struct contour *contour, struct contour_seg seg) {
  if (!(seg.length > 1e-9))
    return;
  seg.s0 = contour->perimeter;
  contour->segs[contour->count++] = seg;
  contour->perimeter += seg.length;
}

static inline struct contour *hand_contour(struct arena *arena, const char *name, size_t room) {
  struct contour *contour = arena_alloc(arena, 1, sizeof *contour);
  struct shape *shape = arena_alloc(arena, 1, sizeof *shape);
  shape->name = name;
  contour->shape = shape;
  contour->segs = arena_alloc(arena, room, sizeof *contour->segs);
  return contour;
}

static inline struct contour *hand_round(struct arena *arena, const char *name, vec2 centre,
                                         double radius, double start_angle) {
  struct contour *contour = hand_contour(arena, name, 1);
  hand_add(contour, (struct contour_seg){
                        .length = 2 * hand_pi * radius,
                        .start = vec2_add(centre, hand_polar(radius, start_angle)),
                        .normal0 = start_angle,
                        .turn = 1,
                        .radius = radius,
                        .centre = centre,
                        .tangent = hand_polar(1, start_angle + hand_pi / 2),
                    });
  contour->centre = centre;
  return contour;
}

/* An anticlockwise polygon whose corners are rounded with the given radii; corners that bend
 * right become convex bumps.  Two arcs that meet leave no line between them. */
static inline struct contour *hand_rounded(struct arena *arena, const char *name,
                                           const vec2 *corner, const double *radius, size_t n) {
  struct contour *contour = hand_contour(arena, name, 2 * n);
  vec2 *in = calloc(n, sizeof *in), *out = calloc(n, sizeof *out);
  double *bend = calloc(n, sizeof *bend);
  for (size_t i = 0; i < n; i++) {
    vec2 u = vec2_sub(corner[i], corner[(i + n - 1) % n]),
         v = vec2_sub(corner[(i + 1) % n], corner[i]);
    u = vec2_scale(u, 1 / hypot(u.x, u.y));
    v = vec2_scale(v, 1 / hypot(v.x, v.y));
    bend[i] = atan2(vec2_cross(u, v), vec2_dot(u, v));
    double cut = radius[i] * tan(fabs(bend[i]) / 2);
    in[i] = vec2_sub(corner[i], vec2_scale(u, cut));
    out[i] = vec2_add(corner[i], vec2_scale(v, cut));
  }
  for (size_t i = 0; i < n; i++) {
    vec2 line = vec2_sub(in[i], out[(i + n - 1) % n]),
         u = vec2_sub(corner[i], corner[(i + n - 1) % n]);
    double angle = atan2(u.y, u.x);
    vec2 tangent = vec2_scale(u, 1 / hypot(u.x, u.y)), left = {-tangent.y, tangent.x};
    int turn = bend[i] > 0 ? 1 : -1;
    hand_add(contour, (struct contour_seg){.length = hypot(line.x, line.y),
                                           .start = out[(i + n - 1) % n],
                                           .normal0 = angle - hand_pi / 2,
                                           .tangent = tangent});
    hand_add(contour,
             (struct contour_seg){.length = radius[i] * fabs(bend[i]),
                                  .start = in[i],
                                  .normal0 = angle - hand_pi / 2,
                                  .turn = turn,
                                  .radius = radius[i],
                                  .centre = vec2_add(in[i], vec2_scale(left, turn * radius[i])),
                                  .tangent = tangent});
  }
  free(in);
  free(out);
  free(bend);
  return contour;
}

/* Straights of the given length along +X before turning, half circles of radius. */
static inline struct contour *hand_rectangle(struct arena *arena, const char *name, vec2 centre,
                                             double length, double width, double corner_radius,
                                             double turned) {
  static const double sign[4][2] = {{-1, -1}, {1, -1}, {1, 1}, {-1, 1}};
  vec2 corner[4];
  double radius[4];
  for (int i = 0; i < 4; i++) {
    double x = sign[i][0] * length / 2, y = sign[i][1] * width / 2;
    corner[i].x = centre.x + x * cos(turned) - y * sin(turned);
    corner[i].y = centre.y + x * sin(turned) + y * cos(turned);
    radius[i] = corner_radius;
  }
  struct contour *contour = hand_rounded(arena, name, corner, radius, 4);
  contour->centre = centre;
  contour->turned = turned;
  return contour;
}

static inline struct contour *hand_racetrack(struct arena *arena, const char *name, vec2 centre,
                                             double straight, double radius, double turned) {
  return hand_rectangle(arena, name, centre, straight + 2 * radius, 2 * radius, radius, turned);
}

/* -- a plan with an envelope, and overlays where wanted ------------------------------ */

enum { HAND_MOST = 16 };

struct hand_scene {
  struct arena *arena;
  struct plan plan;
  struct job job;
  struct cell cell;
  struct envelope envelope;
  struct volume volumes[HAND_MOST];
  const struct contour *contours[HAND_MOST];
  struct plan_overlay overlays[HAND_MOST];
};

static inline void hand_scene_begin(struct hand_scene *scene, struct arena *arena, double face_z) {
  *scene = (struct hand_scene){.arena = arena};
  scene->plan.job = &scene->job;
  scene->plan.placement.at.z = face_z;
  scene->plan.volume_contours = scene->contours;
  scene->plan.overlays = scene->overlays;
  scene->job.envelope = &scene->envelope;
  scene->job.cell = &scene->cell;
  scene->envelope.volumes = scene->volumes;
}

static inline void hand_volume(struct hand_scene *scene, bool is_free,
                               const struct contour *contour, double depth_lo, double depth_hi) {
  size_t i = scene->envelope.volume_count++;
  scene->volumes[i].is_free = is_free;
  scene->volumes[i].shape = contour->shape;
  scene->volumes[i].depths = (struct range){depth_lo, depth_hi};
  scene->contours[i] = contour;
}

/* An overlay with layers of the nominal thicknesses, each over its own band. */
static inline void hand_overlay(struct hand_scene *scene, const char *name,
                                const struct contour *contour, size_t layers,
                                const double *thickness, const struct range *bands) {
  struct plan_overlay *overlay = &scene->overlays[scene->plan.overlay_count++];
  struct overlay *source = arena_alloc(scene->arena, 1, sizeof *source);
  source->name = name;
  source->wall = contour->shape;
  overlay->overlay = source;
  overlay->contour = contour;
  overlay->layers = arena_alloc(scene->arena, layers, sizeof *overlay->layers);
  overlay->layer_count = layers;
  double offset = 0;
  for (size_t k = 0; k < layers; k++) {
    struct layer *layer = arena_alloc(scene->arena, 1, sizeof *layer);
    layer->depths = bands[k];
    overlay->layers[k].layer = layer;
    overlay->layers[k].number = (int64_t)k + 1;
    overlay->layers[k].offset = offset;
    overlay->layers[k].thickness = thickness[k];
    overlay->layers[k].thicknesses = (struct range){thickness[k], thickness[k]};
    offset += thickness[k];
  }
}

#endif
