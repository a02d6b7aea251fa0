/* text_wide.c - eight rows at a time, by permutations of bytes (AVX-512 with VBMI and IFMA, 2018).
 *
 * Eight numbers of a column are rounded, tested and taken apart into four numbers below 1000 each,
 * side by side in words of 64 bits.  Words of x, y, z and head are turned from columns into rows,
 * two rows to a vector; the times of eight rows have a vector of their own.  Of each vector all 32
 * numbers become digits at once, a byte each, in two vectors.  A permutation of the bytes of both
 * brings the digits of a pose to their places in the row, another those of its time; what stands
 * still comes from a model, with '0' where digits go. */
#include "emit/text_wide.h"

#include <string.h>

#include "borelay/num.h"
#include "borelay/processor.h"
#include "emit/text_row.h"

/* -- looks ------------------------------------------------------------------------------------ */

enum { DIGITS = 12, WHOLE = 6, EIGHT = 8 };

/* Where in a word a digit stands, the highest being number 0.  The last of the four numbers comes
 * first; of each the first vector has hundreds and tens, the second one ones. */
static uint8_t digit_byte(int digit) {
  int part = 3 - digit / 3, place = digit % 3;
  return (uint8_t)(2 * part + (place == 1 ? 1 : place == 2 ? TEXT_WIDTH : 0));
}

/* Where the word of a column begins in the vector of times or in that of poses. */
static uint8_t column_byte(int column) {
  static const uint8_t BYTES[TEXT_COLUMNS] = {0, 0, 8, 32, 40};
  return BYTES[column];
}

static bool is_same(const struct digits_shape *a, const struct digits_shape *b) {
  return a->is_negative == b->is_negative && a->places == b->places;
}

static bool has_shapes(const struct text_look *look, const struct digits_shape *shapes) {
  for (int k = 0; k < TEXT_COLUMNS; k++)
    if (!is_same(&look->shapes[k], &shapes[k]))
      return false;
  return true;
}

static bool fits(const struct digits_shape *shapes) {
  size_t length = 0;
  for (int k = 0; k < TEXT_COLUMNS; k++)
    length += (size_t)shapes[k].is_negative + (size_t)shapes[k].places + 8;
  return length <= TEXT_WIDTH;
}

bool text_look_make(struct text_look *look, const struct digits_shape shapes[TEXT_COLUMNS]) {
  if (has_shapes(look, shapes))
    return true;
  if (!fits(shapes))
    return false;
  memset(look, 0, sizeof *look);
  memcpy(look->shapes, shapes, sizeof look->shapes);
  int at = 0;
  for (int k = 0; k < TEXT_COLUMNS; k++) {
    uint64_t *bytes = k == 0 ? &look->time : &look->pose;
    at += shapes[k].is_negative;
    for (int digit = WHOLE - shapes[k].places; digit < DIGITS; digit++) {
      at += digit == WHOLE; /* the point */
      *bytes |= (uint64_t)1 << at;
      look->from[at++] = (uint8_t)(column_byte(k) + digit_byte(digit));
    }
    at++; /* the comma */
  }
  return true;
}

/* -- rows ------------------------------------------------------------------------------------- */

#if defined __x86_64__ && defined __GNUC__

#include <immintrin.h>

bool text_wide_is_there(void) {
  return PROCESSOR_HAS(AVX512BW, "avx512bw") && PROCESSOR_HAS(AVX512DQ, "avx512dq") &&
         PROCESSOR_HAS(AVX512_IFMA, "avx512ifma") && PROCESSOR_HAS(AVX512_VBMI, "avx512vbmi");
}

#define WIDE        __attribute__((target("avx512f,avx512bw,avx512dq,avx512ifma,avx512vbmi")))
#define WIDE_INLINE WIDE static inline __attribute__((always_inline))

/* Numbers from 0 on, added to it, are the lower bits of the sum. */
#define BASE 0x1p52
static const int64_t BASE_BITS = (int64_t)1075 << 52;

/* What the numbers of a column are to be multiplied with, and between what the results lie. */
struct column {
  double factor, power;
  double below_half;  /* as far as one may be from a whole number */
  int64_t least_bits; /* of BASE and the least number */
  uint64_t span;
};

static uint64_t power_of_ten(int power) {
  uint64_t result = 1;
  for (; power > 0; power--)
    result *= 10;
  return result;
}

static struct column column_of(struct digits_shape shape, double factor, double margin) {
  const double million = 1e6, just_below = 0x1.fffffffffffffp-1;
  uint64_t end = power_of_ten(shape.places + 6);
  uint64_t least = shape.places > 1 ? end / 10 : shape.is_negative ? 1 : 0;
  return (struct column){.factor = factor,
                         .power = shape.is_negative ? -million : million,
                         .below_half = (0.5 - margin) * just_below,
                         .least_bits = BASE_BITS + (int64_t)least,
                         .span = end - 1 - least};
}

/* Those of bits that are a number between the column's limits; in the order of numbers they are
 * all. */
