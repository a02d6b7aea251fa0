/* loop.c - loops from contours, and which points they hold.
 *
 * A point is inside when the loop winds round it, told by the edges that a ray to +x crosses, each
 * counted with its sense; every edge is monotone in y, and takes its lower end but not its upper
 * one, so that a ray through a joint counts once. */
#include "metal/loop.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"

struct builder {
  struct loop *loop;
  struct arena *arena; /* NULL: the box is all that is wanted */
  size_t room;
};

static void add(struct builder *builder, struct edge edge) {
  struct loop *loop = builder->loop;
  if (edge.a.x == edge.b.x && edge.a.y == edge.b.y)
    return;
  if (builder->arena && loop->count == builder->room) {
    size_t room = builder->room ? 2 * builder->room : 4;
    loop->edges = arena_grow(builder->arena, loop->edges, loop->count, room, sizeof *loop->edges);
    builder->room = room;
  }
  if (builder->arena)
    loop->edges[loop->count] = edge;
  loop->box = loop->count ? box_join(loop->box, edge.box) : edge.box;
  loop->count++;
}

static vec2 quadrant_end(vec2 centre, double radius, int quadrant, int turn) {
  static const vec2 axis[4] = {{1, 0}, {0, 1}, {-1, 0}, {0, -1}};
  vec2 out = axis[turn > 0 ? (quadrant + 1) % 4 : quadrant];
  return vec2_add(centre, vec2_scale(out, radius));
}

/* An arc of any sweep up to a whole turn, cut where it passes from quadrant to quadrant.  sweep
 * (rad) only tells how many of them; the last part ends at b. */
static void add_arc(struct builder *builder, vec2 a, vec2 b, vec2 centre, double radius, int turn,
                    double sweep) {
  const double sliver = 1e-12; /* rad: a joint laid on an axis by rounding */
  const double right = NUM_TURN / 4;
  vec2 out = vec2_sub(a, centre), from = a;
  double angle = num_atan2(out.y, out.x) + NUM_TURN;
  int quadrant = (int)(turn > 0 ? floor(angle / right) : ceil(angle / right) - 1);
  double done = turn > 0 ? (quadrant + 1) * right - angle : angle - quadrant * right;
  quadrant %= 4;
  while (done < sweep - sliver) {
    vec2 to = quadrant_end(centre, radius, quadrant, turn);
    if (done > sliver) {
      add(builder, edge_arc(from, to, centre, radius, turn));
      from = to;
    }
    quadrant = (quadrant + (turn > 0 ? 1 : 3)) % 4;
    done += right;
  }
  add(builder, edge_arc(from, b, centre, radius, turn));
}

/* Unit normal into the metal at a point of a segment. */
static vec2 normal_at(const struct contour_seg *seg, vec2 p) {
  if (seg->turn == 0)
    return (vec2){seg->tangent.y, -seg->tangent.x};
  vec2 out = vec2_sub(p, seg->centre);
  return vec2_scale(out, seg->turn / num_hypot(out.x, out.y));
}

/* A segment's end p moved inward, radius kept >= 0. */
static vec2 moved(const struct contour_seg *seg, vec2 p, double thickness) {
  if (thickness == 0)
    return p;
  if (seg->turn > 0 && !(thickness < seg->radius))
    return seg->centre;
  return vec2_sub(p, vec2_scale(normal_at(seg, p), thickness));
}

/* Edges beyond which a loop has a tree of its own for distances, which serves all cross-sections
 * that it is whole in. */
enum { MANY = 64 };

enum { FEW = 16 }; /* edges that are looked at sooner than a tree of them */

static void trees_make(struct arena *arena, struct loop *loop) {
  if (loop->count <= FEW)
    return;
  struct box *boxes = arena_alloc(arena, loop->count + 1, sizeof *boxes);
  for (size_t i = 0; i < loop->count; i++)
    boxes[i] = loop->edges[i].box;
  loop->tree = box_tree_make(arena, boxes, loop->count);
  if (loop->count <= MANY)
    return;
  struct edge_tree *whole = arena_alloc(arena, 1, sizeof *whole);
  *whole = edge_tree_of(arena, loop->edges, loop->count, loop->tree);
  loop->whole = whole;
}

static void edges_make(struct builder *builder, const struct contour *contour,
                       const double *thickness) {
  vec2 first = {0, 0}, before = {0, 0};
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double inward = thickness ? thickness[i] : 0;
    vec2 a = moved(seg, seg->start, inward);
    vec2 b = moved(seg, contour->segs[(i + 1) % contour->count].start, inward);
    if (i == 0)
      first = a;
    else
      add(builder, edge_line(before, a));
    double radius = seg->radius - seg->turn * inward;
    if (seg->turn == 0)
      add(builder, edge_line(a, b));
    else if (radius > 0)
      add_arc(builder, a, b, seg->centre, radius, seg->turn, seg->length / seg->radius);
    before = b;
  }
  add(builder, edge_line(before, first));
}

