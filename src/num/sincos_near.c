/* Sine and cosine of angles that lie close together, from those of the middle one: with d = a - m,
 *   cos a = cos m + (cos m (cos d - 1) - sin m sin d),
 *   sin a = sin m + (sin m (cos d - 1) + cos m sin d).
 *
 * |d| <= 1/16.  Truncation (alternating series, next term): sine d^9/9! < 4.1e-17, cosine d^10/10!
 * < 3e-19.  Sine and cosine of m are off by 1.2e-16 and, times sin d, by 8e-18; what is added to
 * them is below 0.065 and off by 6e-17; the sum is rounded by 1.2e-16.  Together: below 3.2e-16. */
#include <math.h>
#include <stdint.h>
#include <string.h>

#include "borelay/lanes.h"
#include "borelay/num.h"

#define FARTHEST (1.0 / 16)

static inline double sine_of(double d, double z) {
  const double s3 = -1.0 / 6, s5 = 1.0 / 120, s7 = -1.0 / 5040;
  return d + d * z * (s3 + z * (s5 + z * s7));
}

static inline double cosine_less_one(double z) {
  const double c2 = -1.0 / 2, c4 = 1.0 / 24, c6 = -1.0 / 720, c8 = 1.0 / 40320;
  return z * (c2 + z * (c4 + z * (c6 + z * c8)));
}

/* Below 0 where one is too far.  The sign of a NaN may be either; what it gives is none, too. */
LANES(int64_t, near_all,
      (const double *restrict a, double middle, struct sincos of, double *restrict sine,
       double *restrict cosine, size_t count),
      (a, middle, of, sine, cosine, count)) {
  int64_t far = 0;
  for (size_t i = 0; i < count; i++) {
    double d = a[i] - middle, z = d * d, room = FARTHEST - fabs(d);
    int64_t bits;
    memcpy(&bits, &room, sizeof bits);
    far |= bits;
    double s = sine_of(d, z), c = cosine_less_one(z);
    sine[i] = of.sin + (of.sin * c + of.cos * s);
    cosine[i] = of.cos + (of.cos * c - of.sin * s);
  }
  return far;
}

bool num_sincos_near(const double *restrict a, double *restrict sine, double *restrict cosine,
                     size_t count) {
  double middle = count > 0 ? a[count / 2] : 0;
  return near_all(a, middle, num_sincos(middle), sine, cosine, count) >= 0;
}
