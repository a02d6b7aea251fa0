/* metal.c - distances from points and upright solids.
 *
 * Metal is the union of its slabs, each a product of a plane region and an interval; an upright
 * solid is such a product too.  The distance of two products is the hypotenuse of the distances of
 * their factors, so the least of those over the slabs is exact.
 *
 * Of all sites only the one where the solid begins is asked whole: what another has to offer below
 * the datum face is never nearer than the bare metal between them (docs/clearance.md).  What
 * stands over the face is asked of every site in reach. */
#include "borelay/metal.h"

#include <math.h>

#include "borelay/num.h"
#include "metal/state.h"

/* -- upright solids ------------------------------------------------------------- */

struct upright {
  vec2 a, b;
  double radius, z_lo, z_hi;
};

struct nearest {
  double distance;
  const struct stack *stack;
  const struct slab *slab;
  struct section_hit found;
};

static void try_slab(const struct stack *stack, const struct slab *slab,
                     const struct upright *solid, double gap, struct nearest *nearest) {
  double level = nearest->slab ? sqrt(nearest->distance * nearest->distance - gap * gap) : HUGE_VAL;
  struct section_hit found =
      section_distance(slab->section, solid->a, solid->b, level + solid->radius);
  if (isinf(found.distance))
    return;
  double free = found.distance > solid->radius ? found.distance - solid->radius : 0;
  double distance = gap > 0 ? num_hypot(free, gap) : free;
  if (distance < nearest->distance)
    *nearest = (struct nearest){distance, stack, slab, found};
}

/* Slabs from..: beside the solid first, then upward, then downward, as far as they may be nearer.
 */
static void try_stack(const struct stack *stack, size_t from, const struct upright *solid,
                      struct nearest *nearest) {
  double z_lo = solid->z_lo, z_hi = solid->z_hi;
  size_t first = slabs_up_to(stack, from, z_lo), last = first;
  while (last < stack->count && stack->slabs[last].z_lo <= z_hi)
    last++; /* slabs beside the solid: first .. last-1 */
  for (size_t i = first; i < last && nearest->distance > 0; i++)
    try_slab(stack, &stack->slabs[i], solid, 0, nearest);
  for (size_t i = last; i < stack->count; i++) {
    double gap = slab_gap(&stack->slabs[i], z_lo, z_hi);
    if (gap >= nearest->distance)
      break;
    try_slab(stack, &stack->slabs[i], solid, gap, nearest);
  }
  for (size_t i = first; i > from; i--) {
    double gap = slab_gap(&stack->slabs[i - 1], z_lo, z_hi);
    if (gap >= nearest->distance)
      break;
    try_slab(stack, &stack->slabs[i - 1], solid, gap, nearest);
  }
}

/* What stands over the datum face at other sites. */
static void try_standing(const struct metal *metal, const struct upright *solid,
                         const struct stack *home, struct nearest *nearest) {
  struct site_walk walk;
  size_t site;
  if (!metal->sites.any_stands)
    return;
  site_walk_begin(&walk, &metal->sites, box_of(solid->a, solid->b));
  while (nearest->distance > 0 && site_walk_next(&walk, nearest->distance + solid->radius, &site))
    if (metal->sites.items[site].stands && &metal->stacks[site] != home)
      try_stack(&metal->stacks[site], metal->stacks[site].upper, solid, nearest);
}

struct metal_hit metal_distance_upright(const struct metal *metal, vec2 a, vec2 b, double radius,
                                        double z_lo, double z_hi) {
  struct upright solid = {a, b, radius, z_lo, z_hi};
  struct nearest nearest = {.distance = HUGE_VAL};
  if (!isfinite(a.x + a.y + b.x + b.y + radius + z_lo + z_hi))
    return metal_no_place();
  const struct stack *home = metal_stack_at(metal, a);
  try_stack(home, 0, &solid, &nearest);
  try_standing(metal, &solid, home, &nearest);
  if (!nearest.slab)
    return metal_no_hit();
  double z = z_lo > nearest.slab->z_hi ? z_lo : z_hi;
  vec2 p = a;
  if (nearest.found.edge && nearest.found.distance <= radius &&
      slab_gap(nearest.slab, z_lo, z_hi) > 0) { /* it reaches past the edge, over a level face */
    p = section_beside(nearest.slab->section, nearest.found.edge, a);
    nearest.found.edge = NULL;
  }
  return slab_hit(metal->plan, nearest.stack, nearest.slab, nearest.found, p, z, nearest.distance);
}

/* -- what stays off ------------------------------------------------------------- */

/* How far off a slab's metal that much has to stay level which is to stay `distance` off it, at
 * heights z_lo .. z_hi; 0: it is high enough over it, or deep enough below. */
