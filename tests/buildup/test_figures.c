/* Least, mean and most over the band against the metal itself: what is looked at inside and at the
 * edges, put together, has the volume of the wire within what a quarter of a bead may miss. */
#include <glob.h>

#include "buildup/laid_job.h"

static void looked_at_is_laid(void **state) {
  (void)state;
  glob_t found;
  assert_int_equal(glob("programs/*.lay", 0, NULL, &found), 0);
  int rounds = 0;
  for (size_t i = 0; i < found.gl_pathc; i++) {
    struct laid laid = lay_file(found.gl_pathv[i]);
    for (size_t k = 0; laid.motion && k < laid.plan->overlay_count; k++) {
      const struct plan_overlay *planned = &laid.plan->overlays[k];
      const struct buildup *buildup = buildup_make(laid.told.arena, laid.motion, k);
      struct buildup_figures figures = buildup_figures_find(laid.told.arena, buildup);
      struct plan_remaining least = plan_remaining_get(planned);
      assert_true(figures.inside.share > 0 && figures.edges.share > 0);
      assert_true(figures.inside.share + figures.edges.share <= 1 + 1e-12);
      assert_true(figures.inside.least <= figures.inside.mean);
      assert_true(figures.inside.mean <= figures.inside.most);
      if (least.is_asked && figures.inside.least < least.build_up - 1e-7)
        print_error("%s: %.9f, bound %.9f\n", found.gl_pathv[i], figures.inside.least,
                    least.build_up);
      if (least.is_asked)
        assert_true(figures.inside.least >= least.build_up - 1e-7);
      assert_close(
          buildup_thickness(buildup, planned->layer_count, figures.most_s, figures.most_depth),
          figures.inside.most, 1e-9, 0);
      const struct contour_seg *seg = planned->contour->segs;
      struct range band = planned->layers[0].layer->depths;
      if (planned->contour->count > 1)
        continue;
      rounds++;
      double metal = 0, area = planned->contour->perimeter * (band.hi - band.lo);
      for (size_t n = 0; n < planned->layer_count; n++)
        metal += buildup_volume(buildup, n);
      double mean =
          figures.inside.share * figures.inside.mean + figures.edges.share * figures.edges.mean;
      /* of the mean of T, T - T^2/(2R) is a little more than the mean of T - T^2/(2R) */
      assert_close(mean - mean * mean / (2 * seg->radius), metal / area, 0, 0.02);
    }
    told_end(&laid.told);
  }
  assert_true(rounds >= 6);
  globfree(&found);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(looked_at_is_laid)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
