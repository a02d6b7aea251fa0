/* table_runs.c - where the arc starts and stops, and what stays bare.
 *
 * Places are s along the wall, as a program names them, and the angle about the shape's centre from
 * the part's +X, by which they are found on the part. */
#include "emit/table_runs.h"

#include <inttypes.h>
#include <math.h>
#include <string.h>

#include "borelay/num.h"

enum { RUNS_SHOWN = 60, LAPS_SHOWN = 60, WIDTH = 100 };

/* deg, 0 .. 360 */
static double angle_at(const struct plan *plan, const struct contour *contour, double s) {
  vec2 arm = vec2_sub(contour_at(contour, s, 0).at, contour->centre);
  double turn = (num_atan2(arm.y, arm.x) - plan->placement.turned) / NUM_TURN;
  double angle = 360 * (turn - floor(turn));
  return angle >= 359.995 ? 0 : angle; /* as it is shown */
}

static void print_place(const struct plan *plan, const struct contour *contour,
                        const struct arc_place *place, FILE *to) {
  fprintf(to, " %6" PRId64 " %10.2f %8.2f %9.2f", place->lap, place->s,
          angle_at(plan, contour, place->s), place->depth);
}

static void print_layer_runs(const struct outcome *outcome, const struct arc_run *runs,
                             size_t count, FILE *to) {
  const struct plan *plan = outcome->plan;
  const struct plan_overlay *overlay = &plan->overlays[runs[0].overlay];
  fprintf(to, "  overlay %s, layer %zu: %zu start%s, %zu stop%s\n", overlay->overlay->name,
          runs[0].layer + 1, count, count == 1 ? "" : "s", count, count == 1 ? "" : "s");
  fprintf(to, "    %5s  %6s %10s %8s %9s  %6s %10s %8s %9s %11s\n", "run", "lap", "start s",
          "angle", "depth", "lap", "stop s", "angle", "depth", "length");
  for (size_t i = 0; i < count && i < RUNS_SHOWN; i++) {
    fprintf(to, "    %5zu ", i + 1);
    print_place(plan, overlay->contour, &runs[i].start, to);
    fputc(' ', to);
    print_place(plan, overlay->contour, &runs[i].stop, to);
    fprintf(to, " %11.2f\n", runs[i].length);
  }
  if (count > RUNS_SHOWN)
    fprintf(to, "    and %zu more\n", count - RUNS_SHOWN);
}

static size_t runs_of_layer(const struct verdict *verdict, size_t first) {
  const struct arc_run *runs = verdict->runs;
  size_t last = first;
  while (last < verdict->run_count && runs[last].overlay == runs[first].overlay &&
         runs[last].layer == runs[first].layer)
    last++;
  return last - first;
}

void runs_print(const struct outcome *outcome, FILE *to) {
  const struct verdict *verdict = outcome->verdict;
  fputs("\nStarts and stops (mm, deg)\n", to);
  for (size_t i = 0; i < verdict->run_count;) {
    size_t count = runs_of_layer(verdict, i);
    print_layer_runs(outcome, &verdict->runs[i], count, to);
    i += count;
  }
}

/* -- what stays bare --------------------------------------------------------------------------- */

enum { KINDS = BARE_WIRE + 1 };

const char *bare_why(enum bare_kind kind) {
  static const char *const WHY[KINDS] = {
      [BARE_ZONE] = "zone", [BARE_DOWNSLOPE] = "downslope", [BARE_WIRE] = "missing"};
  return WHY[kind];
}

static void print_sums(const struct bare_length *bare, size_t count, FILE *to) {
  static const char *const WHERE[KINDS] = {[BARE_ZONE] = "in zones",
                                           [BARE_DOWNSLOPE] = "in downslopes before these",
                                           [BARE_WIRE] = "missing"};
  double sum[KINDS] = {0};
  size_t lengths[KINDS] = {0};
  for (size_t i = 0; i < count; i++) {
    sum[bare[i].kind] += bare[i].length;
    lengths[bare[i].kind]++;
  }
  for (int k = 0; k < KINDS; k++) {
    fprintf(to, "%s%s: ", k == 0 ? "    " : "; ", WHERE[k]);
    if (lengths[k] > 0)
      fprintf(to, "%zu, %.2f mm", lengths[k], sum[k]);
    else
      fputs("none", to);
  }
  fputc('\n', to);
}

/* All of one lap on a line, or on as many as they need. */
static void print_lap(const struct bare_length *bare, size_t count, FILE *to) {
  int column = fprintf(to, "    lap %4" PRId64, bare[0].lap);
  for (size_t i = 0; i < count; i++) {
    char text[96];
    int length = snprintf(text, sizeof text, "%s %.2f from s %.2f%s", bare_why(bare[i].kind),
                          bare[i].length, bare[i].s, i + 1 < count ? ";" : "");
    if (column + 2 + length > WIDTH)
      column = fprintf(to, "\n%12s", "") - 1;
    column += fprintf(to, "  %s", text);
  }
  fputc('\n', to);
}

static bool same_layer(const struct bare_length *a, const struct bare_length *b) {
  return a->overlay == b->overlay && a->layer == b->layer;
}

static void print_laps(const struct bare_length *bare, size_t count, FILE *to) {
  size_t shown = 0, i = 0;
  while (i < count && shown < LAPS_SHOWN) {
    size_t first = i;
    while (i < count && bare[i].lap == bare[first].lap)
      i++;
    print_lap(&bare[first], i - first, to);
    shown++;
  }
  if (i < count)
    fprintf(to, "    and %zu more length%s: see the summary\n", count - i,
            count - i == 1 ? "" : "s");
}

void bare_print(const struct outcome *outcome, FILE *to) {
  const struct verdict *verdict = outcome->verdict;
  const struct bare_length *bare = verdict->bare;
  if (verdict->bare_count > 0)
    fputs("\nLengths that stay bare (mm)\n", to);
  for (size_t i = 0; i < verdict->bare_count;) {
    size_t first = i;
    while (i < verdict->bare_count && same_layer(&bare[i], &bare[first]))
      i++;
    const struct plan_overlay *overlay = &outcome->plan->overlays[bare[first].overlay];
    fprintf(to, "  overlay %s, layer %zu\n", overlay->overlay->name, bare[first].layer + 1);
    print_sums(&bare[first], i - first, to);
    print_laps(&bare[first], i - first, to);
  }
}
