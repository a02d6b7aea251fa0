/* Jobs of any size.  The shop is made up; its figures are plausible, not qualified. */
#include "bench/jobs.h"

#include <math.h>
#include <stdio.h>

static const double PI = 3.14159265358979323846;

static double depth_of(const struct bench_job *job) {
  return 48 + 4.0 * (job->laps - 1);
}

static void put_cell(FILE *to, const struct bench_job *job) {
  double drop = fmax(1700, depth_of(job) + 100);
  fprintf(
      to,
      "cell bench {\n  tick %s; park (0, -200, %.3f) mm\n"
      "  axis x { travel -900000 .. 900000 mm; speed 200 mm/s; accel 600 mm/s2\n"
      "    jerk 6000 mm/s3 }\n"
      "  axis y { travel -9000 .. 9000 mm; speed 200 mm/s; accel 600 mm/s2; jerk 6000 mm/s3 }\n"
      "  axis z { travel -9000 .. 90000 mm; speed 200 mm/s; accel 600 mm/s2; jerk 6000 mm/s3 }\n"
      "  axis head { travel endless; speed 90 deg/s; accel 200 deg/s2; jerk 2000 deg/s3 }\n"
      "  torch { reach 26 mm; drop %.3f mm; electrode_extension 6 mm; radius 5 mm\n"
      "    guard wire { radius 3 mm; from (8, -8, %.3f) mm; to (16, -8, %.3f) mm } }\n"
      "  body lower { radius 10 mm; heights %.3f .. 0 mm }\n"
      "  body upper { radius 60 mm; heights 0 .. 300 mm }\n"
      "}\n",
      job->tick, drop + 900, drop, 40 - drop, 10 - drop, -drop - 5);
}

static void put_procedure(FILE *to, const char *name) {
  fprintf(to,
          "procedure %s { process gtaw; current 200 A; voltage 11.5 V; travel_speed 240 mm/min\n"
          "  wire_diameter 1.2 mm; wire_feed_speed 1.5 m/min; wire_density 8.4 g/cm3\n"
          "  bead_width 8 mm; arc_length 3 mm; preflow 1 s; upslope 1 s; downslope 2 s\n"
          "  postflow 3 s; tie_in 6 mm; gas_flow 12 L/min\n"
          "  limit { current 180 .. 230 A; arc_energy 0.3 .. 1.2 kJ/mm }\n"
          "}\n",
          name);
}

/* A round-ish outline: by turns a short straight and a bend, tangent all the way round. */
static void put_outline(FILE *to, const char *name, const struct bench_job *job) {
  int corners = job->segments / 2;
  double step = 2 * PI / corners, across = (job->diameter / 2 + 3) / cos(step / 2);
  double cut = across * sin(step / 2) * 0.5; /* how much of each side's half a bend takes */
  double radius = cut / tan(step / 2);
  fprintf(to, "shape %s outline {\n", name);
  for (int i = 0; i <= corners; i++) {
    double at = step * i, side = step * (i + 0.5);
    double corner_x = across * cos(at), corner_y = across * sin(at);
    double out_x = corner_x - cut * sin(side), out_y = corner_y + cut * cos(side);
    double in_x = corner_x + cut * sin(side - step), in_y = corner_y - cut * cos(side - step);
    if (i == 0) {
      fprintf(to, "  from (%.9f, %.9f) mm\n", out_x, out_y);
      continue;
    }
    fprintf(to, "  line (%.9f, %.9f) mm\n", in_x, in_y);
    if (i == corners)
      fprintf(to, "  bend { to (%.9f, %.9f) mm; radius %.9f mm; side left }\n",
              across - cut * sin(step / 2), cut * cos(step / 2), radius);
    else
      fprintf(to, "  bend { to (%.9f, %.9f) mm; radius %.9f mm; side left }\n", out_x, out_y,
              radius);
  }
  fprintf(to, "}\n");
}

