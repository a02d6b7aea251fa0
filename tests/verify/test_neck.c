/* How narrow a bore is, by plane geometry and by balls tried all along the wall; and layers that
 * the job leaves open, chosen with that in mind. */
#include "verify/choose.h"

#include "support/random.h"
#include "verify/hand_job.h"

/* Two bays about (-c, 0) and (c, 0), and between them waists of radius r about (0, -h) and (0, h)
 * that stand into the bore: tangent where (bay + r)^2 = c^2 + h^2. */
static struct wall *peanut(struct arena *arena, double bay, double waist, double c) {
  double h = sqrt((bay + waist) * (bay + waist) - c * c), u = bay / (bay + waist);
  double x = c * (1 - u), y = h * u;
  const struct edge drawn[] = {
      {.from = {-x, -y}, .to = {x, -y}, .bend = -1, .centre = {0, -h}, .radius = waist},
      {.from = {x, -y}, .to = {c + bay, 0}, .bend = 1, .centre = {c, 0}, .radius = bay},
      {.from = {c + bay, 0}, .to = {x, y}, .bend = 1, .centre = {c, 0}, .radius = bay},
      {.from = {x, y}, .to = {-x, y}, .bend = -1, .centre = {0, h}, .radius = waist},
      {.from = {-x, y}, .to = {-c - bay, 0}, .bend = 1, .centre = {-c, 0}, .radius = bay},
      {.from = {-c - bay, 0}, .to = {-x, -y}, .bend = 1, .centre = {-c, 0}, .radius = bay}};
  struct edge *edges = arena_alloc(arena, 6, sizeof *edges);
  memcpy(edges, drawn, sizeof drawn);
  return wall_from_edges(arena, edges, 6);
}

/* The same, so wide between its waists. */
static struct wall *necked(struct arena *arena, double bay, double waist, double neck) {
  double h = waist + neck / 2;
  return peanut(arena, bay, waist, sqrt((bay + waist) * (bay + waist) - h * h));
}

static void test_closed_forms(void **state) {
  (void)state;
  struct arena *arena = arena_new();
  vec2 centre = {3, -4};
  const struct wall *round = wall_round(arena, centre, 90);
  assert_close(wall_tightest(round), 45, 1e-9, 0);
  assert_true(isinf(wall_narrowest(round))); /* its bend is all that bounds an offset */
  const struct wall *box = wall_rectangle(arena, centre, 160, 120, 12, -0.7);
  assert_close(wall_tightest(box), 12, 1e-9, 0);
  assert_close(wall_narrowest(box), 120, 1e-9, 0);
  const struct wall *track = wall_rectangle(arena, centre, 190, 100, 50, 0.3);
  assert_close(wall_narrowest(track), 100, 1e-9, 0);
  /* 60-80-100: waists 30 off the middle */
  const struct wall *waisted = peanut(arena, 50, 50, 60);
  assert_close(waisted->edges[0].from.x, -30, 1e-9, 0);
  assert_close(wall_tightest(waisted), 50, 1e-9, 0);
  assert_close(wall_narrowest(waisted), 60, 1e-9, 0);
  arena_free(arena);
}

/* The largest ball that touches the wall at a place from the bore and holds no other place of it:
 * the least |q - p|^2 / (2 n (q - p)) over the places q, by sampling. */
static double ball_at(const struct wall *wall, double s, int places) {
  struct spot p = wall_spot(wall, s);
  double least = INFINITY;
  for (int i = 0; i < places; i++) {
    vec2 v = vec2_sub(wall_spot(wall, wall->perimeter * i / places).at, p.at);
    double ahead = -vec2_dot(v, p.normal), square = vec2_dot(v, v);
    if (square > 1e-2 && ahead > 0)
      least = fmin(least, square / (2 * ahead));
  }
  return least;
}

static void test_sampled(void **state) {
  (void)state;
  struct random random = {7};
  enum { PLACES = 700 };
  for (int i = 0; i < 12; i++) {
    struct arena *arena = arena_new();
    double bay = random_between(&random, 30, 60), waist = random_between(&random, 20, 60);
    double neck = random_between(&random, 4, 1.9 * bay);
    const struct wall *wall = necked(arena, bay, waist, neck);
    double least = INFINITY;
    for (int k = 0; k < PLACES; k++)
      least = fmin(least, ball_at(wall, wall->perimeter * k / PLACES, PLACES));
    double room = fmin(wall_tightest(wall), wall_narrowest(wall) / 2);
    assert_true(least >= room - 1e-6);
    assert_true(least <= room + 0.5); /* places are a mm apart */
    arena_free(arena);
  }
}

/* How many layers; 0: none would do.  One thick layer reaches 3 mm from either side of a neck; 2 mm
 * and half a mm on them are enough, and do not. */
static size_t chosen_in(double neck) {
  struct hand_job *hand = hand_job_new();
  for (int k = 0; k < 2; k++) {
    hand->procedures[k].arc_length = 0.5;
    hand->layers[k].overlap_auto = true;
    hand->layers[k].depths = (struct range){20, 40};
  }
  /* beads of 12 and 3 mm^2 and 8 mm: laps 6 or 4 mm apart */
  double wire = 1.2 * 1.2 * NUM_PI / 4;
  hand->procedures[0].wire_feed_speed = 12 / wire * hand->procedures[0].travel_speed;
  hand->procedures[1].wire_feed_speed = 3 / wire * hand->procedures[1].travel_speed;
  hand->overlay.layers_auto = true;
  hand->overlay.has_required_thickness = true;
  hand->overlay.required_thickness = 2.2;
  hand->cell.axis[AXIS_HEAD].endless = true;
  const struct wall *waisted = necked(hand->arena, 60, 40, neck);
  assert_close(wall_narrowest(waisted), neck, 1e-9, 0);
  const struct overlay *plain = overlay_plain(hand->arena, &hand->overlay, waisted, &hand->cell);
  size_t layers = plain ? plain->layer_count : 0;
  arena_free(hand->arena);
  return layers;
}

static void test_choice(void **state) {
  (void)state;
  assert_int_equal(chosen_in(20), 1);
  assert_int_equal(chosen_in(5.4), 2);
  assert_int_equal(chosen_in(4.6), 0);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_closed_forms),
      cmocka_unit_test(test_sampled),
      cmocka_unit_test(test_choice),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
