/* Beads side by side by themselves: what is known of one parabola and of even rows of them, and
 * that nothing is lost whatever lies beside what. */
#include "borelay/deposit.h"
#include "buildup/across.h"
#include "buildup/laid_job.h"
#include "support/random.h"

/* Parabola of width 10 and height 2 (area 2/3 w h = 13.333333): crown, half height at
 * w/2 sqrt(1/2), toe. */
static void one_bead_is_a_parabola(void **state) {
  (void)state;
  struct bead bead = {30, 10, 40.0 / 3};
  assert_close(across_height(&bead, 1, 30), 2, 1e-12, 0);
  assert_close(across_height(&bead, 1, 30 + 5 * sqrt(0.5)), 1, 1e-12, 0);
  assert_close(across_height(&bead, 1, 30 - 5 * sqrt(0.5)), 1, 1e-12, 0);
  assert_close(across_height(&bead, 1, 35), 0, 1e-12, 0);
  assert_close(across_height(&bead, 1, 24.9), 0, 0, 0);
  /* 1.2 mm wire at 1500 mm/min, 200 mm/min, 10 wide: h = 1.5 A/w = 1.272345 (mass balance) */
  struct bead laid = {0, 10, 8.482300164692441};
  assert_close(across_height(&laid, 1, 0), 1.272345, 1e-6, 0);
}

enum { ROW = 15 };
static void row_lay(struct bead *beads, double pitch) {
  for (int i = 0; i < ROW; i++)
    beads[i] = (struct bead){pitch * i, 10, 40.0 / 3};
}

/* Beads 10 wide and 2 high in an even row.  Means A/p: 2.000000 at the flat-top pitch 2/3 w (crown
 * line itself), 1.806685 at 7.38, 2.222222 at 6.  Tangent pitch over w: 0.737843259, where the
 * layer stands 0.903534 h (D. Ding, Z. Pan, D. Cuiuri, H. Li, RCIM 31 (2015) 101-110, re-derived).
 * Above it the valley: 2h (1 - (p/w)^2) in the middle. */
static void even_rows(void **state) {
  (void)state;
  static const struct {
    double pitch, floor_height, crown;
  } rows[] = {
      {6, 2.222222, 2.222222},
      {20.0 / 3, 2, 2},
      {7.37843259, 2 * 0.903534, 2 * 0.903534},
      {8, 1.44, 1.5 * 40.0 / 24 - 0.5 * 1.44},
      {9, 0.76, 1.5 * 40.0 / 27 - 0.5 * 0.76},
      {10, 0, 2},
      {12, 0, 2},
  };
  for (size_t k = 0; k < sizeof rows / sizeof *rows; k++) {
    struct bead beads[ROW];
    row_lay(beads, rows[k].pitch);
    double least = HUGE_VAL, most = 0, from = beads[0].centre, to = beads[ROW - 1].centre;
    for (int i = 0; i <= 14000; i++) {
      double height = across_height(beads, ROW, from + (to - from) * i / 14000);
      least = fmin(least, height);
      most = fmax(most, height);
    }
    assert_close(least, rows[k].floor_height, 1e-6, 0);
    assert_close(most, rows[k].crown, 1e-6, 0);
    /* what the requirement counts with */
    double flat =
        layer_thickness_flat(beads[0].area, rows[k].pitch, ROW, 10,
                             layer_thickness_nominal(beads[0].area, rows[k].pitch, ROW, 10));
    assert_close(least, flat, 1e-9, 0);
  }
}

/* Outside the first centre line the height begins at the level's and falls to nothing at the toe;
 * half of the bead's metal lies there. */