struct loop loop_make(struct arena *arena, const struct contour *contour, const double *thickness,
                      enum metal_kind kind, size_t index) {
  struct loop loop = {0};
  edges_make(&(struct builder){&loop, arena, 0}, contour, thickness);
  for (size_t i = 0; i < loop.count; i++) {
    loop.edges[i].kind = kind;
    loop.edges[i].index = index;
  }
  trees_make(arena, &loop);
  return loop;
}

struct box loop_box(const struct contour *contour, const double *thickness) {
  struct loop loop = {.box = {{HUGE_VAL, HUGE_VAL}, {-HUGE_VAL, -HUGE_VAL}}};
  edges_make(&(struct builder){&loop, NULL, 0}, contour, thickness);
  return loop.box;
}

/* Whether the ray from p to +x crosses an edge whose heights hold p.y. */
static bool lies_right(const struct edge *edge, vec2 p) {
  if (edge->radius == 0) {
    double side = vec2_cross(vec2_sub(edge->b, edge->a), vec2_sub(p, edge->a));
    return edge->b.y > edge->a.y ? side > 0 : side < 0;
  }
  vec2 out = vec2_sub(p, edge->centre);
  bool within = vec2_dot(out, out) < edge->radius * edge->radius;
  return edge->right_half ? out.x <= 0 || within : out.x < 0 && !within;
}

static int winding_of(const struct edge *edge, vec2 p) {
  if (p.x > edge->box.hi.x || p.y < edge->box.lo.y || p.y >= edge->box.hi.y)
    return 0;
  if (p.x >= edge->box.lo.x && !lies_right(edge, p))
    return 0;
  return edge->b.y > edge->a.y ? 1 : -1;
}

void loop_walk_begin(struct loop_walk *walk, const struct loop *loop, const struct edge *beside,
                     double reach) {
  walk->loop = loop;
  walk->beside = beside;
  walk->reach = reach;
  walk->height = walk->place = walk->end = 0;
  if (loop->tree.node_count)
    walk->stack[walk->height++] = 0;
}

/* The nodes whose boxes are in reach, leaf by leaf. */
static const struct box_node *leaf_next(struct loop_walk *walk) {
  const struct box_node *nodes = walk->loop->tree.nodes;
  while (walk->height > 0) {
    size_t at = walk->stack[--walk->height];
    const struct box_node *node = &nodes[at];
    if (edge_is_off_box(walk->beside, node->box, walk->reach))
      continue;
    if (node->right == 0)
      return node;
    walk->stack[walk->height++] = node->right;
    walk->stack[walk->height++] = at + 1;
  }
  return NULL;
}

bool loop_walk_next(struct loop_walk *walk, size_t *edge) {
  for (;;) {
    while (walk->place < walk->end) {
      *edge = walk->loop->tree.order[walk->place++];
      if (!edge_is_off_box(walk->beside, walk->loop->edges[*edge].box, walk->reach))
        return true;
    }
    const struct box_node *leaf = leaf_next(walk);
    if (!leaf)
      return false;
    walk->place = leaf->first;
    walk->end = leaf->first + leaf->count;
  }
}

bool loop_holds(const struct loop *loop, vec2 p) {
  if (!box_holds(loop->box, p))
    return false;
  int winding = 0;
  if (loop->count <= FEW) {
    for (size_t i = 0; i < loop->count; i++)
      winding += winding_of(&loop->edges[i], p);
    return winding > 0;
  }
  struct loop_walk walk;
  struct edge ray = edge_line(p, (vec2){loop->box.hi.x, p.y});
  loop_walk_begin(&walk, loop, &ray, 0);
  for (const struct box_node *leaf; (leaf = leaf_next(&walk)) != NULL;)
    for (size_t i = leaf->first; i < leaf->first + leaf->count; i++)
      winding += winding_of(&loop->edges[loop->tree.order[i]], p);
  return winding > 0;
}

/* Where p lies on the edges looked at so far. */
struct on_search {
  const struct loop *loop;
  vec2 p;
  double least;
  size_t found;
  struct loop_place place;
};

static void look_at(struct on_search *search, size_t i) {
  struct loop_place *place = &search->place;
  double distance = edge_distance_point(&search->loop->edges[i], search->p);
  if (distance > search->least || (place->on && distance == search->least && i < search->found))
    return; /* of equals the last in the loop's order */
  search->least = distance;
  search->found = i;
  place->on = true;
  place->direction = edge_direction(&search->loop->edges[i], search->p);
}

struct loop_place loop_place_of(const struct loop *loop, vec2 p, double tolerance) {
  struct on_search search = {
      .loop = loop, .p = p, .least = tolerance, .place = {.inside = loop_holds(loop, p)}};
  struct box at = {p, p};
  if (box_gap2(loop->box, at) > tolerance * tolerance)
    return search.place;
  if (loop->count <= FEW) {
    for (size_t i = 0; i < loop->count; i++)
      if (box_gap2(loop->edges[i].box, at) <= tolerance * tolerance)
        look_at(&search, i);
    return search.place;
  }
  struct edge point = edge_line(p, p);
  struct loop_walk walk;
  size_t i;
  loop_walk_begin(&walk, loop, &point, tolerance);
  while (loop_walk_next(&walk, &i))
    look_at(&search, i);
  return search.place;
}
