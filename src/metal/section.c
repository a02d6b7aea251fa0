/* section.c - what is metal in a cross-section, and distances to it. */
#include "metal/section.h"

#include <math.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "metal/boundary.h"
#include "metal/region.h"

struct section {
  struct section_loop *loops;
  size_t loop_count;
  bool background;
  struct boundary boundary;
  vec2 middle; /* of the first free loop */
  double open; /* mm, no metal is nearer to it; INFINITY: there is none at all */
};

bool section_is_metal(const struct section_loop *loops, size_t count, bool background,
                      const bool *inside) {
  bool metal = background, is_free = false;
  for (size_t i = 0; i < count; i++) {
    if (!inside[i])
      continue;
    switch (loops[i].role) {
    case ROLE_FREE:
      is_free = true;
      break;
    case ROLE_SOLID:
      metal = true;
      break;
    case ROLE_CLAD_WALL:
      if (!inside[i + 1])
        return true;
      break;
    case ROLE_CLAD_FACE:
      break;
    }
  }
  return metal && !is_free;
}

bool section_holds(const struct section *section, vec2 p) {
  bool metal = section->background, is_free = false;
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_CLAD_FACE || !loop_holds(&item->loop, p))
      continue;
    if (item->role == ROLE_FREE)
      is_free = true;
    else if (item->role == ROLE_SOLID)
      metal = true;
    else if (!loop_holds(&section->loops[i + 1].loop, p))
      return true;
  }
  return metal && !is_free;
}

bool section_has_metal(const struct section *section) {
  return section->background || section->boundary.parts.edge_count > 0 ||
         section->boundary.whole_count > 0;
}

bool section_find_free(const struct section *section, vec2 p, size_t *index) {
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_FREE && loop_holds(&item->loop, p)) {
      *index = item->index;
      return true;
    }
  }
  return false;
}

const struct section_loop *section_owner(const struct section *section, vec2 p) {
  for (size_t i = 0; i < section->loop_count; i++) {
    const struct section_loop *item = &section->loops[i];
    if (item->role == ROLE_SOLID && loop_holds(&item->loop, p))
      return item;
    if (item->role == ROLE_CLAD_WALL && loop_holds(&item->loop, p) &&
        !loop_holds(&section->loops[i + 1].loop, p))
      return item;
  }
  return NULL;
}

vec2 section_beside(const struct section *section, const struct edge *edge, vec2 p) {
  const double inward = 1e-3, aside = 10 * SECTION_TOGETHER;
  vec2 near = edge_nearest(edge, p), middle = edge_middle(edge);
  near = edge_nearest(edge, vec2_add(near, vec2_scale(vec2_sub(middle, near), inward)));
  vec2 along = edge_direction(edge, near);
  vec2 across = vec2_scale((vec2){-along.y, along.x}, aside / num_hypot(along.x, along.y));
  vec2 left = vec2_add(near, across);
  return section_holds(section, left) ? left : vec2_sub(near, across);
}

bool section_is_of(const struct section *section, const struct section_loop *loops, size_t count,
                   bool background) {
  if (section->loop_count != count || section->background != background)
    return false;
  for (size_t i = 0; i < count; i++) {
    const struct section_loop *own = &section->loops[i];
    if (own->role != loops[i].role || own->index != loops[i].index ||
        own->layers != loops[i].layers)
      return false;
  }
  return true;
}

/* -- the disc without metal ---------------------------------------------------- */

static vec2 middle_of_free(const struct section *section) {
  for (size_t i = 0; i < section->loop_count; i++) {
    struct box box = section->loops[i].loop.box;
    if (section->loops[i].role == ROLE_FREE)
      return vec2_scale(vec2_add(box.lo, box.hi), 0.5);
  }
  return (vec2){0, 0};
}

static double distance_from(vec2 p, vec2 q) {
  return num_hypot(q.x - p.x, q.y - p.y);
}

bool section_is_open(const struct section *section, vec2 p, vec2 q, double reach) {
  double to_p = distance_from(section->middle, p), to_q = distance_from(section->middle, q);
  return (to_p > to_q ? to_p : to_q) + reach <= section->open;
}

/* -- distances ---------------------------------------------------------------- */

static double boundary_distance(const struct boundary *boundary, vec2 p, vec2 q, double cap,
                                const struct edge **nearest) {
  double least = edge_tree_distance(&boundary->parts, p, q, cap, nearest);
  for (size_t i = 0; i < boundary->whole_count; i++) {
    const struct edge *edge;
    double distance =
        edge_tree_distance(boundary->wholes[i], p, q, least < cap ? least : cap, &edge);
    if (!edge)
      continue;
    least = distance;
    *nearest = edge;
  }
  return least;
}

const struct edge *section_edge_beside(const struct section *section, vec2 p, double within) {
  const struct edge *edge = NULL;
  boundary_distance(&section->boundary, p, p, within, &edge);
  return edge;
}

struct section_hit section_distance(const struct section *section, vec2 p, vec2 q, double cap) {
  if (!isinf(cap) && section_is_open(section, p, q, cap))
    return (struct section_hit){HUGE_VAL, NULL};
  if (section_holds(section, p))
    return (struct section_hit){0, NULL};
  struct section_hit hit = {HUGE_VAL, NULL};
  hit.distance = boundary_distance(&section->boundary, p, q, cap, &hit.edge);
  return hit;
}

/* -- all of it ----------------------------------------------------------------- */

struct section *section_make(struct arena *arena, const struct section_loop *loops, size_t count,
                             bool background) {
  struct section *section = arena_alloc(arena, 1, sizeof *section);
  section->loops = arena_alloc(arena, count + 1, sizeof *section->loops);
  for (size_t i = 0; i < count; i++)
    section->loops[i] = loops[i];
  section->loop_count = count;
  section->background = background;
  section->boundary = boundary_find(arena, section->loops, count, background);
  section->middle = middle_of_free(section);
  section->open = section_distance(section, section->middle, section->middle, HUGE_VAL).distance;
  return section;
}

/* -- regions ------------------------------------------------------------------ */

static bool is_known(const struct known_off *known, const void *what, double distance) {
  for (size_t i = 0; i < KNOWN_OFF_MOST; i++)
    if (known->of[i].what == what && known->of[i].distance >= distance)
      return true;
  return false;
}

static void know(struct known_off *known, const void *what, double distance) {
  known->of[known->next % KNOWN_OFF_MOST] = (struct known_one){what, distance};
  known->next++;
}

static bool boundary_stays_off(const struct boundary *boundary, const struct metal_region *region,
                               double distance, struct known_off *known) {
  for (size_t i = 0; i < boundary->whole_count; i++) {
    if (is_known(known, boundary->wholes[i], distance))
      continue;
    if (!edge_tree_stays_off(boundary->wholes[i], region, distance))
      return false;
    know(known, boundary->wholes[i], distance);
  }
  return edge_tree_stays_off(&boundary->parts, region, distance);
}

bool section_stays_off(const struct section *section, const struct metal_region *region,
                       double distance, struct known_off *known) {
  if (is_known(known, section, distance))
    return true;
  if (!boundary_stays_off(&section->boundary, region, distance, known) ||
      section_holds(section, region->within))
    return false;
  know(known, section, distance);
  return true;
}
