/* vec.h - points and vectors, passed by copy.  Millimetres unless said otherwise. */
#ifndef BORELAY_VEC_H
#define BORELAY_VEC_H

typedef struct vec2 {
  double x, y;
} vec2;

typedef struct vec3 {
  double x, y, z;
} vec3;

static inline vec2 vec2_add(vec2 a, vec2 b) {
  return (vec2){a.x + b.x, a.y + b.y};
}
static inline vec2 vec2_sub(vec2 a, vec2 b) {
  return (vec2){a.x - b.x, a.y - b.y};
}
static inline vec2 vec2_scale(vec2 a, double k) {
  return (vec2){a.x * k, a.y * k};
}
static inline double vec2_dot(vec2 a, vec2 b) {
  return a.x * b.x + a.y * b.y;
}
static inline double vec2_cross(vec2 a, vec2 b) {
  return a.x * b.y - a.y * b.x;
}

#endif
