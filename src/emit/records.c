/* records.c - records four at a time.
 *
 * As words of eight bytes, the last of which stands still:
 *   x, 2 of y | 4 of y, 4 of z | 2 of z, 6 of head | 2 of head, 6 of process | 8 of process
 * Four words of four records are made at a time, and turned from columns into rows.  Where words do
 * not lie in memory as in a record, they go field by field. */
#include "emit/records.h"

#include <string.h>

#include "borelay/lanes.h"

typedef double reals __attribute__((vector_size(8 * STEADY_LANES)));
typedef uint64_t words __attribute__((vector_size(8 * STEADY_LANES)));
enum { WORDS = STEADY_LANES, FIRST_BYTE_IS_LOWEST = __BYTE_ORDER__ == __ORDER_LITTLE_ENDIAN__ };
_Static_assert((int)WORDS == 4 && (int)BORELAY_RECORD_SIZE == 40, "five lines of four words");

/* Four records but for the last words, in columns. */
struct four {
  words a, b, c, d;
};

/* Of all records: six bytes of the process, from the second on; the others. */
struct ending {
  uint64_t upper, last;
};

static struct ending ending_of(const uint8_t process[PROCESS_MOVE]) {
  struct ending ending;
  memcpy(&ending.upper, process, sizeof ending.upper);
  memcpy(&ending.last, process + 6, sizeof ending.last);
  ending.upper <<= 16;
  return ending;
}

static inline void put_four(uint8_t *at, const struct four *of, uint64_t last) {
  words ab02 = __builtin_shufflevector(of->a, of->b, 0, 4, 2, 6);
  words ab13 = __builtin_shufflevector(of->a, of->b, 1, 5, 3, 7);
  words cd02 = __builtin_shufflevector(of->c, of->d, 0, 4, 2, 6);
  words cd13 = __builtin_shufflevector(of->c, of->d, 1, 5, 3, 7);
  words record[WORDS] = {__builtin_shufflevector(ab02, cd02, 0, 1, 4, 5),
                         __builtin_shufflevector(ab13, cd13, 0, 1, 4, 5),
                         __builtin_shufflevector(ab02, cd02, 2, 3, 6, 7),
                         __builtin_shufflevector(ab13, cd13, 2, 3, 6, 7)};
  for (int i = 0; i < WORDS; i++) {
    memcpy(at + i * BORELAY_RECORD_SIZE, &record[i], sizeof record[i]);
    memcpy(at + i * BORELAY_RECORD_SIZE + sizeof record[i], &last, sizeof last);
  }
}

static const uint64_t LOW_48 = ((uint64_t)1 << 48) - 1, LOW_32 = UINT32_MAX, LOW_16 = UINT16_MAX;

/* -- of a block ------------------------------------------------------------------------------- */

/* Returns how many; at most three are left. */
LANES(size_t, put_fours,
      (uint8_t * at, const struct row_block *rows, size_t from, size_t count,
       const uint8_t process[PROCESS_MOVE]),
      (at, rows, from, count, process)) {
  struct ending ending = ending_of(process);
  size_t done = 0;
  for (; done + WORDS <= count; done += WORDS, at += WORDS * BORELAY_RECORD_SIZE) {
    words x, y, z, head;
    memcpy(&x, rows->x_nm + from + done, sizeof x);
    memcpy(&y, rows->y_nm + from + done, sizeof y);
    memcpy(&z, rows->z_nm + from + done, sizeof z);
    memcpy(&head, rows->head_udeg + from + done, sizeof head);
    struct four four = {(x & LOW_48) | y << 48, (y >> 16 & LOW_32) | z << 32,
                        (z >> 32 & LOW_16) | head << 16, head >> 48 | ending.upper};
    put_four(at, &four, ending.last);
  }
  return done;
}

/* The lowest eight bytes in one move; of those too many the next field takes the place. */
static inline void put_eight(uint8_t *to, int64_t value) {
#if __BYTE_ORDER__ == __ORDER_BIG_ENDIAN__
  value = (int64_t)__builtin_bswap64((uint64_t)value);
#endif
  memcpy(to, &value, sizeof value);
}

