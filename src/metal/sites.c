/* sites.c - boxes joined until none touches another. */
#include "metal/sites.h"

#include <stdlib.h>

#include "borelay/arena.h"

/* Boxes nearer than this belong together, mm: more than contours that count as one. */
static const double APART = 1e-3;

/* A wall's box holds its clad, whatever stands of it. */
static struct box wall_box(struct arena *arena, const struct plan_overlay *overlay,
                           const struct loop *wall) {
  struct box box = wall->box;
  for (int nominal = 0; nominal < 2; nominal++)
    for (size_t k = 1; k <= overlay->layer_count; k++)
      box = box_join(box, outline_box_of_clad(arena, overlay, k, nominal != 0));
  return box;
}

/* -- joining ------------------------------------------------------------------------- */

struct part { /* a volume, or an overlay's wall */
  struct box box;
  size_t index;
  bool is_overlay;
  size_t group; /* the first part of its group, when it is itself: its own place */
};

struct sweep {
  int axis;     /* 0: along x; 1: along y */
  size_t *open; /* groups that may touch what is still to come */
  size_t open_count;
};

static size_t group_of(struct part *parts, size_t i) {
  while (parts[i].group != i) {
    parts[i].group = parts[parts[i].group].group;
    i = parts[i].group;
  }
  return i;
}

static double low(const struct box *box, int axis) {
  return axis == 0 ? box->lo.x : box->lo.y;
}
static double high(const struct box *box, int axis) {
  return axis == 0 ? box->hi.x : box->hi.y;
}

static int by_low_end(const struct part *p, const struct part *q, int axis) {
  double a = low(&p->box, axis), b = low(&q->box, axis);
  if (a != b)
    return a < b ? -1 : 1;
  return p < q ? -1 : p > q;
}
static int by_low_x(const void *a, const void *b) {
  return by_low_end(*(const struct part *const *)a, *(const struct part *const *)b, 0);
}
static int by_low_y(const void *a, const void *b) {
  return by_low_end(*(const struct part *const *)a, *(const struct part *const *)b, 1);
}

/* Along which they lie farther apart. */
static int axis_of(struct part *const *list, size_t count) {
  struct box all = count > 0 ? list[0]->box : (struct box){{0, 0}, {0, 0}};
  for (size_t i = 1; i < count; i++)
    all = box_join(all, list[i]->box);
  return all.hi.x - all.lo.x >= all.hi.y - all.lo.y ? 0 : 1;
}

static void join(struct part *parts, size_t a, size_t b) {
  size_t first = a < b ? a : b, second = a < b ? b : a;
  parts[second].group = first;
  parts[first].box = box_join(parts[first].box, parts[second].box);
}

/* Joins a part with all groups of the sweep that it touches; those that end before it begins are
 * left behind.  What the joined box touches besides is for the next sweep. */
static bool meet(struct part *parts, struct sweep *sweep, struct part *part) {
  double from = low(&part->box, sweep->axis);
  size_t own = (size_t)(part - parts), kept = 0;
  bool joined = false;
  for (size_t k = 0; k < sweep->open_count; k++) {
    size_t other = sweep->open[k];
    if (high(&parts[other].box, sweep->axis) + APART < from)
      continue;
    if (box_gap2(parts[other].box, parts[own].box) > APART * APART) {
      sweep->open[kept++] = other;
      continue;
    }
    join(parts, own, other);
    own = group_of(parts, own);
    joined = true;
  }
  sweep->open[kept++] = own;
  sweep->open_count = kept;
  return joined;
}

/* One sweep over the groups from end to end; whether any were joined. */
static bool sweep_along(struct part *parts, struct sweep *sweep, struct part **list, size_t count) {
  bool joined = false;
  sweep->axis = axis_of(list, count);
  sweep->open_count = 0;
  qsort(list, count, sizeof *list, sweep->axis == 0 ? by_low_x : by_low_y);
  for (size_t i = 0; i < count; i++)
    joined |= meet(parts, sweep, list[i]);
  return joined;
}

static void groups_find(struct arena *arena, struct part *parts, size_t count) {
  struct part **list = arena_alloc(arena, count + 1, sizeof(struct part *));
  struct sweep sweep = {.open = arena_alloc(arena, count + 1, sizeof *sweep.open)};
  size_t left = count;
  for (size_t i = 0; i < count; i++) {
    parts[i].group = i;
    list[i] = &parts[i];
  }
  while (sweep_along(parts, &sweep, list, left)) {
    size_t kept = 0;
    for (size_t i = 0; i < left; i++)
      if (list[i]->group == (size_t)(list[i] - parts))
        list[kept++] = list[i];
    left = kept;
  }
}

/* -- the sites ------------------------------------------------------------------------ */

static struct part *parts_of(struct arena *arena, const struct plan *plan,
                             const struct outlines *outlines, size_t *count) {
  size_t volumes = plan->job->envelope->volume_count;
  struct part *parts = arena_alloc(arena, volumes + plan->overlay_count + 1, sizeof *parts);
  for (size_t i = 0; i < volumes; i++)
    parts[i] = (struct part){.box = outlines->volumes[i].box, .index = i};
  for (size_t i = 0; i < plan->overlay_count; i++)
    parts[volumes + i] =
        (struct part){.box = wall_box(arena, &plan->overlays[i], &outlines->walls[i]),
                      .index = i,
                      .is_overlay = true};
  *count = volumes + plan->overlay_count;
  return parts;
}