WIDE_INLINE __mmask8 within(__mmask8 good, __m512i bits, const struct column *column) {
  __m512i beyond = _mm512_sub_epi64(bits, _mm512_set1_epi64(column->least_bits));
  return _mm512_mask_cmple_epu64_mask(good, beyond, _mm512_set1_epi64((int64_t)column->span));
}

/* The nearest whole numbers of millionths, as bits of BASE and them.  What is not sure or does not
 * look so is not good any more: also what is no number, for its difference is none, and what is so
 * large or so far below 0 that sums are not whole numbers, for their bits are beyond the limits. */
WIDE_INLINE __m512i numbers_of(const double *values, __mmask8 there, const struct column *column,
                               __mmask8 *good) {
  const __m512d base = _mm512_set1_pd(BASE);
  __m512d size = _mm512_maskz_loadu_pd(there, values);
  if (column->factor != 1)
    size = _mm512_mul_pd(size, _mm512_set1_pd(column->factor));
  size = _mm512_mul_pd(size, _mm512_set1_pd(column->power));
  __m512d held = _mm512_add_pd(size, base);
  __m512d off = _mm512_abs_pd(_mm512_sub_pd(size, _mm512_sub_pd(held, base)));
  *good = _mm512_mask_cmp_pd_mask(*good, off, _mm512_set1_pd(column->below_half), _CMP_LE_OQ);
  *good = within(*good, _mm512_castpd_si512(held), column);
  return _mm512_castpd_si512(held);
}

/* Numbers n below 10^12 < 2^40, in the lower 52 bits, as four numbers below 1000 each, the last one
 * lowest.  With m the next whole number above 2^71 / 10^6, n m / 2^71 is above n / 10^6 by less
 * than 2^-31, and the next whole number is 10^-6 away.  Likewise n / 1000 for n < 2^20: above by
 * less than 2^-12, and 1 / 1000 > 2^-10. */
static const int64_t OVER_MILLION = 2361183241434823; /* the next above 2^71 / 10^6 */
WIDE_INLINE __m512i parts_of(__m512i number) {
  const __m512i of_millions = _mm512_set1_epi64(OVER_MILLION);
  const __m512i of_thousands = _mm512_set1_epi64(((int64_t)1 << 32) / 1000 + 1);
  __m512i high = _mm512_srli_epi64(
      _mm512_madd52hi_epu64(_mm512_setzero_si512(), number, of_millions), 71 - 52);
  __m512i low = _mm512_sub_epi64(number, _mm512_mul_epu32(high, _mm512_set1_epi64(1000000)));
  __m512i high_over = _mm512_mul_epu32(high, of_thousands); /* quotients in the upper halves */
  __m512i low_over = _mm512_mul_epu32(low, of_thousands);
  __m512i both = _mm512_mask_shuffle_epi32(low, 0xaaaa, high, _MM_PERM_CCAA);
  __m512i over = _mm512_mask_shuffle_epi32(high_over, 0x5555, low_over, _MM_PERM_DDBB);
  /* The rest where the number was, its quotient above it. */
  return _mm512_add_epi32(both, _mm512_mullo_epi32(over, _mm512_set1_epi32((1 << 16) - 1000)));
}

struct digits {
  __m512i tens, ones; /* tens: and hundreds below them */
};

/* Of 32 numbers n below 1000: n 656 / 2^16 is above n / 100 by less than 0.0098, r 6554 / 2^16 for
 * r < 100 above r / 10 by less than 0.0007. */
WIDE_INLINE struct digits digits_of(__m512i parts) {
  __m512i hundreds = _mm512_mulhi_epu16(parts, _mm512_set1_epi16(656));
  __m512i rest = _mm512_sub_epi16(parts, _mm512_maddubs_epi16(hundreds, _mm512_set1_epi16(100)));
  __m512i tens = _mm512_mulhi_epu16(rest, _mm512_set1_epi16(6554));
  __m512i ones = _mm512_sub_epi16(rest, _mm512_maddubs_epi16(tens, _mm512_set1_epi16(10)));
  return (struct digits){_mm512_or_si512(hundreds, _mm512_slli_epi16(tens, 8)), ones};
}

/* Two rows of four columns in each: rows 0 and 2, 1 and 3, 4 and 6, 5 and 7. */
enum { PAIRS = 4, POSE = 4 };
WIDE_INLINE void turn(const __m512i columns[POSE], struct digits pairs[PAIRS]) {
  __m512i even_xy = _mm512_unpacklo_epi64(columns[0], columns[1]);
  __m512i odd_xy = _mm512_unpackhi_epi64(columns[0], columns[1]);
  __m512i even_zh = _mm512_unpacklo_epi64(columns[2], columns[3]);
  __m512i odd_zh = _mm512_unpackhi_epi64(columns[2], columns[3]);
  pairs[0] = digits_of(_mm512_shuffle_i64x2(even_xy, even_zh, 0x44));
  pairs[1] = digits_of(_mm512_shuffle_i64x2(odd_xy, odd_zh, 0x44));
  pairs[2] = digits_of(_mm512_shuffle_i64x2(even_xy, even_zh, 0xee));
  pairs[3] = digits_of(_mm512_shuffle_i64x2(odd_xy, odd_zh, 0xee));
}

