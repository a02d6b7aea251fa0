/* locate.h - where in the work a row of a stream is: in words, in figures, and as the place at
 * which a broken-off weld can be taken up. */
#ifndef BORELAY_LOCATE_H
#define BORELAY_LOCATE_H

#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>

#include "borelay/contour.h"
#include "borelay/rows.h"

struct arena;

enum { LOCATE_NAME = 128 };

/* A row with what the stream's header says of it. */
struct located {
  struct borelay_row row;
  struct borelay_header header;
  char overlay[LOCATE_NAME];  /* name; "" where the row leads nowhere any more */
  char file[LOCATE_NAME];     /* base name of the file that declares it, as the header has it */
  char job_file[LOCATE_NAME]; /* of file 1 */
  uint32_t file_number;
};

/* Reads the stream as far as the row.  by_time: the last row at or before t_us; else the row.  What
 * hinders is told on standard error. */
struct locate_wish {
  bool by_time;
  uint64_t row, t_us;
};
enum locate_result {
  LOCATED,
  LOCATE_UNREADABLE, /* the file */
  LOCATE_WRONG_STREAM,
  LOCATE_NO_ROW
};
enum locate_result locate_row(const char *path, struct locate_wish wish, struct located *located);

/* The tip's place over a wall. */
struct wall_place {
  vec3 tip;      /* cell frame, mm */
  double depth;  /* below the datum face */
  bool has_wall; /* what follows needs the wall's contour */
  double along;  /* s of the nearest place of the shape, mm */
  double angle;  /* of that place about the shape's centre, from the part's +X, rad, in [0, 2 pi) */
  double distance; /* of the tip from the shape, mm > 0 in the bore */
};
/* contour NULL: only tip and depth. */
struct wall_place wall_place_find(const struct located *located, const struct contour *contour,
                                  double part_turned);

/* The contour of the overlay's wall, placed as the job places it; NULL: the job cannot be read, is
 * not the one that the stream was compiled from, or is refused (told on standard error).
 * is_readable: whether the files of the job could be read. */
const struct contour *locate_wall(struct arena *arena, const char *job_path, const char **settings,
                                  size_t setting_count, const struct located *located,
                                  double *part_turned, bool *is_readable);

void locate_print(const struct located *located, const struct wall_place *place, FILE *to);

#endif