/* Bends of two radii by turns, tangent all the way round. */
static void put_bends(FILE *to, const char *name, const struct bench_job *job) {
  double step = 2 * PI / job->segments, x = job->diameter / 2 + 3, y = 0;
  fprintf(to, "shape %s outline {\n  from (%.9f, %.9f) mm\n", name, x, y);
  for (int i = 0; i < job->segments; i++) {
    double radius = job->diameter / 2 + 3 + (i % 2 ? 0.2 : -0.2);
    double chord = 2 * radius * sin(step / 2), heading = PI / 2 + step * (i + 0.5);
    bool is_last = i + 1 == job->segments;
    x = is_last ? job->diameter / 2 + 3 : x + chord * cos(heading);
    y = is_last ? 0 : y + chord * sin(heading);
    fprintf(to, "  bend { to (%.9f, %.9f) mm; radius %.9f mm; side left }\n", x, y, radius);
  }
  fprintf(to, "}\n");
}

static void put_bore(FILE *to, int index, const struct bench_job *job, double depth) {
  double centre = index * (job->diameter + 60);
  bool outlined = index == 0 && job->clads_outline;
  fprintf(to, "shape bore_%d round { diameter %.3f mm; centre (%.3f, 0) mm }\n", index,
          job->diameter, centre);
  fprintf(to,
          "overlay wall_%d {\n  wall %s_%d; depths 40 .. %.3f mm; procedure p; layers %d\n"
          "  overlap 50 %%; retract 4 mm\n}\n",
          index, outlined ? "cavity" : "bore", index, depth, job->layers);
}

static void put_grooves(FILE *to, int index, const struct bench_job *job) {
  for (int k = 1; k < job->volumes; k++)
    fprintf(to, "shape relief_%d_%d round { diameter %.3f mm; centre (%.3f, %.3f) mm }\n", index, k,
            job->diameter + 4 + k % 7, index * (job->diameter + 60), 0.1 * (k % 3));
}

static void put_free(FILE *to, int index, const struct bench_job *job, double depth, bool grooved) {
  fprintf(to, "  free bore_%d { depths 0 .. %.3f mm }\n", index, depth + 60);
  for (int k = 1; grooved && k < job->volumes; k++) /* above the band */
    fprintf(to, "  free relief_%d_%d { depths %.3f .. %.3f mm }\n", index, k,
            2 + 30.0 * (k - 1) / job->volumes, 2 + 30.0 * (k - 0.5) / job->volumes);
}

static void put_envelope(FILE *to, const struct bench_job *job, double depth) {
  int grooved = job->grooved > 0 ? job->grooved : job->overlays;
  for (int i = 0; i < grooved; i++)
    put_grooves(to, i, job);
  fprintf(to, "envelope block {\n");
  if (job->segments > 0)
    fprintf(to, "  free cavity_0 { depths 0 .. %.3f mm }\n",
            job->clads_outline ? depth + 60 : 34 /* above the band */);
  for (int i = 0; i < job->overlays; i++)
    put_free(to, i, job, depth, i < grooved);
  fprintf(to, "}\n");
}

bool bench_job_write(const char *path, const struct bench_job *job) {
  FILE *to = fopen(path, "w");
  if (!to)
    return false;
  double depth = depth_of(job);
  put_cell(to, job);
  put_procedure(to, "p");
  for (int i = 0; i < job->filler_lines / 6; i++) {
    char name[40];
    snprintf(name, sizeof name, "spare_%d", i);
    put_procedure(to, name);
  }
  if (job->segments > 0 && job->clads_outline)
    put_bends(to, "cavity_0", job);
  else if (job->segments > 0)
    put_outline(to, "cavity_0", job);
  for (int i = 0; i < job->overlays; i++)
    put_bore(to, i, job, depth);
  put_envelope(to, job, depth);
  fprintf(to,
          "job \"measured\" { cell bench; envelope block; safe_height 40 mm; at (0, 0, 0) mm }\n");
  return fclose(to) == 0;
}

struct bench_job bench_two_hours(const char *tick) {
  return (struct bench_job){
      .tick = tick, .diameter = 92, .laps = 98, .layers = 1, .volumes = 5, .overlays = 1};
}

struct bench_job bench_twelve_hours(const char *tick) {
  struct bench_job job = bench_two_hours(tick);
  job.laps = 598;
  return job;
}

struct bench_job bench_small(void) {
  return (struct bench_job){
      .tick = "20 ms", .diameter = 92, .laps = 2, .layers = 1, .volumes = 1, .overlays = 1};
}