static double slab_level(const struct slab *slab, double z_lo, double z_hi, double distance) {
  double gap = slab_gap(slab, z_lo, z_hi);
  if (gap >= distance)
    return 0;
  return gap > 0 ? sqrt((distance - gap) * (distance + gap)) : distance;
}

/* Slabs from..: whether the disc without metal of each is wide enough. */
static bool stack_is_open(const struct stack *stack, size_t from, const struct upright *solid,
                          double distance) {
  for (size_t i = slabs_up_to(stack, from, solid->z_lo - distance); i < stack->count; i++) {
    const struct slab *slab = &stack->slabs[i];
    double level = slab_level(slab, solid->z_lo, solid->z_hi, distance);
    if (level == 0 && slab->z_lo > solid->z_hi)
      return true;
    if (level > 0 && !section_is_open(slab->section, solid->a, solid->b, solid->radius + level))
      return false;
  }
  return true;
}

bool metal_upright_stays_off(const struct metal *metal, vec2 a, vec2 b, double radius, double z_lo,
                             double z_hi, double distance) {
  struct upright solid = {a, b, radius, z_lo, z_hi};
  if (!isfinite(a.x + a.y + b.x + b.y + radius + z_lo + z_hi + distance))
    return false;
  const struct stack *home = metal_stack_at(metal, a);
  if (!stack_is_open(home, 0, &solid, distance))
    return false;
  if (!metal->sites.any_stands)
    return true;
  struct site_walk walk;
  size_t site;
  site_walk_begin(&walk, &metal->sites, box_of(a, b));
  while (site_walk_next(&walk, distance + radius, &site)) {
    const struct stack *stack = &metal->stacks[site];
    if (metal->sites.items[site].stands && stack != home &&
        !stack_is_open(stack, stack->upper, &solid, distance))
      return false;
  }
  return true;
}

static bool stack_stays_off(const struct stack *stack, size_t from,
                            const struct metal_region *region, struct upright heights,
                            double distance) {
  struct known_off known = {.next = 0};
  for (size_t i = slabs_up_to(stack, from, heights.z_lo - distance); i < stack->count; i++) {
    const struct slab *slab = &stack->slabs[i];
    double level = slab_level(slab, heights.z_lo, heights.z_hi, distance);
    if (level == 0 && slab->z_lo > heights.z_hi)
      return true;
    if (level > 0 && !section_stays_off(slab->section, region, level + heights.radius, &known))
      return false;
  }
  return true;
}

bool metal_stays_off(const struct metal *metal, const struct metal_region *region, double radius,
                     double z_lo, double z_hi, double distance) {
  struct upright heights = {.radius = radius, .z_lo = z_lo, .z_hi = z_hi};
  double box = region->lo.x + region->lo.y + region->hi.x + region->hi.y;
  if (!isfinite(box + region->inner + region->outer + radius + z_lo + z_hi + distance))
    return false;
  const struct stack *home = metal_stack_at(metal, region->within);
  if (!stack_stays_off(home, 0, region, heights, distance))
    return false;
  if (!metal->sites.any_stands)
    return true;
  struct site_walk walk;
  size_t site;
  site_walk_begin(&walk, &metal->sites, (struct box){region->lo, region->hi});
  while (site_walk_next(&walk, distance + radius, &site)) {
    const struct stack *stack = &metal->stacks[site];
    if (metal->sites.items[site].stands && stack != home &&
        !stack_stays_off(stack, stack->upper, region, heights, distance))
      return false;
  }
  return true;
}

struct metal_hit metal_distance_point(const struct metal *metal, vec3 point) {
  vec2 p = {point.x, point.y};
  return metal_distance_upright(metal, p, p, 0, point.z, point.z);
}

bool metal_line_beside(const struct metal *metal, vec3 point, double within,
                       struct metal_line *line) {
  vec2 p = {point.x, point.y};
  const struct stack *stack = metal_stack_at(metal, p);
  size_t i = 0;
  while (i < stack->count && point.z > stack->slabs[i].z_hi)
    i++;
  const struct edge *edge =
      i < stack->count ? section_edge_beside(stack->slabs[i].section, p, within) : NULL;
  if (edge)
    *line = (struct metal_line){edge->a, edge->b, edge->centre, edge->radius};
  return edge != NULL;
}

bool metal_contains(const struct metal *metal, vec3 point) {
  vec2 p = {point.x, point.y};
  if (!isfinite(point.x + point.y + point.z))
    return true;
  const struct stack *stack = metal_stack_at(metal, p);
  for (size_t i = 0; i < stack->count; i++)
    if (point.z <= stack->slabs[i].z_hi)
      return section_holds(stack->slabs[i].section, p);
  return false;
}
