/* random_job.h - whole jobs at random: bores of every kind in parts of several volumes, heads of
 * several bodies and guards.  Which job a seed makes depends on the order in which the compiler
 * evaluates arguments. */
#ifndef TESTS_SUPPORT_RANDOM_JOB_H
#define TESTS_SUPPORT_RANDOM_JOB_H

#include <stdarg.h>
#include <stdio.h>

#include "support/random.h"

struct job_writer {
  char text[16384];
  size_t length;
  struct random *random;
  double radius;    /* about what fits into the bore, mm */
  double top, deep; /* the bore's depths */
  double reach, drop, speed;
  int kind; /* of the bore */
};

__attribute__((format(printf, 2, 3))) static inline void put(struct job_writer *w,
                                                             const char *format, ...) {
  va_list list;
  va_start(list, format);
  w->length += (size_t)vsnprintf(w->text + w->length, sizeof w->text - w->length, format, list);
  va_end(list);
}

static inline double some(struct job_writer *w, double lo, double hi) {
  return random_between(w->random, lo, hi);
}
static inline bool one_in(struct job_writer *w, int n) {
  return random_whole(w->random, 1, n) == 1;
}

static inline void put_cell(struct job_writer *w) {
  double tick = one_in(w, 4) ? some(w, 10, 50) : some(w, 1, 4);
  double accel = some(w, 50, 120);
  put(w, "cell c {\n  tick %.3f ms; park (0, 0, 700) mm\n", tick);
  for (int axis = 0; axis < 3; axis++)
    put(w,
        "  axis %c { travel -12000 .. 12000 mm; speed 120 mm/s; accel %.1f mm/s2; jerk %.0f mm/s3 "
        "}\n",
        "xyz"[axis], accel, accel * some(w, 5, 15));
  put(w, "  axis head { travel endless; speed 60 deg/s; accel %.1f deg/s2; jerk 800 deg/s3 }\n",
      some(w, 30, 70));
  double torch = some(w, 2, 6), extension = some(w, 4, 9);
  put(w,
      "  torch {\n    reach %.3f mm; drop %.3f mm; electrode_extension %.3f mm; radius %.3f mm\n",
      w->reach, w->drop, extension, torch);
  if (one_in(w, 3))
    put(w, "    root (%.3f, %.3f) mm\n", some(w, -3, 3), -w->drop + some(w, -2, 30));
  for (int guards = random_whole(w->random, 0, 3), i = 0; i < guards; i++) {
    double side = one_in(w, 2) ? 1 : -1;
    double from[3] = {some(w, -8, w->reach * 0.5), side * some(w, 3, 9), -w->drop + some(w, 3, 60)};
    double to[3] = {some(w, 2, w->reach - extension), side * some(w, 3, 11),
                    -w->drop + some(w, -2, 8)};
    if (one_in(w, 4)) /* upright */
      to[0] = from[0], to[1] = from[1];
    if (one_in(w, 4)) /* level */
      to[2] = from[2];
    put(w,
        "    guard g%d { radius %.3f mm; from (%.3f, %.3f, %.3f) mm; to (%.3f, %.3f, %.3f) mm }\n",
        i, some(w, 0.5, 3), from[0], from[1], from[2], to[0], to[1], to[2]);
  }
  put(w, "  }\n");
  double split = -some(w, 0.2, 0.8) * w->drop;
  put(w, "  body lower { radius %.3f mm; heights %.3f .. %.3f mm }\n", some(w, 4, 12),
      -w->drop - some(w, 0, 12), split);
  if (!one_in(w, 3))
    put(w, "  body upper { radius %.3f mm; heights %.3f .. %.3f mm }\n", some(w, 6, 18), split,
        some(w, -20, 30));
  if (one_in(w, 2))
    put(w, "  body flange { radius %.3f mm; heights %.3f .. %.3f mm }\n", some(w, 20, 45),
        some(w, -60, -20), some(w, -10, 10));
  put(w, "  clearance 2 mm; torch_clearance 1 mm; correction %.3f mm\n}\n",
      one_in(w, 4) ? 0 : some(w, 0.1, 2));
}

static inline void put_procedure(struct job_writer *w, const char *name) {
  double wire = w->speed * some(w, 4, 10);
  put(w,
      "procedure %s {\n  process gtaw; current 205 A; voltage 11.5 V; travel_speed %.1f mm/min\n",
      name, w->speed);
  put(w, "  wire_diameter 1.2 mm; wire_feed_speed %.4f m/min; wire_density 8.44 g/cm3\n",
      wire / 1000);
  put(w, "  bead_width 8 mm; arc_length %.3f mm\n", some(w, 2, 4));
  put(w, "  preflow 0.2 s; upslope 0.3 s; downslope 1 s; postflow 0.2 s; touch_time %d ms\n",
      one_in(w, 2) ? 0 : 100);
  put(w, "  tie_in 5 mm; gas_flow 14 L/min\n}\n");
}

