/* All of the wire is on the wall: every program's metal against its wire, and integrals of the map
 * by the GNU Scientific Library against both. */
#include <glob.h>

#include "buildup/laid_job.h"

#include "borelay/deposit.h"
#include "borelay/num.h"
#include "buildup/section.h"
#include "support/random.h"

/* True volume per depth and length of the shape that a thickness stands for: between two circles on
 * an arc. */
struct column {
  const struct buildup *buildup;
  const struct contour_seg *seg;
  size_t layers;
  double s;
};
static double column_at(double depth, void *data) {
  const struct column *column = data;
  double t = buildup_thickness(column->buildup, column->layers, column->s, depth);
  double bent = column->seg->turn == 0 ? 0 : column->seg->turn * t * t / (2 * column->seg->radius);
  return t - bent;
}

static void along_the_wall(const struct laid *laid, const struct buildup *buildup, size_t overlay) {
  const struct plan_overlay *planned = &laid->plan->overlays[overlay];
  for (size_t k = 0; k < planned->layer_count; k++) {
    const struct plan_layer *layer = &planned->layers[k];
    double wire = wire_of_rows(laid->motion, overlay, layer);
    assert_close(buildup_wire(buildup, k), wire, 0, 1e-10);
    assert_close(buildup_volume(buildup, k), wire, 0, 1e-9);
    struct breaks breaks = breaks_of_layer(laid->told.arena, laid->motion, overlay, layer);
    struct line_job job = {buildup, planned->contour, k, layer->offset};
    double sum = quadrature_over(line_at, &job, &breaks, wire * 1e-12);
    free(breaks.at);
    assert_close(sum, wire, 0, 1e-9);
  }
}

/* Where parabolas, levels and flanks meet. */
static void breaks_of_beads(struct breaks *breaks, const struct laid *laid, size_t overlay,
                            const struct plan_layer *layer, double s) {
  struct poured poured = {.layer = layer};
  struct section section;
  section_begin(&section);
  for (size_t i = 0; i < laid->motion->phase_count; i++) {
    const struct phase *phase = &laid->motion->phases[i];
    if (phase->kind != PHASE_WELD || phase->plan_layer != layer ||
        phase->overlay != (int32_t)overlay + 1)
      continue;
    struct pour pour = pour_make(laid->told.arena, laid->motion, phase);
    poured.pours = &pour;
    poured.count = 1;
    section_fill(&section, &poured, s, (struct range){-HUGE_VAL, HUGE_VAL});
  }
  for (size_t i = 0; i < section.count; i++)
    for (int side = -1; side <= 1; side++)
      breaks_add(breaks, section.items[i].centre + side * section.items[i].width / 2);
  section_release(&section);
}

static void across_the_laps(const struct laid *laid, const struct buildup *buildup, size_t overlay,
                            struct random *random, int places) {
  const struct plan_overlay *planned = &laid->plan->overlays[overlay];
  const struct contour *contour = planned->contour;
  for (int i = 0; i < places; i++) {
    double s = random_between(random, 0, contour->perimeter);
    if (i % 2) /* where runs begin and end */
      s = planned->layers[0].runs[0].s_start + random_between(random, -9, 9);
    double turns, at = contour_wrap(contour, s, &turns);
    struct column column = {buildup, &contour->segs[contour_seg_at(contour, at)],
                            planned->layer_count, at};
    double want = 0;
    struct breaks breaks = {0};
    for (size_t k = 0; k < planned->layer_count; k++) {
      struct line_job job = {buildup, contour, k, planned->layers[k].offset};
      want += line_at(at, &job);
      breaks_of_beads(&breaks, laid, overlay, &planned->layers[k], at);
    }
    if (breaks.count > 0)
      qsort(breaks.at, breaks.count, sizeof *breaks.at, breaks_order);
    assert_close(quadrature_over(column_at, &column, &breaks, want * 1e-12), want, 0, 1e-9);
    free(breaks.at);
  }
}

static void every_program_keeps_its_wire(void **state) {
  (void)state;
  glob_t found;
  assert_int_equal(glob("programs/*.lay", 0, NULL, &found), 0);
  struct random random = {20};
  int whole = 0;
  for (size_t i = 0; i < found.gl_pathc; i++) {
    struct laid laid = lay_file(found.gl_pathv[i]);
    for (size_t k = 0; laid.motion && k < laid.plan->overlay_count; k++) {
      const struct buildup *buildup = buildup_make(laid.told.arena, laid.motion, k);
      along_the_wall(&laid, buildup, k);
      across_the_laps(&laid, buildup, k, &random, 4);
      whole++;
    }
    told_end(&laid.told);
  }
  assert_true(whole >= 11);
  globfree(&found);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(every_program_keeps_its_wire),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
