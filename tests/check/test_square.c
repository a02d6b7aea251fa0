/* Bounds on H's distance from shell and boxes over stretches of random pieces, against the places
 * that it passes. */
#include "check/boxes.h"
#include "check/shell.h"
#include "support/close.h"
#include "support/random_piece.h"

enum { STRETCHES = 3000, LOOKS = 60 };

static struct cell random_cell(struct random *random, struct keep_out *box) {
  struct cell cell = {.has_working_range = true, .keep_outs = box, .keep_out_count = 1};
  double *from[3] = {&cell.range_from.x, &cell.range_from.y, &cell.range_from.z};
  double *lo[3] = {&box->lo.x, &box->lo.y, &box->lo.z},
         *hi[3] = {&box->hi.x, &box->hi.y, &box->hi.z};
  for (int i = 0; i < 3; i++) {
    *from[i] = random_between(random, -400, 400);
    *lo[i] = random_between(random, -400, 400);
    *hi[i] = *lo[i] + random_between(random, 1, 300);
  }
  cell.range_radius = (struct range){random_between(random, 0, 300), 600};
  return cell;
}

/* Of the two bounds on a distance how far they lie from the worst that was seen. */
struct excess {
  double rough, fine;
};

static void stretch_holds(struct random *random, struct excess *sum) {
  struct keep_out box = {.name = "box"};
  struct cell cell = random_cell(random, &box);
  struct piece piece = random_piece(random);
  double ta = random_between(random, piece.t0, piece.t1);
  double tb = ta + (piece.t1 - ta) * random_between(random, 0, 1);
  struct jet_stretch jets;
  piece_jet_stretch(&piece, ta, tb, &jets);
  struct seen_stretch stretch = {ta, tb, &jets};
  double rough[2], fine[2], near_rough = boxes_bound_rough(&cell, &jets.all),
                            near_fine = boxes_bound(&cell, &stretch);
  shell_bounds_rough(&cell, &jets.all, rough);
  shell_bounds(&cell, &stretch, fine);
  double most[2] = {-HUGE_VAL, -HUGE_VAL}, near = HUGE_VAL;
  for (int i = 0; i <= LOOKS; i++) {
    struct pose h = piece_at(&piece, ta + (tb - ta) * i / LOOKS);
    double values[2];
    shell_values(&cell, h, values);
    most[0] = fmax(most[0], values[0]);
    most[1] = fmax(most[1], values[1]);
    near = fmin(near, boxes_distance(&cell, h, NULL));
  }
  for (int k = 0; k < 2; k++) {
    assert_true(rough[k] >= most[k] - 1e-9);
    assert_true(fine[k] >= most[k] - 1e-9);
    sum->rough += rough[k] - most[k];
    sum->fine += fine[k] - most[k];
  }
  assert_true(near_rough <= near + 1e-9);
  assert_true(near_fine <= near + 1e-9 && near_fine >= near_rough);
}

static void bounds_hold(void **state) {
  (void)state;
  struct random random = {613};
  struct excess sum = {0, 0};
  for (int i = 0; i < STRETCHES; i++)
    stretch_holds(&random, &sum);
  print_message("mm beyond what was seen, in the mean: %.3g, closer %.3g\n",
                sum.rough / STRETCHES / 2, sum.fine / STRETCHES / 2);
  assert_true(sum.fine < sum.rough / 3);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(bounds_hold)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
