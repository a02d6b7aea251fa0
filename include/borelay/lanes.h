/* lanes.h - loops over many numbers, compiled more than once.
 *
 *   LANES(bool, all_small, (const double *x, size_t count), (x, count)) { ... }
 *
 * defines a static function of that result, name, parameters and body.  Its body is compiled three
 * times: for any processor, and for those with vectors of 256 and of 512 bits.  Whoever calls it
 * gets the widest that this processor has.  The same operations are done on each number in the same
 * order, so all of them give the same bits.  LANES_VOID: without a result. */
#ifndef BORELAY_LANES_H
#define BORELAY_LANES_H

#include <stdatomic.h>
#include <stdbool.h>

enum lanes { LANES_UNKNOWN, LANES_PLAIN, LANES_256, LANES_512 };

/* Asked for once, by the first who calls such a function; any thread, each finds the same. */
extern _Atomic int lanes_known;
int lanes_find(void);

static inline int lanes_widest(void) {
  int known = atomic_load_explicit(&lanes_known, memory_order_relaxed);
  return known != LANES_UNKNOWN ? known : lanes_find();
}

/* For tests: as if the processor had no wider ones.  false: it has none of that width. */
bool lanes_narrow(enum lanes widest);

#if defined __x86_64__ && defined __GNUC__ && !defined __clang__ && defined __OPTIMIZE__
#define LANES_ARE_WIDE 1
#else
#define LANES_ARE_WIDE 0
#endif

#if LANES_ARE_WIDE
#define LANES_FOR_256 __attribute__((target("avx2")))
#define LANES_FOR_512                                                                              \
  __attribute__((target("avx512f,avx512bw,avx512cd,avx512dq,avx512vl,bmi,bmi2")))
#define LANES_MAKE(give, result, name, parameters, arguments)                                      \
  static inline __attribute__((always_inline)) result name##_each parameters;                      \
  LANES_FOR_512 static result name##_512 parameters {                                              \
    give name##_each arguments;                                                                    \
  }                                                                                                \
  LANES_FOR_256 static result name##_256 parameters {                                              \
    give name##_each arguments;                                                                    \
  }                                                                                                \
  static __attribute__((noinline)) result name##_plain parameters {                                \
    give name##_each arguments;                                                                    \
  }                                                                                                \
  static inline result name parameters {                                                           \
    int widest = lanes_widest();                                                                   \
    if (widest == LANES_512)                                                                       \
      give name##_512 arguments;                                                                   \
    else if (widest == LANES_256)                                                                  \
      give name##_256 arguments;                                                                   \
    else                                                                                           \
      give name##_plain arguments;                                                                 \
  }                                                                                                \
  static inline __attribute__((always_inline)) result name##_each parameters
#else
#define LANES_MAKE(give, result, name, parameters, arguments) static result name parameters
#endif

#define LANES(result, name, parameters, arguments)                                                 \
  LANES_MAKE(return, result, name, parameters, arguments)
#define LANES_VOID(name, parameters, arguments) LANES_MAKE(, void, name, parameters, arguments)

#endif
