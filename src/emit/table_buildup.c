/* table_buildup.c - what lies on the wall, for people. */
#include "emit/table_buildup.h"

#include <inttypes.h>

#include "borelay/buildup.h"

/* "80.123 round", "180.2 x 120.1", "-". */
static void bore_text(struct bore_left bore, char *text, size_t size) {
  if (bore.kind == SHAPE_OUTLINE)
    snprintf(text, size, "-");
  else if (bore.kind == SHAPE_ROUND)
    snprintf(text, size, "%.3f", bore.length);
  else
    snprintf(text, size, "%.3f x %.3f", bore.length, bore.width);
}

static void print_range(struct range range, FILE *to) {
  if (range.hi - range.lo < 5e-4)
    fprintf(to, "  %16.3f", range.lo);
  else
    fprintf(to, "  %6.3f .. %6.3f", range.lo, range.hi);
}

static void print_part(const char *what, struct buildup_part part, FILE *to) {
  if (part.share > 0)
    fprintf(to, "  %-14s %8.3f %8.3f %8.3f mm least, mean, most; %.1f %% of the wall\n", what,
            part.least, part.mean, part.most, 100 * part.share);
}

void buildup_print(const struct outcome *outcome, size_t index, FILE *to) {
  const struct plan_overlay *overlay = &outcome->plan->overlays[index];
  fprintf(to, "  %5s  %9s %9s  %16s  %16s  %20s\n", "layer", "bead area", "valleys", "true",
          "build-up", "bore left");
  fprintf(to, "  %5s  %9s %9s  %16s  %16s  %20s\n", "", "mm2", "mm", "mm", "mm", "mm");
  for (size_t k = 0; k < overlay->layer_count; k++) {
    const struct plan_layer *layer = &overlay->layers[k];
    char bore[48];
    bore_text(plan_bore_left(overlay, k + 1), bore, sizeof bore);
    fprintf(to, "  %5" PRId64 "  %9.4f %9.4f", layer->number, layer->bead_area, layer->wall_flat);
    print_range(plan_layer_true(overlay, layer), to);
    print_range(plan_build_up_range(overlay, k + 1), to);
    fprintf(to, "  %20s\n", bore);
  }
  if (!outcome->verdict)
    return;
  struct buildup_figures figures = buildup_figures_of(outcome->motion, index);
  print_part("inside", figures.inside, to);
  print_part("edges and ends", figures.edges, to);
}
