/* Sectors of a lap: where the ramps lie, what is asked for in between, and the figures of bead and
 * heat that come of it, against sums over a great many small steps (general knowledge of
 * integration; no formula of src is used for them). */
#include "support/plan_job.h"

#include "borelay/num.h"
#include "support/random.h"

#define DEG (NUM_PI / 180)
static const double TURN = 100 * NUM_PI; /* of the bore of 100 mm */

static struct sector sector_along(const char *name, double lo, double hi, double ramp) {
  return (struct sector){.name = name, .along = {lo, hi}, .has_ramp = true, .ramp = {false, ramp}};
}

static const struct plan_layer *planned(struct plan_job *made, struct sector *sectors,
                                        size_t count) {
  made->overlay.sectors = sectors;
  made->overlay.sector_count = count;
  return &plan_job_plan(made)->overlays[0].layers[0];
}

static void ramps_are_centred_on_edges(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct sector sector = sector_along("a", 20, 60, 6);
  sector.has_current = true;
  sector.current = 210;
  const struct plan_layer *layer = planned(&made, &sector, 1);
  assert_int_equal(layer->change_count, 2);
  assert_close(layer->changes[0].from, 17, 1e-12, 0);
  assert_close(layer->changes[0].to, 23, 1e-12, 0);
  assert_close(layer->changes[1].from, 57, 1e-12, 0);
  assert_close(layer->changes[0].before.current, 250, 0, 0);
  assert_close(layer->changes[0].after.current, 210, 0, 0);
  assert_close(layer->changes[1].after.current, 250, 0, 0);
  assert_close(layer->changes[0].after.voltage, 12, 0, 0);
  plan_job_free(&made);
}

/* Two sectors side by side share an edge: one ramp, the longer; round s = 0 too, and in degrees. */
static void neighbours_share_an_edge(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct sector sectors[2] = {
      {.name = "low", .has_angles = true, .angles = {225 * DEG, 315 * DEG}},
      {.name = "side", .has_angles = true, .angles = {-45 * DEG, 90 * DEG}}};
  for (int i = 0; i < 2; i++) {
    sectors[i].has_travel_speed = true;
    sectors[i].travel_speed = 3 - i;
    sectors[i].has_ramp = true;
    sectors[i].ramp = (struct along){true, (4 + 4 * i) * DEG};
  }
  const struct plan_layer *layer = planned(&made, sectors, 2);
  assert_int_equal(layer->change_count, 3);
  assert_close(layer->changes[0].from, 50 * 86 * DEG, 1e-9, 0);
  assert_close(layer->changes[0].to, 50 * 94 * DEG, 1e-9, 0);
  assert_close(layer->changes[1].from, 50 * 223 * DEG, 1e-9, 0);
  assert_close(layer->changes[2].from, 50 * 311 * DEG, 1e-9, 0);
  assert_close(layer->changes[2].to, 50 * 319 * DEG, 1e-9, 0);
  assert_close(layer->changes[2].before.travel_speed, 3, 0, 0);
  assert_close(layer->changes[2].after.travel_speed, 2, 0, 0);
  assert_close(layer->changes[0].after.travel_speed, 200.0 / 60, 0, 0);
  plan_job_free(&made);
}

static void without_sectors_all_figures_are_one(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  const struct plan_layer *layer = planned(&made, NULL, 0);
  assert_int_equal(layer->change_count, 0);
  assert_true(layer->bead_areas.lo == layer->bead_area && layer->bead_areas.hi == layer->bead_area);
  assert_true(layer->thicknesses.lo == layer->thickness);
  assert_true(layer->arc_energies.hi == layer->arc_energy);
  assert_close(layer->bead_area, 8.482300164692441, 1e-12, 0); /* pi/4 1.2^2 25 / (200/60) */
  plan_job_free(&made);
}

