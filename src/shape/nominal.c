/* Round, racetrack and rectangle as lists of lines and arcs.
 *
 * A rectangle goes round its four sides with a quarter arc after each; in a racetrack the sides
 * across are nothing, and two quarters make one half circle. */
#include "shape/nominal.h"

#include "borelay/num.h"
#include "shape/segments.h"

struct contour *contour_round(struct arena *arena, vec2 centre, double diameter, double turned) {
  double radius = diameter / 2;
  struct sincos zero = num_sincos(turned);
  struct contour_seg seg = {
      .length = NUM_TURN * radius,
      .start = {centre.x + radius * zero.cos, centre.y + radius * zero.sin},
      .normal0 = turned,
      .turn = 1,
      .radius = radius,
      .centre = centre,
      .tangent = {-zero.sin, zero.cos},
  };
  struct contour *contour = contour_from_segments(arena, &seg, 1, 0);
  contour->centre = centre;
  contour->turned = turned;
  return contour;
}

/* A frame at the shape's centre, turned with it. */
struct frame {
  vec2 origin, x_axis;
};

static vec2 frame_direction(const struct frame *frame, vec2 v) {
  vec2 y_axis = {-frame->x_axis.y, frame->x_axis.x};
  return vec2_add(vec2_scale(frame->x_axis, v.x), vec2_scale(y_axis, v.y));
}

static vec2 frame_point(const struct frame *frame, vec2 p) {
  return vec2_add(frame->origin, frame_direction(frame, p));
}

static struct contour_seg frame_line(const struct frame *frame, vec2 start, vec2 tangent,
                                     double length, double normal0) {
  return (struct contour_seg){
      .length = length,
      .start = frame_point(frame, start),
      .normal0 = normal0,
      .tangent = frame_direction(frame, tangent),
  };
}

/* An arc that bends left by `quarters` quarter turns. */
static struct contour_seg frame_arc(const struct frame *frame, vec2 centre, double radius,
                                    vec2 tangent, int quarters, double normal0) {
  vec2 normal = {tangent.y, -tangent.x};
  return (struct contour_seg){
      .length = quarters * (NUM_PI / 2) * radius,
      .start = frame_point(frame, vec2_add(centre, vec2_scale(normal, radius))),
      .normal0 = normal0,
      .turn = 1,
      .radius = radius,
      .centre = frame_point(frame, centre),
      .tangent = frame_direction(frame, tangent),
  };
}

static const vec2 side_tangent[4] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};

struct contour *contour_rectangle(struct arena *arena, vec2 centre, double length, double width,
                                  double corner, double turned) {
  struct sincos direction = num_sincos(turned);
  struct frame frame = {centre, {direction.cos, direction.sin}};
  double half_x = length / 2 - corner, half_y = width / 2 - corner; /* to the corners' centres */
  const vec2 corner_centre[4] = {
      {half_x, -half_y}, {half_x, half_y}, {-half_x, half_y}, {-half_x, -half_y}};
  struct contour_seg segs[8];
  for (int i = 0; i < 4; i++) {
    double normal0 = turned + (i - 1) * (NUM_PI / 2);
    double side = 2 * (i % 2 ? half_y : half_x);
    vec2 tangent = side_tangent[i], normal = {tangent.y, -tangent.x};
    vec2 start = vec2_add(corner_centre[(i + 3) % 4], vec2_scale(normal, corner));
    segs[2 * i] = frame_line(&frame, start, tangent, side, normal0);
    segs[2 * i + 1] = frame_arc(&frame, corner_centre[i], corner, tangent, 1, normal0);
  }
  struct contour *contour = contour_from_segments(arena, segs, 8, half_x);
  contour->centre = centre;
  contour->turned = turned;
  return contour;
}

struct contour *contour_racetrack(struct arena *arena, vec2 centre, double length, double width,
                                  double turned) {
  struct sincos direction = num_sincos(turned);
  struct frame frame = {centre, {direction.cos, direction.sin}};
  double radius = width / 2, half = (length - width) / 2;
  struct contour_seg segs[4];
  for (int i = 0; i < 2; i++) {
    double normal0 = turned + (2 * i - 1) * (NUM_PI / 2), side = i ? -1 : 1;
    vec2 tangent = side_tangent[2 * i];
    vec2 start = {-side * half, -side * radius};
    segs[2 * i] = frame_line(&frame, start, tangent, 2 * half, normal0);
    segs[2 * i + 1] = frame_arc(&frame, (vec2){side * half, 0}, radius, tangent, 2, normal0);
  }
  struct contour *contour = contour_from_segments(arena, segs, 4, half);
  contour->centre = centre;
  contour->turned = turned;
  return contour;
}
