/* wave.h - the sway of one run as a function of time, and when it began. */
#ifndef VERIFY_WAVE_H
#define VERIFY_WAVE_H

#include "verify/judge.h"

struct wave {
  const struct sway *sway;
  double amplitude, half, cross; /* mm; s */
  double began;                  /* s from the first row */
  int64_t halves;                /* whole sways, twice; more than any: not known yet */
  /* Where the speed changes along the lap a crossing is even with the pool's way, not with time. */
  bool is_by_way;
  double tick;
};

/* The row of the ring in which row `row` of the run is kept. */
static inline size_t sway_at(const struct sway *sway, int64_t row) {
  return (size_t)row & (sway->room - 1);
}
/* How deep the tip has to be, and what is not known of that. */
struct due {
  double deeper, doubt;
};
struct due wave_due(const struct wave *wave, double t);
/* began from the first crossing, which is looked for in rows from .. to; false: there is none. */
bool wave_find_first(struct wave *wave, int64_t from, int64_t to);
/* Whole sways, twice, when `far` is the last row well off the centre line. */
int64_t wave_halves_until(const struct wave *wave, int64_t far);
/* began from all crossings in rows from .. to. */
void wave_find_mean(struct wave *wave, int64_t from, int64_t to);

#endif