static bool stands_over_face(const struct plan *plan, const struct part *part) {
  if (!part->is_overlay)
    return plan->job->envelope->volumes[part->index].depths.lo < 0;
  const struct plan_overlay *overlay = &plan->overlays[part->index];
  for (size_t k = 0; k < overlay->layer_count; k++)
    if (overlay->layers[k].layer->depths.lo < 0)
      return true;
  return false;
}

static void site_add(struct site *site, const struct part *part, const struct plan *plan) {
  if (part->is_overlay)
    site->overlays[site->overlay_count++] = part->index;
  else
    site->volumes[site->volume_count++] = part->index;
  site->stands = site->stands || stands_over_face(plan, part);
}

static void lists_place(struct arena *arena, struct sites *sites, const size_t *volumes,
                        const size_t *overlays) {
  for (size_t i = 0; i < sites->count; i++) {
    sites->items[i].volumes = arena_alloc(arena, volumes[i] + 1, sizeof(size_t));
    sites->items[i].overlays = arena_alloc(arena, overlays[i] + 1, sizeof(size_t));
  }
}

struct sites sites_find(struct arena *arena, const struct plan *plan,
                        const struct outlines *outlines) {
  size_t count;
  struct part *parts = parts_of(arena, plan, outlines, &count);
  groups_find(arena, parts, count);
  struct sites sites = {.items = arena_alloc(arena, count + 1, sizeof *sites.items)};
  size_t *site_of = arena_alloc(arena, count + 1, sizeof *site_of);
  size_t *volumes = arena_alloc(arena, count + 1, sizeof *volumes);
  size_t *overlays = arena_alloc(arena, count + 1, sizeof *overlays);
  struct box *boxes = arena_alloc(arena, count + 1, sizeof *boxes);
  for (size_t i = 0; i < count; i++) { /* a group's first part comes before its others */
    size_t first = group_of(parts, i);
    if (first == i)
      site_of[i] = sites.count++;
    site_of[i] = site_of[first];
    (parts[i].is_overlay ? overlays : volumes)[site_of[i]]++;
  }
  lists_place(arena, &sites, volumes, overlays);
  sites.of_overlay = arena_alloc(arena, plan->overlay_count + 1, sizeof *sites.of_overlay);
  for (size_t i = 0; i < count; i++) {
    site_add(&sites.items[site_of[i]], &parts[i], plan);
    if (group_of(parts, i) == i)
      sites.items[site_of[i]].box = boxes[site_of[i]] = parts[i].box;
    if (parts[i].is_overlay)
      sites.of_overlay[parts[i].index] = site_of[i];
  }
  for (size_t i = 0; i < sites.count; i++)
    sites.any_stands = sites.any_stands || sites.items[i].stands;
  sites.tree = box_tree_make(arena, boxes, sites.count);
  return sites;
}

/* -- looking for them ------------------------------------------------------------------- */

void site_walk_begin(struct site_walk *walk, const struct sites *sites, struct box box) {
  walk->sites = sites;
  walk->box = box;
  walk->height = walk->leaf = walk->leaf_end = 0;
  if (sites->tree.node_count)
    walk->stack[walk->height++] = 0;
}

/* Nodes out of reach are passed over; a leaf is opened. */
static void open_leaf(struct site_walk *walk, double reach) {
  const struct box_node *nodes = walk->sites->tree.nodes;
  while (walk->leaf == walk->leaf_end && walk->height > 0) {
    size_t at = walk->stack[--walk->height];
    if (box_gap2(nodes[at].box, walk->box) > reach * reach)
      continue;
    if (nodes[at].right == 0) {
      walk->leaf = nodes[at].first;
      walk->leaf_end = nodes[at].first + nodes[at].count;
      return;
    }
    size_t left = at + 1, right = nodes[at].right;
    bool right_nearer =
        box_gap2(nodes[right].box, walk->box) < box_gap2(nodes[left].box, walk->box);
    walk->stack[walk->height++] = right_nearer ? left : right;
    walk->stack[walk->height++] = right_nearer ? right : left;
  }
}

bool site_walk_next(struct site_walk *walk, double reach, size_t *site) {
  for (;;) {
    open_leaf(walk, reach);
    if (walk->leaf == walk->leaf_end)
      return false;
    size_t candidate = walk->sites->tree.order[walk->leaf++];
    if (box_gap2(walk->sites->items[candidate].box, walk->box) > reach * reach)
      continue;
    *site = candidate;
    return true;
  }
}

size_t site_at(const struct sites *sites, vec2 p) {
  struct site_walk walk;
  size_t site;
  if (sites->count == 1)
    return box_holds(sites->items[0].box, p) ? 0 : 1;
  site_walk_begin(&walk, sites, (struct box){p, p});
  return site_walk_next(&walk, 0, &site) ? site : sites->count;
}
