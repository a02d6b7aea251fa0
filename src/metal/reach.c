/* reach.c - a sweep over depths: each volume and each clad comes in at its deep end, goes at the
 * other, and costs nothing in between but where it is. */
#include "metal/reach.h"

#include <math.h>
#include <stdlib.h>

#include "borelay/arena.h"

static int deepest_first(const void *a, const void *b) {
  const struct reach *p = a, *q = b;
  return p->depths.hi > q->depths.hi ? -1 : p->depths.hi < q->depths.hi;
}

/* Of all layers that stand. */
static struct range depths_of_clad(const struct plan_overlay *overlay, size_t standing) {
  struct range depths = {HUGE_VAL, -HUGE_VAL};
  for (size_t k = 0; k < standing; k++) {
    struct range band = overlay->layers[k].layer->depths;
    depths.lo = fmin(depths.lo, band.lo);
    depths.hi = fmax(depths.hi, band.hi);
  }
  return depths;
}

struct reaches reaches_begin(struct arena *arena, const struct plan *plan, const struct site *site,
                             const size_t *layers) {
  size_t most = site->volume_count + site->overlay_count;
  struct reaches reaches = {.all = arena_room(arena, most, sizeof *reaches.all),
                            .here = arena_room(arena, most, sizeof *reaches.here)};
  for (size_t i = 0; i < site->volume_count; i++)
    reaches.all[reaches.count++] =
        (struct reach){plan->job->envelope->volumes[site->volumes[i]].depths, i};
  for (size_t i = 0; i < site->overlay_count; i++) {
    size_t index = site->overlays[i];
    if (layers[index] > 0)
      reaches.all[reaches.count++] = (struct reach){
          depths_of_clad(&plan->overlays[index], layers[index]), site->volume_count + i};
  }
  qsort(reaches.all, reaches.count, sizeof *reaches.all, deepest_first);
  return reaches;
}

static void come_in(struct reaches *reaches, const struct reach *reach) {
  size_t at = reaches->here_count++;
  for (; at > 0 && reaches->here[at - 1].place > reach->place; at--)
    reaches->here[at] = reaches->here[at - 1];
  reaches->here[at] = *reach;
}

void reaches_go_to(struct reaches *reaches, double depth) {
  size_t kept = 0;
  for (size_t i = 0; i < reaches->here_count; i++)
    if (reaches->here[i].depths.lo <= depth)
      reaches->here[kept++] = reaches->here[i];
  reaches->here_count = kept;
  for (; reaches->next < reaches->count; reaches->next++) {
    const struct reach *next = &reaches->all[reaches->next];
    if (next->depths.hi < depth)
      return;
    if (next->depths.lo <= depth)
      come_in(reaches, next);
  }
}
