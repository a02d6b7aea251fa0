/* close.h - comparing doubles in tests.  (cmocka's own float assertion rounds to float.) */
#ifndef TESTS_CLOSE_H
#define TESTS_CLOSE_H

#include <math.h>
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

/* |got - want| <= absolute + relative * |want|, NaN never passes. */
#define assert_close(got, want, absolute, relative)                                                \
  close_assert((got), (want), (absolute), (relative), #got, __FILE__, __LINE__)

static inline void close_assert(double got, double want, double absolute, double relative,
                                const char *text, const char *file, int line) {
  if (fabs(got - want) <= absolute + relative * fabs(want))
    return;
  print_error("%s = %.17g, wanted %.17g (off by %.3g)\n", text, got, want, got - want);
  _fail(file, line);
}

#endif
