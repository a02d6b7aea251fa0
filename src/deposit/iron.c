/* iron.c - what would bring the iron of the last layer under a limit.
 *
 * Mixing law: a layer is D parts of what lies below and 1 - D parts of wire. */
#include "borelay/deposit.h"

#include <assert.h>

double iron_after_layer(double iron_below, double dilution, double iron_wire) {
  return dilution * iron_below + (1.0 - dilution) * iron_wire;
}

int64_t iron_layers_more(double iron, double dilution, double iron_wire, double limit,
                         int64_t most) {
  /* More layers come ever nearer to the wire's iron, from above, and do not reach it. */
  bool is_below = iron_wire < limit || (iron_wire == limit && dilution == 0);
  if (iron > limit && !is_below)
    return -1;
  for (int64_t more = 0; more <= most; more++) {
    if (iron <= limit)
      return more;
    iron = iron_after_layer(iron, dilution, iron_wire);
  }
  return -1;
}

static double iron_at(double iron_base, const double *iron_wire, size_t layers, double dilution) {
  double iron = iron_base;
  for (size_t k = 0; k < layers; k++)
    iron = iron_after_layer(iron, dilution, iron_wire[k]);
  return iron;
}

/* The last layer's iron is a polynomial in D, hence continuous: where it is under the limit for one
 * D and over it for another, halving the stretch between keeps that so, down to two neighbours. */
double iron_dilution_most(double iron_base, const double *iron_wire, size_t layers, double limit) {
  assert(layers > 0);
  if (iron_at(iron_base, iron_wire, layers, 0) > limit)
    return -1;
  if (iron_at(iron_base, iron_wire, layers, 1) <= limit)
    return 1;
  double under = 0, over = 1;
  for (double middle = 0.5; middle > under && middle < over; middle = (under + over) / 2) {
    if (iron_at(iron_base, iron_wire, layers, middle) <= limit)
      under = middle;
    else
      over = middle;
  }
  return under;
}
