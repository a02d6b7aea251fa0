/* calm.c - rows that repeat the row before in all but their place.
 *
 * Labels, switches and values are judged by themselves, by the phase and by how many ticks it has
 * lasted.  Where the row before met no fault of order or setpoints and nothing more happens at a
 * later tick of the phase, a row that repeats it meets none either: only its place is left to be
 * judged. */
#include "verify/judge.h"

uint64_t calm_faults(const struct judge *judge) {
  const struct finding *items = judge->findings->items;
  return items[CHECK_ORDER].faults + items[CHECK_SETPOINTS].faults;
}

void calm_after_row(struct judge *judge, uint64_t faults) {
  judge->calm.is_calm = calm_faults(judge) == faults;
}

/* How many of the rows stand where the row before them does. */
static size_t count_standing(const struct judge *judge, const struct block *block, size_t from,
                             size_t room) {
  const struct borelay_row *before = from > 0 ? &block->rows[from - 1] : &judge->before;
  size_t i = from;
  for (; i < from + room && run_stands(&block->rows[i], before); i++)
    before = &block->rows[i];
  return i - from;
}

/* An attempt in vain is dear: where rows are faulty one after the other it is put off for longer
 * and longer. */
static size_t weld_rows(struct judge *judge, const struct block *block, size_t from, size_t room) {
  struct calm *calm = &judge->calm;
  uint64_t row = block->rows[from].index;
  if (row < calm->retry)
    return 0;
  size_t done = along_rows(judge, block, from, room);
  if (done > 16) {
    calm->rest = 1;
  } else {
    calm->retry = row + done + calm->rest;
    calm->rest = calm->rest < BLOCK_ROWS ? 2 * calm->rest + 1 : BLOCK_ROWS;
  }
  return done;
}

size_t calm_rows(struct judge *judge, const struct block *block, size_t from, size_t room) {
  if (!judge->calm.is_calm)
    return 0;
  size_t done = 0;
  bool is_active = judge->run.active;
  switch ((enum borelay_phase)block->rows[from].phase) {
  case BORELAY_MOVE:
    for (; !is_active && done < room; done++) {
      struct head head = block_head(block, from + done);
      moves_row(judge, &block->rows[from + done], &head);
    }
    return done;
  case BORELAY_WAIT:
    done = is_active ? 0 : count_standing(judge, block, from, room);
    judge->waited += (int64_t)done;
    return done;
  case BORELAY_TOUCH:
  case BORELAY_PREFLOW:
  case BORELAY_POSTFLOW:
    return is_active && !judge->run.was_arc ? count_standing(judge, block, from, room) : 0;
  case BORELAY_WELD_PHASE:
    return is_active ? weld_rows(judge, block, from, room) : 0;
  case BORELAY_UPSLOPE:
  case BORELAY_DOWNSLOPE:
  case BORELAY_PHASE_COUNT:
    break;
  }
  return 0;
}
