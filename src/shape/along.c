/* Positions and lengths along a contour and its offsets.  An offset changes the length of an
 * arc by the factor (R - turn d) / R and leaves lines alone, so length under an offset is a
 * broken line over s, which is inverted exactly. */
#include <math.h>

#include "borelay/num.h"
#include "shape/segments.h"

double contour_wrap(const struct contour *contour, double s, double *turns) {
  double whole = floor(s / contour->perimeter);
  double rest = s - whole * contour->perimeter;
  if (rest < 0) { /* the quotient was rounded up */
    rest += contour->perimeter;
    whole -= 1;
  }
  if (rest >= contour->perimeter) {
    rest -= contour->perimeter;
    whole += 1;
  }
  *turns = whole;
  return rest;
}

size_t contour_seg_at(const struct contour *contour, double s) {
  size_t first = 0, last = contour->count - 1;
  while (first < last) {
    size_t middle = (first + last + 1) / 2;
    if (contour->segs[middle].s0 <= s)
      first = middle;
    else
      last = middle - 1;
  }
  return first;
}

struct contour_point contour_at(const struct contour *contour, double s, double offset) {
  double turns;
  double rest = contour_wrap(contour, s, &turns);
  const struct contour_seg *seg = &contour->segs[contour_seg_at(contour, rest)];
  struct contour_point point = seg_point(seg, rest - seg->s0, offset);
  point.angle += turns * NUM_TURN;
  return point;
}

/* Offset length from s = 0 to s in [0, perimeter]. */
static double length_to(const struct contour *contour, double offset, double s) {
  double length = 0;
  for (size_t i = 0; i < contour->count && contour->segs[i].s0 < s; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    length += fmin(s - seg->s0, seg->length) * seg_stretch(seg, offset);
  }
  return length;
}

double contour_offset_length(const struct contour *contour, double offset, double s_a, double s_b) {
  double turns_a, turns_b;
  double a = contour_wrap(contour, s_a, &turns_a), b = contour_wrap(contour, s_b, &turns_b);
  double round = turns_a == turns_b ? 0 : length_to(contour, offset, contour->perimeter);
  return (turns_b - turns_a) * round + length_to(contour, offset, b) -
         length_to(contour, offset, a);
}

/* s in [0, perimeter] at which that offset length from s = 0 is reached. */
static double s_at_length(const struct contour *contour, double offset, double length) {
  size_t i = 0;
  for (;; i++) {
    double seg_length = contour->segs[i].length * seg_stretch(&contour->segs[i], offset);
    if (i + 1 == contour->count || length < seg_length)
      break;
    length -= seg_length;
  }
  const struct contour_seg *seg = &contour->segs[i];
  return seg->s0 + fmin(length / seg_stretch(seg, offset), seg->length);
}

double contour_advance(const struct contour *contour, double offset, double s_a, int dir,
                       double length) {
  double turns;
  double a = contour_wrap(contour, s_a, &turns);
  double round = length_to(contour, offset, contour->perimeter);
  double target = length_to(contour, offset, a) + dir * length;
  double whole = floor(target / round);
  double rest = fmax(target - whole * round, 0);
  return (turns + whole) * contour->perimeter + s_at_length(contour, offset, rest);
}

int contour_vanishing_seg(const struct contour *contour, double offset, double least) {
  int found = -1;
  double smallest = least;
  for (size_t i = 0; i < contour->count; i++) {
    const struct contour_seg *seg = &contour->segs[i];
    double radius = seg->radius - seg->turn * offset;
    if (seg->turn != 0 && (found < 0 ? radius <= smallest : radius < smallest)) {
      found = (int)i;
      smallest = radius;
    }
  }
  return found;
}
