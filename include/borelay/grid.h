/* grid.h - a job at every point of a grid of its params: which points, what each came to, how that
 * is given out.  Who runs a job is the caller's affair.  docs/what-if.md. */
#ifndef BORELAY_GRID_H
#define BORELAY_GRID_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "borelay/emit.h"

struct arena;

/* More points than this are a mistake, or work for a night. */
#define GRID_POINTS_MOST 10000

/* One param and the values that it takes, as --set takes them. */
struct vary {
  const char *name;
  const char **values;
  size_t count; /* >= 1 */
};

/* Reads `NAME=lo..hi:n`, n values from lo to hi, both included and evenly apart, or `NAME=a,b,c`.
 * The ends are numbers, with one unit or none; a unit at the second holds for both.  false: *why
 * says in words what is wrong.  All of it in the arena. */
bool vary_read(struct arena *arena, const char *text, struct vary *vary, const char **why);

struct grid {
  const char *job; /* path as given */
  const struct vary *varies;
  size_t vary_count;
};
/* 1 where nothing varies; SIZE_MAX where there are more than that. */
size_t grid_points(const struct grid *grid);
/* Value of one param at a point; the last param changes from point to point. */
const char *grid_value(const struct grid *grid, size_t point, size_t vary);

/* What a job came to at one point.  Figures that a refused job did not get to are NAN, counts -1.
 */
struct grid_point {
  bool passed;
  const char *failed; /* the first check that does not hold, or the code of the first error */
  const char *why;    /* its message with its place */
  int64_t layers, laps, starts;       /* of all overlays */
  double thickness, flat;             /* mm, least true one and least at the valley floors */
  double iron;                        /* ratio, most of any overlay's last layer; NAN: not known */
  double arc_energy, heat_input;      /* kJ/mm, most of any layer */
  double cooling_least, cooling_most; /* s, t8/5 of any layer; NAN: not asked */
  double duration, arc_time;          /* s */
  double wire_length_m, wire_mass_kg, gas_l;
  const char *summary; /* JSON, as `check --json` gives it; NULL: not asked for, or there is none */
};
/* Texts go into the arena. */
struct grid_point grid_point_of(struct arena *arena, const struct outcome *outcome);
/* Of a job that could not be read. */
struct grid_point grid_point_unread(struct arena *arena, const char *path, int error);

/* The points in their order: a table for people, CSV (RFC 4180), JSON and a newline, the only one
 * with summaries. */
void grid_print(const struct grid *grid, const struct grid_point *points, FILE *to);
void grid_csv(const struct grid *grid, const struct grid_point *points, FILE *to);
void grid_json(const struct grid *grid, const struct grid_point *points, FILE *to);

#endif
