/* lanes.c - the widest vectors that this processor has, of those that the loops were compiled for.
 */
#include "borelay/lanes.h"

#include "borelay/processor.h"

_Atomic int lanes_known = LANES_UNKNOWN;

#if LANES_ARE_WIDE

static bool has_512(void) {
  return PROCESSOR_HAS(AVX512F, "avx512f") && PROCESSOR_HAS(AVX512BW, "avx512bw") &&
         PROCESSOR_HAS(AVX512CD, "avx512cd") && PROCESSOR_HAS(AVX512DQ, "avx512dq") &&
         PROCESSOR_HAS(AVX512VL, "avx512vl") && PROCESSOR_HAS(BMI1, "bmi") &&
         PROCESSOR_HAS(BMI2, "bmi2");
}

static int of_processor(void) {
  return has_512() ? LANES_512 : PROCESSOR_HAS(AVX2, "avx2") ? LANES_256 : LANES_PLAIN;
}

#else

static int of_processor(void) {
  return LANES_PLAIN;
}

#endif

int lanes_find(void) {
  int widest = of_processor();
  atomic_store_explicit(&lanes_known, widest, memory_order_relaxed);
  return widest;
}

bool lanes_narrow(enum lanes widest) {
  if ((int)widest > of_processor())
    return false;
  atomic_store_explicit(&lanes_known, (int)widest, memory_order_relaxed);
  return true;
}