/* An outline about (x, y): a polygon of `corners` of which some may bend right, each rounded. */
static inline void put_outline(struct job_writer *w, const char *name, double radius, double x,
                               double y) {
  enum { MOST = 8 };
  int n = random_whole(w->random, 4, MOST), reversed = one_in(w, 2);
  double at[MOST][2], way[MOST][2], length[MOST], bend[MOST], round[MOST];
  for (int i = 0; i < n; i++) {
    double angle = 6.283185307 * (i + some(w, -0.2, 0.2)) / n * (reversed ? -1 : 1);
    double far = radius * some(w, 1.0, 1.6);
    at[i][0] = x + far * cos(angle);
    at[i][1] = y + far * sin(angle);
  }
  for (int i = 0; i < n; i++) { /* along the edge that ends at corner i */
    const double *from = at[(i + n - 1) % n];
    length[i] = hypot(at[i][0] - from[0], at[i][1] - from[1]);
    way[i][0] = (at[i][0] - from[0]) / length[i];
    way[i][1] = (at[i][1] - from[1]) / length[i];
  }
  for (int i = 0; i < n; i++) {
    const double *u = way[i], *v = way[(i + 1) % n];
    bend[i] = atan2(u[0] * v[1] - u[1] * v[0], u[0] * v[0] + u[1] * v[1]);
    double cut = 0.45 * fmin(length[i], length[(i + 1) % n]);
    round[i] = fmin(some(w, 0.5, 1) * cut / tan(fabs(bend[i]) / 2), 10 * radius);
  }
  for (int i = 0; i < n; i++) {
    double cut = round[i] * tan(fabs(bend[i]) / 2);
    const double *u = way[i], *v = way[(i + 1) % n];
    double ends[4] = {at[i][0] - cut * u[0], at[i][1] - cut * u[1], at[i][0] + cut * v[0],
                      at[i][1] + cut * v[1]};
    if (i == 0)
      put(w, "shape %s outline {\n  from (%.9f, %.9f) mm\n", name, ends[0], ends[1]);
    else
      put(w, "  line (%.9f, %.9f) mm\n", ends[0], ends[1]);
    put(w, "  bend { to (%.9f, %.9f) mm; radius %.9f mm; side %s }\n", ends[2], ends[3], round[i],
        bend[i] > 0 ? "left" : "right");
  }
  double cut = round[0] * tan(fabs(bend[0]) / 2);
  put(w, "  line (%.9f, %.9f) mm\n  centre (%.3f, %.3f) mm\n}\n", at[0][0] - cut * way[0][0],
      at[0][1] - cut * way[0][1], x, y);
}

/* A shape that a circle of the radius about fits into.  kind: 0 round, 1 racetrack, 2 rectangle,
 * 3 outline. */
static inline void put_kind(struct job_writer *w, int kind, const char *name, double radius,
                            double x, double y) {
  double width = 2 * radius, length = width + some(w, 5, 60);
  switch (kind) {
  case 0:
    put(w, "shape %s round { diameter %.3f mm; centre (%.3f, %.3f) mm }\n", name, width, x, y);
    break;
  case 1:
    put(w,
        "shape %s racetrack { length %.3f mm; width %.3f mm; centre (%.3f, %.3f) mm; turned %.2f "
        "deg }\n",
        name, length, width, x, y, some(w, 0, 180));
    break;
  case 3:
    put_outline(w, name, radius, x, y);
    break;
  default:
    put(w,
        "shape %s rectangle { length %.3f mm; width %.3f mm; corner %.3f mm; centre (%.3f, %.3f) "
        "mm; turned %.2f deg }\n",
        name, length, width, radius * some(w, 0.35, 0.9), x, y, some(w, 0, 180));
  }
}

static inline void put_shape(struct job_writer *w, const char *name, double radius, double x,
                             double y) {
  put_kind(w, random_whole(w->random, 0, 3), name, radius, x, y);
}

