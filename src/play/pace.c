/* pace.c - each row is due one step after the row before was due, not after it was sent, so that
 * small delays do not add up.  Sums of doubles: less than a microsecond in a week. */
#include "play/pace.h"

void pace_begin(struct pace *pace, double now_s, double step_s, bool from_rest) {
  *pace = (struct pace){
      .due_s = now_s, .step_s = step_s, .rate = from_rest ? PACE_SLOW : 1, .target = 1};
}

void pace_aim(struct pace *pace, bool slow) {
  pace->target = slow ? PACE_SLOW : 1;
}

static double next_rate(const struct pace *pace) {
  double change = pace->step_s / PACE_RAMP_S;
  if (pace->rate < pace->target)
    return pace->rate + change < pace->target ? pace->rate + change : pace->target;
  return pace->rate - change > pace->target ? pace->rate - change : pace->target;
}

void pace_delivered(struct pace *pace, double now_s, bool burns_before, bool burns) {
  if (!burns_before && now_s - pace->due_s > PACE_JITTER_S)
    pace->due_s = now_s;
  pace->rate = burns ? 1 : next_rate(pace);
  pace->due_s += pace->step_s / pace->rate;
}

void pace_stood(struct pace *pace, double now_s) {
  if (pace->due_s < now_s)
    pace->due_s = now_s;
}
