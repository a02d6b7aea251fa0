/* lanes_each.h - the tests of a program once for each width of vectors that this processor has. */
#ifndef TESTS_LANES_EACH_H
#define TESTS_LANES_EACH_H

#include "borelay/lanes.h"

/* How many failed. */
static inline int lanes_each(int (*run)(void)) {
  int failed = 0;
  for (int widest = LANES_PLAIN; widest <= LANES_512; widest++)
    if (lanes_narrow((enum lanes)widest))
      failed += run();
  return failed;
}

#endif