/* All round in one sector: its values, and no ramp. */
static void a_sector_all_round_has_no_edge(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct sector sector = {.name = "all", .has_angles = true, .angles = {0, 2 * NUM_PI}};
  sector.has_wire_feed_speed = true;
  sector.wire_feed_speed = 12.5;
  const struct plan_layer *layer = planned(&made, &sector, 1);
  assert_int_equal(layer->change_count, 0);
  assert_close(layer->bead_area, 8.482300164692441 / 2, 1e-12, 0);
  assert_close(layer->values.wire_feed_speed, 12.5, 0, 0);
  plan_job_free(&made);
}

/* -- against sums ------------------------------------------------------------------------------ */

static struct sector sector_random(struct random *random, double lo, double hi) {
  struct sector sector = sector_along("r", lo, hi, random_between(random, 1, 18));
  sector.has_current = random_whole(random, 0, 3) > 0;
  sector.current = random_between(random, 150, 320);
  sector.has_voltage = random_whole(random, 0, 1) > 0;
  sector.voltage = random_between(random, 9, 14);
  sector.has_travel_speed = random_whole(random, 0, 3) > 0;
  sector.travel_speed = random_between(random, 1.5, 5);
  sector.has_wire_feed_speed = random_whole(random, 0, 1) > 0;
  sector.wire_feed_speed = random_between(random, 15, 35);
  return sector;
}

struct sums {
  double energy, area;     /* over the way */
  double least, most;      /* energy */
  double area_lo, area_hi; /* bead */
};

/* A lap in steps of time: between two edges evenly by time, as the definition has it. */
static void walk(const struct plan_layer *layer, struct sums *sums) {
  *sums = (struct sums){.least = 1e9, .area_lo = 1e9};
  enum { STEPS = 20000 };
  for (size_t i = 0; i < layer->change_count; i++) {
    const struct lap_change *c = &layer->changes[i];
    double next = i + 1 < layer->change_count ? c[1].from : layer->changes[0].from + TURN;
    double ramp = c->to - c->from, level = next - c->to;
    double time = 2 * ramp / (c->before.travel_speed + c->after.travel_speed);
    for (int k = 0; k < STEPS; k++) {
      double u = (k + 0.5) / STEPS;
      double v = c->before.travel_speed * (1 - u) + c->after.travel_speed * u;
      double power = (c->before.current * (1 - u) + c->after.current * u) *
                     (c->before.voltage * (1 - u) + c->after.voltage * u) / 1000;
      double wire = c->before.wire_feed_speed * (1 - u) + c->after.wire_feed_speed * u;
      double metal = 1.2 * 1.2 * NUM_PI / 4 * wire;
      sums->energy += power * time / STEPS;
      sums->area += metal * time / STEPS;
      sums->least = fmin(sums->least, power / v);
      sums->most = fmax(sums->most, power / v);
      sums->area_lo = fmin(sums->area_lo, metal / v);
      sums->area_hi = fmax(sums->area_hi, metal / v);
    }
    const struct lap_values *a = &c->after;
    sums->energy += a->current * a->voltage / 1000 / a->travel_speed * level;
    sums->area += 1.2 * 1.2 * NUM_PI / 4 * a->wire_feed_speed / a->travel_speed * level;
  }
}

static void figures_are_those_of_small_steps(void **state) {
  (void)state;
  struct random random = {0x5ec701};
  print_message("seed 0x5ec701\n");
  for (int round = 0; round < 60; round++) {
    struct plan_job made;
    plan_job_init(&made);
    double at = random_between(&random, -300, 300);
    struct sector sectors[3];
    for (int i = 0; i < 3; i++) {
      double hi = at + random_between(&random, 40, 80);
      sectors[i] = sector_random(&random, at, hi);
      at = hi + (random_whole(&random, 0, 1) ? random_between(&random, 19, 24) : 0);
    }
    const struct plan_layer *layer = planned(&made, sectors, 3);
    struct sums sums;
    walk(layer, &sums);
    if (layer->change_count > 0) {
      assert_close(layer->arc_energy * TURN, sums.energy, 0, 1e-8);
      assert_close(layer->heat_input, 0.6 * layer->arc_energy, 0, 1e-12);
      assert_close(layer->bead_area * TURN, sums.area, 0, 1e-8);
      /* steps lie inside; a parabola's top is met within a step */
      assert_true(layer->arc_energies.lo <= sums.least * (1 + 1e-12) &&
                  layer->arc_energies.hi >= sums.most * (1 - 1e-12));
      assert_close(layer->arc_energies.lo, sums.least, 0, 2e-4);
      assert_close(layer->arc_energies.hi, sums.most, 0, 2e-4);
      assert_close(layer->bead_areas.lo, sums.area_lo, 0, 2e-4);
      assert_close(layer->bead_areas.hi, sums.area_hi, 0, 2e-4);
    }
    plan_job_free(&made);
  }
}

