/* random.h - random numbers for property tests: small, ours, the same everywhere.
 * Generator: splitmix64 (G. Steele, D. Lea, C. Flood, "Fast splittable pseudorandom
 * number generators", OOPSLA 2014), constants from memory.  Tests print their seed. */
#ifndef TESTS_RANDOM_H
#define TESTS_RANDOM_H

#include <stdint.h>

struct random {
  uint64_t state;
};

static inline uint64_t random_bits(struct random *random) {
  uint64_t z = random->state += 0x9e3779b97f4a7c15u;
  z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
  z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
  return z ^ (z >> 31);
}

/* Evenly in [lo, hi). */
static inline double random_between(struct random *random, double lo, double hi) {
  return lo + (hi - lo) * ((double)(random_bits(random) >> 11) * 0x1p-53);
}

/* A whole number in lo .. hi, both included. */
static inline int random_whole(struct random *random, int lo, int hi) {
  return lo + (int)(random_bits(random) % (uint64_t)(hi - lo + 1));
}

#endif
