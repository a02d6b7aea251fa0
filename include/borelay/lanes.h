/* lanes.h - loops over many numbers, compiled more than once.
 *
 * A function marked LANES is also built for processors with wider vectors, and the right one is
 * taken when the program starts.  The same operations are done on each number in the same order, so
 * all of them give the same bits.  Sanitizers and the loader's choosing do not go together. */
#ifndef BORELAY_LANES_H
#define BORELAY_LANES_H

#if defined __x86_64__ && defined __GNUC__ && !defined __clang__ &&                                \
    !defined __SANITIZE_THREAD__ && !defined __SANITIZE_ADDRESS__ && defined __OPTIMIZE__
#define LANES __attribute__((target_clones("arch=x86-64-v4", "avx2", "default")))
#else
#define LANES
#endif

#endif
