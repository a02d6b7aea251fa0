/* section.c - every run passes a place of the contour once a turn; each pass is a bead. */
#include "buildup/section.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const double SAME_LINE = 1e-8; /* mm */

void section_begin(struct section *section) {
  section->space = section->few;
  section->count = 0;
  section->room = sizeof section->few / sizeof *section->few;
  section->items = section->space + section->room / 2;
}

void section_release(struct section *section) {
  if (section->space != section->few)
    free(section->space);
}

/* Twice the room where it is more than half used; the items in its middle. */
static void section_grow(struct section *section) {
  size_t room = section->count > section->room / 2 ? 2 * section->room : section->room;
  struct bead *old = section->space, *items = section->items;
  if (room > section->room) {
    section->space = malloc(room * sizeof *section->space);
    if (!section->space) { /* as arenas do */
      fputs("borelay: no memory left\n", stderr);
      exit(3);
    }
  }
  section->items = section->space + (room - section->count) / 2;
  memmove(section->items, items, section->count * sizeof *items);
  section->room = room;
  if (old != section->space && old != section->few)
    free(old);
}

/* How many lie before the line: passes come in order as a rule, from one end or the other. */
static size_t place_of(const struct section *section, double line) {
  size_t lo = 0, hi = section->count;
  if (hi > 0 && section->items[0].centre > line)
    return 0;
  if (hi > 0 && section->items[hi - 1].centre <= line)
    return hi;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    if (section->items[middle].centre > line)
      hi = middle;
    else
      lo = middle + 1;
  }
  return lo;
}

/* Beads on one centre line, as in a tie-in, are one. */
static void section_insert(struct section *section, struct bead bead) {
  size_t at = place_of(section, bead.centre + SAME_LINE);
  if (at > 0 && section->items[at - 1].centre > bead.centre - SAME_LINE) {
    section->items[at - 1].area += bead.area;
    return;
  }
  if (section->items == section->space ||
      section->items + section->count == section->space + section->room)
    section_grow(section);
  if (at < section->count - at) {
    memmove(section->items - 1, section->items, at * sizeof *section->items);
    section->items--;
  } else {
    memmove(section->items + at + 1, section->items + at,
            (section->count - at) * sizeof *section->items);
  }
  section->count++;
  section->items[at] = bead;
}

/* Passes of one run at lambda + k * round, first <= k <= last. */
struct passes {
  const struct pour *pour;
  double lambda;
  int64_t first, last;
  size_t near; /* leg */
};

static double pass_depth(struct passes *passes, int64_t k) {
  return pour_depth(passes->pour, passes->lambda + (double)k * passes->pour->round, &passes->near);
}

/* Depth goes one way along a run: the first pass that has come to `depth`, or gone past it. */
static int64_t pass_past(struct passes *passes, double depth, int way, bool strictly) {
  int64_t lo = passes->first, hi = passes->last + 1;
  while (lo < hi) {
    int64_t middle = lo + (hi - lo) / 2;
    double by = way * (pass_depth(passes, middle) - depth);
    if (strictly ? by > 0 : by >= 0)
      hi = middle;
    else
      lo = middle + 1;
  }
  return lo;
}

static void run_add(struct section *section, const struct pour *pour, double s,
                    struct range depths) {
  if (pour->volume <= 0 || pour->deep < depths.lo || pour->shallow > depths.hi)
    return;
  struct passes passes = {pour, pour_lambda(pour, s), 0, 0, 0};
  passes.first = (int64_t)ceil((pour->begin - pour->half - passes.lambda) / pour->round);
  passes.last = (int64_t)floor((pour->end + pour->half - passes.lambda) / pour->round);
  if (passes.last < passes.first)
    return;
  int way = pass_depth(&passes, passes.first) > pass_depth(&passes, passes.last) ? -1 : 1;
  int64_t from = pass_past(&passes, way > 0 ? depths.lo : depths.hi, way, false);
  int64_t to = pass_past(&passes, way > 0 ? depths.hi : depths.lo, way, true);
  for (int64_t k = from; k < to; k++) {
    double lambda = passes.lambda + (double)k * pour->round;
    double area = pour_area(pour, lambda, &passes.near);
    if (area > 0)
      section_insert(section, (struct bead){pass_depth(&passes, k), pour->width, area});
  }
}

/* Runs come in the order of their depth, one way or the other: the first one that reaches into the
 * range; behind it they are taken until one begins past it. */
static size_t first_run(const struct poured *poured, struct range depths, bool is_deeper) {
  size_t lo = 0, hi = poured->count;
  while (lo < hi) {
    size_t middle = lo + (hi - lo) / 2;
    const struct pour *pour = &poured->pours[middle];
    if (is_deeper ? pour->deep >= depths.lo : pour->shallow <= depths.hi)
      hi = middle;
    else
      lo = middle + 1;
  }
  return lo;
}

void section_fill(struct section *section, const struct poured *poured, double s,
                  struct range depths) {
  if (poured->count == 0)
    return;
  const struct pour *last = &poured->pours[poured->count - 1];
  bool is_deeper = last->shallow >= poured->pours[0].shallow;
  for (size_t i = first_run(poured, depths, is_deeper); i < poured->count; i++) {
    const struct pour *pour = &poured->pours[i];
    if (is_deeper ? pour->shallow > depths.hi : pour->deep < depths.lo)
      return;
    run_add(section, pour, s, depths);
  }
}
