/* table_work.c - what the job takes: in all, by overlay and by procedure. */
#include "emit/table_work.h"

#include <inttypes.h>

#include "borelay/digits.h"

static void print_time(const char *what, double seconds, FILE *to) {
  int64_t tenths = digits_scale(seconds, 1);
  fprintf(to, "  %-10s %" PRId64 " h %02d min %02d.%d s", what, tenths / 36000,
          (int)(tenths / 600 % 60), (int)(tenths / 10 % 60), (int)(tenths % 10));
}

enum { NAME = 30 }; /* columns; what is longer moves its row on */

static void print_work(const char *kind, const char *name, const struct work *work, FILE *to) {
  int column = fprintf(to, "  %s%s", kind, name);
  fprintf(to, "%*s %8.2f %8.2f %6.1f %8.2f %8.3f %8.1f %6" PRId64 " %9.3f\n",
          column < NAME ? NAME - column : 0, "", work->time / 60, work->arc_time / 60,
          100 * work_arc_share(work), work->wire_length_m, work->wire_mass_kg, work->gas_l,
          work->starts, work_deposition(work));
}

static void print_shares(const struct outcome *outcome, FILE *to) {
  const struct quantities *sums = &outcome->verdict->quantities;
  fprintf(to, "%*s %8s %8s %6s %8s %8s %8s %6s %9s\n", NAME, "", "time", "arc time", "arc on",
          "wire", "wire", "gas", "starts", "deposited");
  fprintf(to, "%*s %8s %8s %6s %8s %8s %8s %6s %9s\n", NAME, "", "min", "min", "%", "m", "kg", "L",
          "", "kg/h");
  for (size_t i = 0; i < outcome->plan->overlay_count; i++)
    print_work("overlay ", outcome->plan->overlays[i].overlay->name, &sums->overlays[i], to);
  fprintf(to, "  %-*s %8.2f\n", NAME - 2, "after the last postflow", sums->afterwards / 60);
  print_work("in all", "", &sums->whole, to);
  for (size_t i = 0; i < sums->procedure_count; i++)
    print_work("procedure ", sums->procedures[i].procedure->name, &sums->procedures[i].work, to);
}

void work_print(const struct outcome *outcome, FILE *to) {
  const struct quantities *sums = &outcome->verdict->quantities;
  fputs("\nQuantities\n", to);
  print_time("duration", sums->duration, to);
  fprintf(to, "  (%" PRId64 " rows, one each %g s)\n", sums->rows, outcome->job->cell->tick);
  print_time("arc time", sums->arc_time, to);
  fprintf(to, "\n  %-10s %.2f m, %.3f kg\n", "wire", sums->wire_length_m, sums->wire_mass_kg);
  fprintf(to, "  %-10s %.1f L\n", "gas", sums->gas_l);
  print_shares(outcome, to);
}