void records_put(uint8_t *at, const struct row_block *rows, size_t from, size_t count,
                 const uint8_t process[PROCESS_MOVE]) {
  size_t done = FIRST_BYTE_IS_LOWEST ? put_fours(at, rows, from, count, process) : 0;
  at += done * BORELAY_RECORD_SIZE;
  for (size_t k = from + done; k < from + count; k++, at += BORELAY_RECORD_SIZE) {
    put_eight(at, rows->x_nm[k]);
    put_eight(at + 6, rows->y_nm[k]);
    put_eight(at + 12, rows->z_nm[k]);
    put_eight(at + 18, rows->head_udeg[k]);
    memcpy(at + 26, process, PROCESS_MOVE); /* what is too much lies where the CRC will */
  }
}

/* -- of a steady piece ------------------------------------------------------------------------ */

/* Where one is in doubt, a bit of its whole part is set; those behind the point say nothing. */
struct doubt {
  words x, y, z, head;
};

static bool is_sure(const struct doubt *doubt) {
  words doubts = doubt->x >> STEADY_PLACE_BITS | doubt->y >> STEADY_PLACE_BITS |
                 doubt->z >> STEADY_Z_BITS | doubt->head >> STEADY_HEAD_BITS;
  uint64_t any = 0;
  for (size_t k = 0; k < WORDS; k++)
    any |= doubts[k];
  return any == 0;
}

static inline void places_at(const struct steady_rows *rows, size_t i, words *x, words *y) {
  reals sine, cosine;
  memcpy(&sine, rows->steady->sine + i, sizeof sine);
  memcpy(&cosine, rows->steady->cosine_less_one + i, sizeof cosine);
  reals held_x = rows->x + (rows->along * cosine - rows->across * sine);
  reals held_y = rows->y + (rows->across * cosine + rows->along * sine);
  *x = (words)held_x + rows->x_base;
  *y = (words)held_y + rows->y_base;
}

static void rise_from(const struct steady_rise *rise, size_t i, words *held) {
  for (size_t k = 0; k < WORDS; k++)
    (*held)[k] = rise->start + (i + k) * rise->step;
}

/* x and y fill words of 48 bits in front of the point, z one of 32, the head's angle one of 40. */
LANES(bool, put_steady,
      (uint8_t * at, const struct steady_rows *of, size_t i, size_t count,
       const uint8_t process[PROCESS_MOVE]),
      (at, of, i, count, process)) {
  const struct steady_rows rows = *of; /* what is written is none of it */
  struct ending ending = ending_of(process);
  struct doubt doubt = {{0}, {0}, {0}, {0}};
  words x, y, z = {0}, head = {0};
  uint64_t z_upper = (uint64_t)rows.z.upper & LOW_16, head_upper = (uint64_t)rows.head.upper << 40;
  uint64_t c_upper = z_upper | head_upper << 16;
  struct four four = {.d = (words){0} + (head_upper >> 48 | ending.upper)};
  rise_from(&rows.z, i, &z);
  rise_from(&rows.head, i, &head);
  for (size_t end = i + count; i < end; i += WORDS, at += WORDS * BORELAY_RECORD_SIZE) {
    places_at(&rows, i, &x, &y);
    doubt.x |= x ^ (x + rows.margins);
    doubt.y |= y ^ (y + rows.margins);
    doubt.z |= z ^ (z + rows.z.margins);
    doubt.head |= head ^ (head + rows.head.margins);
    four.a = x >> 16 | (y << 32 & ~LOW_48);
    four.b = y >> 32 | (z & ~LOW_32);
    four.c = c_upper | (head >> 8 & ~LOW_16);
    put_four(at, &four, ending.last);
    z += WORDS * rows.z.step;
    head += WORDS * rows.head.step;
  }
  return is_sure(&doubt);
}

bool records_put_steady(uint8_t *at, const struct steady_rows *rows, size_t i, size_t count,
                        const uint8_t process[PROCESS_MOVE]) {
  return FIRST_BYTE_IS_LOWEST && put_steady(at, rows, i, count, process);
}
