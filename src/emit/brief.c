/* One line about a job among many. */
#include "borelay/emit.h"

#include <inttypes.h>
#include <math.h>

void brief_print(const struct outcome *outcome, const char *job_path, const char *output,
                 FILE *to) {
  if (!outcome_passed(outcome)) {
    fprintf(to, "%s: REFUSED\n", job_path);
    return;
  }
  int64_t seconds = (int64_t)floor(outcome->verdict->quantities.duration + 0.5);
  fprintf(to, "%s: passed, %" PRId64 " h %02d min %02d s", job_path, seconds / 3600,
          (int)(seconds / 60 % 60), (int)(seconds % 60));
  if (output)
    fprintf(to, ", %s", output);
  fputs("\n", to);
}
