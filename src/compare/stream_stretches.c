/* Stretches of one phase, whatever their time: a lap that is welded alike, only later, is alike.
 *
 * Each keeps a digest of what its rows tell the machine (FNV-1a, 64 bits, by G. Fowler, L. C. Noll
 * and K.-P. Vo; constants from memory): two stretches of as many rows that differ have the same
 * digest once in 2^64. */
#include <inttypes.h>

#include "borelay/arena.h"
#include "borelay/motion.h"
#include "compare/streams.h"

static void digest_add(uint64_t *digest, int64_t value) {
  uint64_t bits = (uint64_t)value;
  for (int i = 0; i < 8; i++, bits >>= 8) {
    *digest ^= bits & 0xff;
    *digest *= UINT64_C(0x100000001b3);
  }
}

static void digest_row(uint64_t *digest, const struct borelay_row *row) {
  digest_add(digest, row->x_nm);
  digest_add(digest, row->y_nm);
  digest_add(digest, row->z_nm);
  digest_add(digest, row->head_udeg);
  digest_add(digest, row->wire_um_s);
  digest_add(digest, row->current_100ma);
  digest_add(digest, row->wire_current_100ma);
  digest_add(digest, row->voltage_10mv);
  digest_add(digest, row->arc + 2 * row->gas + 4 * row->avc);
}

static bool goes_on(const struct row_stretch *stretch, const struct borelay_row *row) {
  return stretch->overlay == row->overlay && stretch->layer == row->layer &&
         stretch->lap == row->lap && stretch->phase == row->phase;
}

void stream_stretch_take(struct arena *arena, struct stream_side *side,
                         const struct borelay_row *row) {
  size_t n = side->stretch_count;
  if (n == 0 || !goes_on(&side->stretches[n - 1], row)) {
    if ((n & (n - 1)) == 0)
      side->stretches =
          arena_grow(arena, side->stretches, n, n ? 2 * n : 1, sizeof *side->stretches);
    side->stretches[side->stretch_count++] = (struct row_stretch){row->overlay,
                                                                  row->layer,
                                                                  row->lap,
                                                                  row->phase,
                                                                  row->index,
                                                                  0,
                                                                  UINT64_C(0xcbf29ce484222325),
                                                                  0};
    n++;
  }
  struct row_stretch *stretch = &side->stretches[n - 1];
  stretch->count++;
  digest_row(&stretch->digest, row);
}

/* -- comparing --------------------------------------------------------------------------------- */

static bool same_labels(const struct row_stretch *a, const struct row_stretch *b) {
  return a->overlay == b->overlay && a->layer == b->layer && a->lap == b->lap &&
         a->phase == b->phase;
}

/* Within one lap a phase recurs a few times at most, and laps follow one another: a short look back
 * finds those of the same lap. */
static void number(struct stream_side *side) {
  enum { LOOK_BACK = 400 };
  for (size_t i = 0; i < side->stretch_count; i++)
    for (size_t back = 1; back <= i && back <= LOOK_BACK; back++)
      if (same_labels(&side->stretches[i - back], &side->stretches[i])) {
        side->stretches[i].recurrence = side->stretches[i - back].recurrence + 1;
        break;
      }
}

static void add(struct streams *streams, const struct row_stretch *before,
                const struct row_stretch *after) {
  size_t n = streams->stretch_count;
  if ((n & (n - 1)) == 0)
    streams->stretches = arena_grow(streams->arena, streams->stretches, n, n ? 2 * n : 1,
                                    sizeof *streams->stretches);
  streams->stretches[streams->stretch_count++] = (struct stretch_change){before, after};
}

/* The place of the stretch with the same labels, from `near` on and round; the count: none. */
static size_t stretch_find(const struct stream_side *side, const struct row_stretch *wanted,
                           size_t near) {
  for (size_t k = 0; k < side->stretch_count; k++) {
    size_t i = (near + k) % side->stretch_count;
    if (same_labels(&side->stretches[i], wanted) &&
        side->stretches[i].recurrence == wanted->recurrence)
      return i;
  }
  return side->stretch_count;
}

void stream_stretches_compare(struct streams *streams) {
  struct stream_side *before = &streams->sides[0], *after = &streams->sides[1];
  number(before);
  number(after);
  bool *is_taken = arena_alloc(streams->arena, before->stretch_count + 1, sizeof *is_taken);
  size_t near = 0;
  for (size_t i = 0; i < after->stretch_count; i++) {
    const struct row_stretch *here = &after->stretches[i];
    size_t k = stretch_find(before, here, near);
    if (k == before->stretch_count) {
      add(streams, NULL, here);
      continue;
    }
    const struct row_stretch *there = &before->stretches[k];
    is_taken[k] = true;
    near = k + 1;
    if (there->count != here->count || there->digest != here->digest)
      add(streams, there, here);
  }
  for (size_t k = 0; k < before->stretch_count; k++)
    if (!is_taken[k])
      add(streams, &before->stretches[k], NULL);
}

const char *stream_stretch_text(struct arena *arena, const struct row_stretch *stretch) {
  const char *phase = phase_name((enum phase_kind)stretch->phase);
  if (stretch->overlay == 0)
    return arena_format(arena, "after the last lap, %s", phase);
  return arena_format(arena, "overlay %" PRIu32 ", layer %" PRIu32 ", lap %" PRIu32 ", %s",
                      stretch->overlay, stretch->layer, stretch->lap, phase);
}

const struct row_stretch *stream_stretch_at(const struct stream_side *side, double t) {
  double tick = side->header.tick_us * 1e-6;
  size_t lo = 0, hi = side->stretch_count;
  while (hi - lo > 1) {
    size_t middle = lo + (hi - lo) / 2;
    if ((double)side->stretches[middle].first * tick <= t + tick / 1000)
      lo = middle;
    else
      hi = middle;
  }
  return &side->stretches[lo];
}
