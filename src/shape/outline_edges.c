/* The parts of an outline as edges with tangents, and what a part alone can have wrong. */
#include "shape/outline.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/num.h"

/* Less than half a turn each: two bends come round only with half a turn apiece. */
enum { LEAST_BENDS = 3 };

/* A bend whose radius is half of its chord but for this share is half a turn. */
#define SAME_LENGTH 1e-6

double outline_angle(double angle) {
  return angle - NUM_TURN * floor(angle / NUM_TURN + 0.5);
}

const char *outline_edge_word(const struct outline_edge *edge) {
  return edge->turn == 0 ? "line" : "bend";
}

struct contour_seg outline_edge_seg(const struct outline_edge *edge) {
  struct sincos d = num_sincos(edge->heading0);
  return (struct contour_seg){.length = edge->length,
                              .start = edge->from,
                              .normal0 = edge->heading0 - NUM_PI / 2,
                              .turn = edge->turn,
                              .radius = edge->radius,
                              .centre = edge->centre,
                              .tangent = {d.cos, d.sin},
                              .part = edge->part};
}

static struct outline_edge straight_edge(vec2 from, vec2 to) {
  vec2 way = vec2_sub(to, from);
  double heading = num_atan2(way.y, way.x);
  return (struct outline_edge){.from = from,
                               .to = to,
                               .heading0 = heading,
                               .heading1 = heading,
                               .length = num_hypot(way.x, way.y)};
}

/* The chord's heading lies in the middle between those of both ends; the centre lies beside the
 * chord's middle. */
static void edge_bend(struct outline_edge *edge, double radius, bool centre_left) {
  double half = edge->length / 2, beside = sqrt((radius - half) * (radius + half));
  double sweep = num_atan2(half, beside); /* half of the turn */
  vec2 way = vec2_sub(edge->to, edge->from), left = {-way.y, way.x};
  edge->turn = centre_left ? 1 : -1;
  edge->radius = radius;
  edge->centre = vec2_add(vec2_add(edge->from, vec2_scale(way, 0.5)),
                          vec2_scale(left, edge->turn * beside / edge->length));
  edge->heading0 -= edge->turn * sweep;
  edge->heading1 += edge->turn * sweep;
  edge->length = 2 * sweep * radius;
}

static void bend_too_tight(const struct outline_part *part, double chord, struct diag_list *diags) {
  if (part->radius >= chord / 2 * (1 - SAME_LENGTH)) {
    struct diag *diag =
        diag_error(diags, DIAG_OUTLINE_RADIUS, part->place,
                   "this bend of radius %.9g mm is half a turn; a bend turns less", part->radius);
    diag_help(diag, "draw it as two bends");
    return;
  }
  diag_error(diags, DIAG_OUTLINE_RADIUS, part->place,
             "a bend of radius %.9g mm does not reach a point %.9g mm away; its radius must be "
             "more than %.9g mm",
             part->radius, chord, chord / 2);
}

static struct outline_edge edge_make(const struct outline_part *part, vec2 from, vec2 to,
                                     struct diag_list *diags) {
  struct outline_edge edge = straight_edge(from, to);
  edge.part = part;
  edge.place = part->place;
  edge.is_broken = true;
  if (edge.length < OUTLINE_SAME_POINT) {
    diag_error(diags, DIAG_OUTLINE_PART_SHORT, part->place,
               "this %s ends %.6g mm from where it starts; a part of an outline is %.6g mm long "
               "or more",
               part->is_bend ? "bend" : "line", edge.length, OUTLINE_SAME_POINT);
  } else if (part->is_bend && !(part->radius > edge.length / 2 * (1 + SAME_LENGTH * SAME_LENGTH))) {
    bend_too_tight(part, edge.length, diags);
  } else {
    edge.is_broken = false;
    if (part->is_bend)
      edge_bend(&edge, part->radius, part->centre_left);
  }
  return edge;
}

bool outline_bends_suffice(const struct shape *shape, struct diag_list *diags) {
  size_t bends = 0;
  for (size_t i = 0; i < shape->part_count; i++)
    bends += shape->parts[i].is_bend;
  if (bends >= LEAST_BENDS)
    return true;
  struct diag *diag = diag_error(diags, DIAG_OUTLINE_FEW_BENDS, shape->origin.head,
                                 "shape `%s` has %zu %s; an outline comes round with three or more",
                                 shape->name, bends, bends == 1 ? "bend" : "bends");
  diag_help(diag, "every corner is a `bend`, of less than half a turn");
  return false;
}

static double distance(vec2 a, vec2 b) {
  return num_hypot(a.x - b.x, a.y - b.y);
}

bool outline_edges(struct arena *arena, const struct shape *shape, struct diag_list *diags,
                   struct outline *outline) {
  *outline = (struct outline){
      .shape = shape, .edges = arena_alloc(arena, shape->part_count + 1, sizeof *outline->edges)};
  bool sound = true;
  vec2 at = shape->outline_from;
  for (size_t i = 0; i < shape->part_count; i++) {
    const struct outline_part *part = &shape->parts[i];
    bool closes = i > 0 && i + 1 == shape->part_count &&
                  distance(part->to, shape->outline_from) <= OUTLINE_SAME_POINT;
    vec2 to = closes ? shape->outline_from : part->to;
    outline->edges[outline->count] = edge_make(part, at, to, diags);
    sound = !outline->edges[outline->count++].is_broken && sound;
    at = to;
  }
  return sound;
}

static double degrees(double angle) {
  return fabs(outline_angle(angle)) * (180 / NUM_PI);
}

bool outline_close(struct outline *outline, struct diag_list *diags) {
  const struct shape *shape = outline->shape;
  struct outline_edge *first = &outline->edges[0], *last = &outline->edges[outline->count - 1];
  struct outline_edge closing = straight_edge(last->to, shape->outline_from);
  if (closing.length <= 0)
    return true;
  double at_last = outline_angle(closing.heading0 - last->heading1);
  double at_first = outline_angle(first->heading0 - closing.heading1);
  span from = origin_of_key(&shape->origin, "from");
  if (!last->is_broken && !first->is_broken && fabs(at_last) <= OUTLINE_JOINT_ANGLE &&
      fabs(at_first) <= OUTLINE_JOINT_ANGLE) {
    closing.place = from;
    outline->edges[outline->count++] = closing;
    return true;
  }
  struct diag *diag =
      diag_error(diags, DIAG_OUTLINE_OPEN, last->place,
                 "the outline does not close: it ends %.6g mm from `from`", closing.length);
  diag_note(diag, from, "it starts here");
  if (!last->is_broken && !first->is_broken)
    diag_help(diag,
              "end on (%.9g, %.9g) mm; a straight closes by itself only where it runs on tangent, "
              "here it would turn by %.4g deg where it begins and by %.4g deg where it ends",
              shape->outline_from.x, shape->outline_from.y, degrees(at_last), degrees(at_first));
  return false;
}
