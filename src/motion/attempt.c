/* Ways are built for good, judged, and taken back where another is to be tried: what is judged is
 * what will run. */
#include "motion/attempt.h"

/* Less than this is no reason for a way that is liked less. */
static const double WORTHWHILE_MM = 0.01;

struct attempt_mark attempt_begin(const struct builder *builder) {
  return (struct attempt_mark){builder->phase_count, builder->now, builder->pose};
}

void attempt_undo(struct builder *builder, struct attempt_mark mark) {
  builder->phase_count = mark.phase_count;
  builder->now = mark.now;
  builder->pose = mark.pose;
}

/* Ways within ways have marked their moves already; the last word is the outermost. */
static void mark_moves(struct builder *builder, size_t first, size_t ways) {
  for (size_t i = first; i < builder->phase_count; i++)
    builder->phases[i].ways_tried = (int32_t)ways;
}

struct attempt_result attempt_best(struct builder *builder, size_t count, attempt_go go,
                                   const void *journey) {
  const struct attempt_mark mark = attempt_begin(builder);
  struct attempt_result result = {0};
  for (size_t k = 0; k < count; k++) {
    if (go(builder, journey, k)) {
      struct link_near near = link_judge(builder, mark.phase_count);
      bool better = result.ways == 0 || near.shortfall < result.near.shortfall - WORTHWHILE_MM;
      result.ways++;
      if (better || near.shortfall <= 0) {
        result.best = k;
        result.near = near;
      }
      if (near.shortfall <= 0) {
        mark_moves(builder, mark.phase_count, 0);
        return result;
      }
    }
    attempt_undo(builder, mark);
  }
  if (result.ways > 0) {
    go(builder, journey, result.best);
    mark_moves(builder, mark.phase_count, result.ways);
  }
  return result;
}
