/* What is found, for people. */
#include <inttypes.h>
#include <math.h>

#include "borelay/digits.h"
#include "borelay/locate.h"
#include "borelay/num.h"

static const char *phase_text(const struct borelay_row *row) {
  static const char *const texts[BORELAY_PHASE_COUNT] = {
      [BORELAY_MOVE] = "moving, arc off",
      [BORELAY_TOUCH] = "finding the wall",
      [BORELAY_PREFLOW] = "gas before the arc",
      [BORELAY_UPSLOPE] = "arc on, current rising",
      [BORELAY_WELD_PHASE] = "welding at full current",
      [BORELAY_DOWNSLOPE] = "current falling",
      [BORELAY_POSTFLOW] = "gas after the arc",
      [BORELAY_WAIT] = "waiting"};
  return texts[row->phase];
}

static void print_labels(const struct located *located, FILE *to) {
  const struct borelay_row *row = &located->row;
  if (row->overlay == 0) {
    fputs("  behind the last run, on the way to park\n", to);
    return;
  }
  bool leads =
      row->phase == BORELAY_MOVE || row->phase == BORELAY_TOUCH || row->phase == BORELAY_WAIT;
  fprintf(to, "  %soverlay %" PRIu32 " %s, layer %" PRIu32 ", lap %" PRIu32 "  (%s:%" PRIu32 ")\n",
          leads ? "on the way to " : "", row->overlay, located->overlay, row->layer, row->lap,
          located->file, row->line);
}

static void print_state(const struct borelay_row *row, FILE *to) {
  fprintf(to, "  %-8s %.1f A, %.2f V; wire %.3f mm/s, %.1f A; gas %s; voltage control %s\n",
          row->arc ? "arc on" : "arc off", row->current_100ma / 10.0, row->voltage_10mv / 100.0,
          row->wire_um_s / 1000.0, row->wire_current_100ma / 10.0, row->gas ? "on" : "off",
          row->avc ? "on" : "off");
}

static void print_wall(const struct located *located, const struct wall_place *place, FILE *to) {
  const struct borelay_row *row = &located->row;
  if (!place->has_wall)
    return;
  fprintf(to,
          "  wall     along %.3f mm, angle %.3f deg about the shape's centre; the tip %.3f mm "
          "%s it\n",
          digits_shown(place->along, 3), digits_shown(num_degrees(place->angle), 3),
          digits_shown(fabs(place->distance), 3), place->distance < 0 ? "outside" : "inside");
  if (row->arc)
    fprintf(to,
            "  taken up again with  --resume overlay=%s,layer=%" PRIu32 ",lap=%" PRIu32
            ",along=%.3fmm\n",
            located->overlay, row->layer, row->lap, place->along);
}

void locate_print(const struct located *located, const struct wall_place *place, FILE *to) {
  const struct borelay_row *row = &located->row;
  fprintf(to, "row %" PRIu64 " of %" PRIu64 ", %.6f s of %.6f s: %s\n", row->index,
          located->header.rows, (double)row->t_us / 1e6, (double)located->header.duration_us / 1e6,
          phase_text(row));
  if (located->header.mode == BORELAY_REHEARSAL)
    fputs(
        "  a rehearsal: arc, wire and gas stay off; what is said is what the weld would do there\n",
        to);
  print_labels(located, to);
  print_state(row, to);
  fprintf(to, "  H        x %.6f y %.6f z %.6f mm, head %.6f deg\n", (double)row->x_nm / 1e6,
          (double)row->y_nm / 1e6, (double)row->z_nm / 1e6, (double)row->head_udeg / 1e6);
  fprintf(to, "  tip      x %.3f y %.3f z %.3f mm; depth %.3f mm\n", digits_shown(place->tip.x, 3),
          digits_shown(place->tip.y, 3), digits_shown(place->tip.z, 3),
          digits_shown(place->depth, 3));
  print_wall(located, place, to);
}