/* Halfway in time: the mean of all values; the place is where the square of the speed lies between.
 * On the other side of s = 0, and from the other end, the same. */
static void values_at_a_place(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct sector sector = sector_along("a", 2, 160, 8);
  sector.has_travel_speed = sector.has_current = true;
  sector.travel_speed = 2;
  sector.current = 200;
  const struct plan_layer *layer = planned(&made, &sector, 1);
  const struct plan_overlay overlay = {.contour = plan_job_plan(&made)->overlays[0].contour};
  double fast = 200.0 / 60, half = (fast + 2) / 2; /* v^2 falls evenly from s = -2 to 6 */
  double x = (fast * fast - half * half) / (fast * fast - 4);
  struct lap_values values = plan_values_at(&overlay, layer, -2 + 8 * x + 3 * TURN);
  assert_close(values.travel_speed, half, 1e-12, 0);
  assert_close(values.current, 225, 1e-10, 0);
  values = plan_values_at(&overlay, layer, 164 - 8 * x);
  assert_close(values.travel_speed, half, 1e-12, 0);
  assert_close(plan_values_at(&overlay, layer, 30).current, 200, 0, 0);
  assert_close(plan_values_at(&overlay, layer, 200).current, 250, 0, 0);
  assert_close(plan_values_at(&overlay, layer, -3).current, 250, 0, 0);
  assert_close(plan_values_at(&overlay, layer, 6.5).current, 200, 0, 0);
  plan_job_free(&made);
}

/* The thickest sector stands for metal, the thinnest for what can be relied on. */
static void thickest_is_metal_thinnest_is_relied_on(void **state) {
  (void)state;
  struct plan_job made;
  plan_job_init(&made);
  struct sector sector = sector_along("thick", 20, 100, 5);
  sector.has_wire_feed_speed = true;
  sector.wire_feed_speed = 50;
  made.overlay.layer_count = 2;
  made.overlay.sectors = &sector;
  made.overlay.sector_count = 1;
  const struct plan_overlay *overlay = &plan_job_plan(&made)->overlays[0];
  const struct plan_layer *layer = &overlay->layers[0];
  double thin = 8.482300164692441 / 5, mean = thin * (1 + 80 / TURN); /* pitch 5 mm */
  assert_close(layer->thicknesses.lo, thin, 1e-12, 0);
  assert_close(layer->thicknesses.hi, 2 * thin, 1e-12, 0);
  assert_close(layer->thickness, mean, 1e-12, 0);
  assert_close(overlay->layers[1].offset, mean, 1e-12, 0);
  double standing = 50 - sqrt(2500 - 2 * 50 * 2 * thin);
  assert_close(plan_clad_true(overlay, 1, &overlay->contour->segs[0]), standing, 1e-12, 0);
  assert_close(layer->wall_true, 50 - sqrt(2500 - 2 * 50 * thin), 1e-12, 0);
  plan_job_free(&made);
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(ramps_are_centred_on_edges),
                                     cmocka_unit_test(neighbours_share_an_edge),
                                     cmocka_unit_test(without_sectors_all_figures_are_one),
                                     cmocka_unit_test(a_sector_all_round_has_no_edge),
                                     cmocka_unit_test(figures_are_those_of_small_steps),
                                     cmocka_unit_test(values_at_a_place),
                                     cmocka_unit_test(thickest_is_metal_thinnest_is_relied_on)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
