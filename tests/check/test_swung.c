/* Bounds on shell and boxes over many half sways at once hold every place that one of their pieces
 * comes to, and come near to the worst of them where few are taken together. */
#include "check/boxes.h"
#include "check/shell.h"
#include "support/close.h"
#include "support/random_swings.h"

enum { RUNS = 600, LOOKS = 24, BOXES = 2 };

struct worst { /* mm beyond the shell, into the hole, off the nearest box */
  double outer, hole, box;
};

static struct worst looked_at(const struct cell *cell, const struct swings *swings) {
  struct worst worst = {-HUGE_VAL, -HUGE_VAL, HUGE_VAL};
  for (int64_t i = 0; i < swings->count; i++) {
    struct piece pieces[HALF_PIECES];
    size_t count = swings_pieces(swings, i, pieces);
    for (size_t k = 0; k < count; k++)
      for (int look = 0; look <= LOOKS; look++) {
        double t = pieces[k].t0 + (pieces[k].t1 - pieces[k].t0) * look / LOOKS, values[2];
        struct pose h = piece_at(&pieces[k], t);
        shell_values(cell, h, values);
        worst.outer = fmax(worst.outer, values[0]);
        worst.hole = fmax(worst.hole, values[1]);
        worst.box = fmin(worst.box, boxes_distance(cell, h, NULL));
      }
  }
  return worst;
}

static struct worst bounded(const struct cell *cell, const struct swings *swings) {
  const struct piece *centre = &swings->centre;
  struct jet_stretch jets;
  piece_jet_stretch(centre, centre->t0, centre->t1, &jets);
  struct swung swung = {&jets, centre->t1 - centre->t0, swings->amplitude};
  double shell[2];
  shell_bounds_swung(cell, &swung, shell);
  return (struct worst){shell[0], shell[1], boxes_bound_swung(cell, &swung)};
}

/* Near the motion, so that any side of it may be the nearest. */
static void cell_random(struct cell *cell, struct keep_out *boxes, const struct swings *swings,
                        struct random *random) {
  struct pose near = piece_at(&swings->centre, swings->centre.t0);
  *cell = (struct cell){.has_working_range = true,
                        .range_from = {near.x + random_between(random, -60, 60),
                                       near.y + random_between(random, -60, 60),
                                       near.z + random_between(random, -60, 60)},
                        .range_radius = {20, 60},
                        .keep_outs = boxes,
                        .keep_out_count = BOXES};
  for (int i = 0; i < BOXES; i++) {
    vec3 at = {near.x + random_between(random, -40, 40), near.y + random_between(random, -40, 40),
               near.z + random_between(random, -20, 20)};
    boxes[i] = (struct keep_out){.lo = at,
                                 .hi = {at.x + 9, at.y + random_between(random, 1, 30),
                                        at.z + random_between(random, 1, 9)}};
  }
}

static void bounds_hold_every_place(void **state) {
  (void)state;
  struct random random = {51};
  double near[3] = {0, 0, 0};
  for (int run = 0; run < RUNS; run++) {
    struct swings all = random_swings(&random);
    int64_t count = run % 2 == 0 ? 2 : all.count;
    struct swings swings = swings_part(&all, all.count - count, count);
    struct keep_out boxes[BOXES];
    struct cell cell;
    cell_random(&cell, boxes, &swings, &random);
    struct worst is = looked_at(&cell, &swings), bound = bounded(&cell, &swings);
    assert_true(bound.outer >= is.outer - 1e-9);
    assert_true(bound.hole >= is.hole - 1e-9);
    assert_true(bound.box <= is.box + 1e-9);
    near[0] += bound.outer <= is.outer + 0.2;
    near[1] += bound.hole <= is.hole + 0.2;
    near[2] += bound.box >= is.box - 0.2;
  }
  for (int i = 0; i < 3; i++)
    assert_true(near[i] > RUNS / 4.0);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(bounds_hold_every_place)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