/* What all rows have in common. */
struct common {
  __mmask64 time, pose;
  __m512i from, row, rest;
  size_t length;
};

WIDE_INLINE struct common common_of(const struct text_model *model) {
  const struct text_look *look = model->look;
  __m512i row = _mm512_loadu_si512(model->row);
  return (struct common){
      .time = look->time,
      .pose = look->pose,
      .from = _mm512_loadu_si512(look->from),
      .row = _mm512_mask_mov_epi8(row, look->time | look->pose, _mm512_set1_epi8('0')),
      .rest = _mm512_loadu_si512(model->row + TEXT_WIDTH),
      .length = model->length};
}

/* What is too much is overwritten by the row behind. */
WIDE_INLINE void put_row(const struct common *common, const struct digits *pair, int second,
                         const struct digits *times, int eighth, char *to) {
  enum { ANY_OF_THREE = 0xfe };
  __m512i pose_from = _mm512_add_epi8(common->from, _mm512_set1_epi8((char)(16 * second)));
  __m512i time_from = _mm512_add_epi8(common->from, _mm512_set1_epi8((char)(EIGHT * eighth)));
  __m512i pose = _mm512_maskz_permutex2var_epi8(common->pose, pair->tens, pose_from, pair->ones);
  __m512i time = _mm512_maskz_permutex2var_epi8(common->time, times->tens, time_from, times->ones);
  _mm512_storeu_si512(to, _mm512_ternarylogic_epi64(pose, time, common->row, ANY_OF_THREE));
  _mm512_storeu_si512(to + TEXT_WIDTH, common->rest);
}

WIDE_INLINE void put_eight(const struct common *common, const struct digits pairs[PAIRS],
                           const struct digits *times, char *to) {
  size_t length = common->length;
  put_row(common, &pairs[0], 0, times, 0, to);
  put_row(common, &pairs[1], 0, times, 1, to + length);
  put_row(common, &pairs[0], 1, times, 2, to + 2 * length);
  put_row(common, &pairs[1], 1, times, 3, to + 3 * length);
  put_row(common, &pairs[2], 0, times, 4, to + 4 * length);
  put_row(common, &pairs[3], 0, times, 5, to + 5 * length);
  put_row(common, &pairs[2], 1, times, 6, to + 6 * length);
  put_row(common, &pairs[3], 1, times, 7, to + 7 * length);
}

WIDE size_t text_wide_rows(const struct text_model *model, const struct tick_block *ticks,
                           size_t from, double margin, char *to) {
  const struct digits_shape *shapes = model->look->shapes;
  const double degrees = 180.0 / NUM_PI;
  const double *const values[POSE] = {ticks->poses.x + from, ticks->poses.y + from,
                                      ticks->poses.z + from, ticks->poses.head + from};
  const struct column time = column_of(shapes[0], 1, 0),
                      pose[POSE] = {column_of(shapes[1], 1, margin),
                                    column_of(shapes[2], 1, margin), column_of(shapes[3], 1, 0),
                                    column_of(shapes[4], degrees, 0)};
  const struct common common = common_of(model);
  __m512i t = _mm512_add_epi64(_mm512_set1_epi64(BASE_BITS + model->t_us),
                               _mm512_mul_epu32(_mm512_setr_epi64(0, 1, 2, 3, 4, 5, 6, 7),
                                                _mm512_set1_epi64(model->tick_us)));
  const __m512i eight_ticks = _mm512_set1_epi64(EIGHT * (int64_t)model->tick_us);
  size_t count = ticks->count - from, done = 0;
  while (done < count) {
    __mmask8 there = (__mmask8)(count - done >= EIGHT ? 0xff : (1 << (count - done)) - 1);
    __mmask8 good = there;
    __m512i columns[POSE];
    for (int k = 0; k < POSE; k++)
      columns[k] = parts_of(numbers_of(values[k] + done, there, &pose[k], &good));
    good = within(good, t, &time);
    struct digits times = digits_of(parts_of(t)), pairs[PAIRS];
    turn(columns, pairs);
    size_t alike = (size_t)__builtin_ctz(~(unsigned)good);
    done += alike;
    if (alike < EIGHT) {
      char rows[(EIGHT + 1) * TEXT_ROW_ROOM];
      put_eight(&common, pairs, &times, rows);
      memcpy(to, rows, alike * common.length);
      break;
    }
    put_eight(&common, pairs, &times, to);
    to += EIGHT * common.length;
    t = _mm512_add_epi64(t, eight_ticks);
  }
  return done;
}

#else

bool text_wide_is_there(void) {
  return false;
}

size_t text_wide_rows(const struct text_model *model, const struct tick_block *ticks, size_t from,
                      double margin, char *to) {
  (void)model, (void)ticks, (void)from, (void)margin, (void)to;
  return 0;
}

#endif
