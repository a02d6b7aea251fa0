/* Pieces of motion as straight lines.
 *
 * Over a time h a curve whose acceleration is nowhere above a is never farther than a h^2/8 from
 * the point that runs evenly from its one end to its other (the error of linear interpolation); a
 * piece is halved until the bound on its tip's acceleration makes that less than TIP_CHORD. */
#include "compare/tip_course.h"

#include "borelay/arena.h"
#include "borelay/num.h"

struct maker {
  struct arena *arena;
  const struct motion *motion;
  struct sincos turned; /* of the part */
  struct tip_course way;
  size_t room;
};

static vec3 tip_of(const struct maker *maker, const struct piece *piece, double t) {
  const struct job *job = maker->motion->plan->job;
  const struct placement *placement = &maker->motion->plan->placement;
  struct pose pose = piece_at(piece, t);
  struct sincos head = num_sincos(pose.head);
  double x = pose.x + job->cell->reach * head.cos - placement->at.x;
  double y = pose.y + job->cell->reach * head.sin - placement->at.y;
  return (vec3){x * maker->turned.cos + y * maker->turned.sin,
                y * maker->turned.cos - x * maker->turned.sin,
                pose.z - job->cell->drop - placement->at.z};
}

static void add(struct maker *maker, const struct tip_line *line) {
  struct tip_course *way = &maker->way;
  if (way->count == maker->room) {
    maker->room = 2 * maker->room + 1024;
    way->lines = arena_grow(maker->arena, way->lines, way->count, maker->room, sizeof *way->lines);
  }
  way->lines[way->count++] = *line;
}

enum { DEEPEST = 40 }; /* halvings: a piece of a day would be shorter than a nanosecond */

static void split(struct maker *maker, const struct piece *piece, const struct tip_line *line,
                  int depth) {
  double h = line->tb - line->ta;
  double accel =
      piece_point_bound(piece, line->ta, line->tb, maker->motion->plan->job->cell->reach).accel;
  if (accel * h * h <= 8 * TIP_CHORD || depth >= DEEPEST) {
    add(maker, line);
    return;
  }
  double middle = line->ta + h / 2;
  vec3 at = tip_of(maker, piece, middle);
  struct tip_line first = {line->from, at, line->ta, middle, line->phase};
  struct tip_line second = {at, line->to, middle, line->tb, line->phase};
  split(maker, piece, &first, depth + 1);
  split(maker, piece, &second, depth + 1);
}

static void add_phase(struct maker *maker, const struct phase *phase) {
  struct piece_iter iter;
  struct piece piece;
  piece_iter_begin(&iter, maker->motion, phase);
  while (piece_iter_next(&iter, &piece)) {
    struct tip_line line = {tip_of(maker, &piece, piece.t0), tip_of(maker, &piece, piece.t1),
                            piece.t0, piece.t1, phase};
    split(maker, &piece, &line, 0);
  }
  piece_iter_release(&iter);
}

struct tip_course tip_course_make(struct arena *arena, const struct motion *motion, bool arc) {
  struct maker maker = {.arena = arena, .motion = motion};
  maker.turned = num_sincos(motion->plan->placement.turned);
  for (size_t i = 0; i < motion->phase_count; i++)
    if (motion->phases[i].arc == arc)
      add_phase(&maker, &motion->phases[i]);
  return maker.way;
}

vec3 tip_line_at(const struct tip_line *line, double share) {
  return (vec3){line->from.x + share * (line->to.x - line->from.x),
                line->from.y + share * (line->to.y - line->from.y),
                line->from.z + share * (line->to.z - line->from.z)};
}