static void flanks(void **state) {
  (void)state;
  for (double pitch = 5; pitch < 10; pitch += 0.25) {
    struct bead beads[ROW];
    row_lay(beads, pitch);
    double inside = across_height(beads, ROW, 1e-9), sum = 0;
    assert_close(across_height(beads, ROW, -1e-9), inside, 1e-6, 0);
    assert_close(across_height(beads, ROW, -5 + 1e-9), 0, 1e-6, 0);
    enum { SLICES = 4000 }; /* midpoints: to (1/4000)^2 of the height */
    for (int i = 0; i < SLICES; i++)
      sum += across_height(beads, ROW, -5 + 5 * (i + 0.5) / SLICES) * 5 / SLICES;
    assert_close(sum, 20.0 / 3, 0, 1e-6);
    assert_close(across_height(beads, ROW, beads[ROW - 1].centre + 2),
                 across_height(beads, ROW, -2), 1e-9, 0);
  }
}

struct row {
  struct bead beads[12];
  size_t count;
};
static double row_at(double depth, void *data) {
  const struct row *row = data;
  return across_height(row->beads, row->count, depth);
}

static int bead_order(const void *a, const void *b) {
  double x = ((const struct bead *)a)->centre, y = ((const struct bead *)b)->centre;
  return (x > y) - (x < y);
}

/* Any beads: never below nothing, and with the metal of all of them.  A hidden seed would hide a
 * failure: it is printed. */
static void nothing_is_lost(void **state) {
  (void)state;
  for (uint64_t seed = 1; seed <= 400; seed++) {
    struct random random = {seed};
    struct row row = {.count = (size_t)random_whole(&random, 1, 12)};
    double width = random_between(&random, 4, 12), at = 0, metal = 0;
    for (size_t i = 0; i < row.count; i++) {
      at += random_whole(&random, 1, 4) == 1 ? random_between(&random, 0, 0.02 * width)
                                             : random_between(&random, 0.1, 1.3) * width;
      double share = random_whole(&random, 1, 3) == 1 ? random_between(&random, 0, 1) : 1;
      row.beads[i] = (struct bead){at, width, share * random_between(&random, 5, 12)};
      metal += row.beads[i].area;
    }
    qsort(row.beads, row.count, sizeof *row.beads, bead_order);
    struct breaks breaks = {0};
    for (size_t i = 0; i < row.count; i++)
      for (int side = -1; side <= 1; side++)
        breaks_add(&breaks, row.beads[i].centre + side * width / 2);
    for (size_t i = 0; i + 1 < row.count; i++) /* the middle of a valley */
      breaks_add(&breaks, (row.beads[i].centre + row.beads[i + 1].centre) / 2);
    qsort(breaks.at, breaks.count, sizeof *breaks.at, breaks_order);
    double got = quadrature_over(row_at, &row, &breaks, 1e-11 * metal);
    if (fabs(got - metal) > 1e-9 * metal)
      print_error("seed %d\n", (int)seed);
    assert_close(got, metal, 0, 1e-9);
    for (int i = 0; i < 300; i++)
      assert_true(row_at(random_between(&random, -width, at + width), &row) >= 0);
    free(breaks.at);
  }
}

/* What lies farther away than across_reach() may be left out. */
static void far_beads_do_not_matter(void **state) {
  (void)state;
  struct random random = {7};
  for (int round = 0; round < 3000; round++) {
    struct bead beads[12];
    double width = 8, at = 0;
    for (int i = 0; i < 12; i++)
      beads[i] = (struct bead){at += random_between(&random, 0.05, 1.1) * width, width,
                               random_between(&random, 5, 12)};
    double depth = random_between(&random, 0, at), reach = across_reach(width);
    size_t from = 0, to = 12;
    while (from < 12 && beads[from].centre < depth - reach)
      from++;
    while (to > 0 && beads[to - 1].centre > depth + reach)
      to--;
    assert_close(across_height(beads + from, to - from, depth), across_height(beads, 12, depth),
                 1e-12, 1e-12);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(one_bead_is_a_parabola),
      cmocka_unit_test(even_rows),
      cmocka_unit_test(flanks),
      cmocka_unit_test(nothing_is_lost),
      cmocka_unit_test(far_beads_do_not_matter),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
