/* processor.h - what this processor can do, from what the C library knows of it.
 *
 * To ask the processor itself takes some microseconds in a virtual machine, which it leaves for
 * that.  __builtin_cpu_supports() asks when the program starts, whatever the program is to do; the
 * C library of GNU (2.34 and later) does so in any case, and gives its answers to others. */
#ifndef BORELAY_PROCESSOR_H
#define BORELAY_PROCESSOR_H

#if defined __x86_64__ && defined __GNUC__

#if __has_include(<sys/platform/x86.h>)
#include <sys/platform/x86.h>
#endif

/* PROCESSOR_HAS(AVX2, "avx2"): as the C library and as the compiler call it. */
#ifdef CPU_FEATURE_ACTIVE
/* CPU_FEATURE_ACTIVE() itself shifts a 1 into the sign of an int. */
static inline int processor_has(unsigned place) {
  unsigned word = place % 128 / 32, bit = place % 32;
  return (int)(__x86_get_cpuid_feature_leaf(place / 128)->active_array[word] >> bit & 1);
}
#define PROCESSOR_HAS(library_name, compiler_name) processor_has(x86_cpu_##library_name)
#else
#define PROCESSOR_HAS(library_name, compiler_name) (__builtin_cpu_supports(compiler_name) != 0)
#endif

#endif

#endif
