/* digest.c - the cell's text is made of the values, not of the source: writing 25.4 mm for 1 in, or
 * a default in full, is the same cell. */
#include "borelay/digest.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/digits.h"
#include "borelay/num.h"

void digest_source(const struct source_set *sources, const struct job *job,
                   char text[SHA256_TEXT_SIZE]) {
  struct sha256 sha;
  sha256_begin(&sha);
  for (size_t i = 0; i < job->file_count; i++) {
    const struct source *source = source_get(sources, job->files[i].file);
    char length[DIGITS_ROOM + 1];
    char *end = digits_put(length, source->length, 0);
    *end = '\n';
    sha256_add(&sha, length, (size_t)(end + 1 - length));
    sha256_add(&sha, source->text, source->length);
  }
  for (size_t i = 0; i < job->setting_count; i++) {
    sha256_add_text(&sha, job->settings[i]);
    sha256_add_text(&sha, "\n");
  }
  sha256_end(&sha, text);
}

static double degrees(double angle) {
  return angle * (180.0 / NUM_PI);
}

/* " 12.500000".  A figure too large for six decimals (an axis without bounds, say) has none. */
static void put_value(FILE *to, double value) {
  if (!(fabs(value) < 1e12)) {
    fprintf(to, " %.0f", value);
    return;
  }
  char text[DIGITS_ROOM];
  char *end = digits_put(text, digits_scale(value, 6), 6);
  fprintf(to, " %.*s", (int)(end - text), text);
}

static void put_line(FILE *to, const char *key, const double *values, size_t count) {
  fputs(key, to);
  for (size_t i = 0; i < count; i++)
    put_value(to, values[i]);
  fputc('\n', to);
}
#define PUT_LINE(to, key, ...)                                                                     \
  put_line(to, key, (const double[]){__VA_ARGS__},                                                 \
           sizeof((const double[]){__VA_ARGS__}) / sizeof(double))

static void put_axis(FILE *to, const char *name, const struct axis_limits *axis, double unit) {
  fprintf(to, "axis %s", name);
  if (axis->endless) {
    fputs(" endless", to);
  } else {
    put_value(to, axis->travel.lo * unit);
    put_value(to, axis->travel.hi * unit);
  }
  PUT_LINE(to, "", axis->speed * unit, axis->accel * unit, axis->jerk * unit);
}

static void put_capsule(FILE *to, const char *key, const struct capsule *capsule) {
  PUT_LINE(to, key, capsule->radius, capsule->from.x, capsule->from.y, capsule->from.z,
           capsule->to.x, capsule->to.y, capsule->to.z);
}

static const char *wire_side_name(enum wire_side side) {
  switch (side) {
  case WIRE_SIDE_NONE:
    return "none";
  case WIRE_SIDE_LEFT:
    return "left";
  case WIRE_SIDE_RIGHT:
    return "right";
  }
  return "";
}

static void put_torch(FILE *to, const struct cell *cell) {
  PUT_LINE(to, "torch", cell->reach, cell->drop, cell->electrode_extension);
  put_capsule(to, "torch_body", &cell->torch);
  fprintf(to, "wire_side %s\n", wire_side_name(cell->wire_side));
  for (size_t i = 0; i < cell->guard_count; i++)
    put_capsule(to, "guard", &cell->guards[i]);
}

static void put_cell(FILE *to, const struct cell *cell) {
  fputs("borelay cell 1\n", to);
  PUT_LINE(to, "tick", cell->tick);
  PUT_LINE(to, "park", cell->park.x, cell->park.y, cell->park.z);
  PUT_LINE(to, "park_head", degrees(cell->park_head));
  put_axis(to, "x", &cell->axis[AXIS_X], 1);
  put_axis(to, "y", &cell->axis[AXIS_Y], 1);
  put_axis(to, "z", &cell->axis[AXIS_Z], 1);
  put_axis(to, "head", &cell->axis[AXIS_HEAD], degrees(1));
  put_torch(to, cell);
  for (size_t i = 0; i < cell->body_count; i++)
    PUT_LINE(to, "body", cell->bodies[i].radius, cell->bodies[i].heights.lo,
             cell->bodies[i].heights.hi);
  if (cell->has_working_range)
    PUT_LINE(to, "working_range", cell->range_from.x, cell->range_from.y, cell->range_from.z,
             cell->range_radius.lo, cell->range_radius.hi);
  for (size_t i = 0; i < cell->keep_out_count; i++) {
    vec3 lo = cell->keep_outs[i].lo, hi = cell->keep_outs[i].hi;
    PUT_LINE(to, "keep_out", lo.x, lo.y, lo.z, hi.x, hi.y, hi.z);
  }
  PUT_LINE(to, "clearance", cell->clearance);
  PUT_LINE(to, "torch_clearance", cell->torch_clearance);
  PUT_LINE(to, "correction", cell->correction);
}

char *digest_cell_text(const struct cell *cell) {
  char *text = NULL;
  size_t length = 0;
  FILE *to = open_memstream(&text, &length);
  if (!to)
    return NULL;
  put_cell(to, cell);
  bool failed = ferror(to);
  if (fclose(to) == 0 && !failed)
    return text;
  free(text);
  return NULL;
}

bool digest_cell(const struct cell *cell, char text[SHA256_TEXT_SIZE]) {
  char *layout = digest_cell_text(cell);
  if (!layout)
    return false;
  struct sha256 sha;
  sha256_begin(&sha);
  sha256_add_text(&sha, layout);
  sha256_end(&sha, text);
  free(layout);
  return true;
}