static inline void put_envelope(struct job_writer *w) {
  char volumes[2048] = "";
  size_t n = 0;
  w->top = one_in(w, 3) ? some(w, 10, 30) : one_in(w, 3) ? -some(w, 10, 30) : 0;
  w->deep = some(w, 70, 130);
  put_kind(w, w->kind, "bore", w->radius, some(w, -10, 10), some(w, -10, 10));
  n += (size_t)snprintf(volumes + n, sizeof volumes - n, "  free bore { depths %.3f .. %.3f mm }\n",
                        w->top, w->deep);
  if (w->top > 0) { /* a throat */
    put_shape(w, "throat", w->radius + some(w, -8, 4), some(w, -6, 6), some(w, -6, 6));
    n +=
        (size_t)snprintf(volumes + n, sizeof volumes - n, "  free throat { depths 0 .. %.3f mm }\n",
                         w->top + (one_in(w, 2) ? 0 : some(w, 0, 5)));
  } else if (w->top < 0) { /* a collar */
    put_shape(w, "collar", w->radius + some(w, 3, 30), 0, 0);
    n += (size_t)snprintf(volumes + n, sizeof volumes - n,
                          "  solid collar { depths %.3f .. %.3f mm }\n", w->top,
                          one_in(w, 2) ? 0 : 20.0);
  }
  if (one_in(w, 2)) { /* a narrower or wider bottom */
    put_shape(w, "bottom", w->radius * some(w, 0.4, 1.2), some(w, -10, 10), some(w, -10, 10));
    n += (size_t)snprintf(volumes + n, sizeof volumes - n,
                          "  free bottom { depths %.3f .. %.3f mm }\n",
                          w->deep - (one_in(w, 2) ? 0 : some(w, 0, 8)), w->deep + some(w, 5, 40));
  }
  if (one_in(w, 3)) { /* a pocket beside, which overlaps the bore in part */
    double from = some(w, 0, w->deep), angle = some(w, 0, 6.28);
    put_shape(w, "side", some(w, 10, 25), w->radius * cos(angle), w->radius * sin(angle));
    n += (size_t)snprintf(volumes + n, sizeof volumes - n,
                          "  free side { depths %.3f .. %.3f mm }\n", from, from + some(w, 5, 40));
  }
  if (one_in(w, 3)) { /* a post on the face, which the bore may cut */
    double angle = some(w, 0, 6.28), far = w->radius + some(w, 5, 40);
    put_shape(w, "post", some(w, 4, 20), far * cos(angle), far * sin(angle));
    n += (size_t)snprintf(volumes + n, sizeof volumes - n,
                          "  solid post { depths %.3f .. %.3f mm }\n", -some(w, 5, 60),
                          some(w, -4, 30));
  }
  put(w, "envelope e {\n%s}\n", volumes);
}

static inline void put_overlay(struct job_writer *w, const char *name) {
  static const char *const patterns[] = {"rings", "spiral", "stepped"};
  double band = some(w, 9, 16), least = fmax(w->top, 0);
  double from = least + some(w, 0, w->deep - least - band);
  int layers = random_whole(w->random, 1, 3);
  const char *pattern = patterns[random_whole(w->random, 0, 2)];
  put(w, "overlay %s {\n  wall bore; depths %.3f .. %.3f mm; procedure %s; pattern %s\n", name,
      from, from + band, one_in(w, 2) ? "p" : "q", pattern);
  put(w, "  overlap %d %%; layers %d; direction %s; progress %s\n", random_whole(w->random, 20, 50),
      layers, one_in(w, 2) ? "clockwise" : "anticlockwise", one_in(w, 2) ? "deeper" : "shallower");
  put(w, "  start_angle %.2f deg; retract %.3f mm; stagger %d mm\n", some(w, 0, 360),
      some(w, 1.5, 6),
      pattern[0] == 's' && pattern[1] == 't' ? 20 : random_whole(w->random, 0, 30));
  if (layers > 1 && one_in(w, 3))
    put(w, "  layer 2 { depths %.3f .. %.3f mm }\n", from - some(w, 0, 1),
        from + band - some(w, 0, 0.9));
  if (one_in(w, 4)) { /* crossed with the arc out */
    double begin = some(w, 0, 360);
    put(w, "  zone gap { arc off; angles %.1f .. %.1f deg }\n", begin, begin + some(w, 20, 120));
  }
  if (one_in(w, 3))
    put(w, "  entry (%.3f, %.3f) mm\n", some(w, -8, 8), some(w, -8, 8));
  if (one_in(w, 3))
    put(w, "  entry_angle %.2f deg\n", some(w, 0, 360));
  put(w, "}\n");
}

static inline void random_job_write(struct job_writer *w, struct random *random) {
  *w = (struct job_writer){.random = random};
  w->radius = some(w, 30, 55);
  w->reach = some(w, 15, w->radius * 0.75);
  w->drop = some(w, 140, 260);
  w->kind = random_whole(random, 0, 3);
  /* joints ask for less, and narrow bends for less still */
  w->speed = w->kind == 0 ? some(w, 200, 600) : some(w, 80, w->kind == 3 ? 110 : 240);
  put_cell(w);
  put_procedure(w, "p");
  put_procedure(w, "q");
  put_envelope(w);
  put_overlay(w, "first");
  if (one_in(w, 5))
    put_overlay(w, "second");
  put(w, "job \"random\" {\n  cell c; envelope e; safe_height %.3f mm\n", some(w, 40, 90));
  double far = one_in(w, 6) ? 9000 : 300; /* rounding grows with the coordinates */
  put(w, "  at (%.3f, %.3f, %.3f) mm; turned %.3f deg\n}\n", some(w, -far, far), some(w, -far, far),
      some(w, 100, 300), some(w, 0, 360));
}

#endif
