/* Arc energy, heat input and iron against worked examples from elsewhere. */
#include "borelay/deposit.h"

#include "support/close.h"

static const double IN = 25.4;

struct heat_row {
  const char *name; /* with its source */
  enum process process;
  double voltage, current, speed; /* V, A, mm/s */
  double energy, heat;            /* kJ/mm */
  double relative;
};

static const struct heat_row HEAT[] = {
    {"worked problem on an open teaching page (expertsmind.com): 2.4 kJ/mm", PROCESS_SAW, 20, 300,
     2.5, 2.4, 2.4, 1e-12},
    {"GATE-PI examination question, 20 V 500 A 20 mm/min, before its efficiency", PROCESS_SAW, 20,
     500, 20.0 / 60, 30, 30, 1e-12},
    {"worked steps of an open calculator page, efficiency 0.8: 0.6912 kJ/mm", PROCESS_GMAW, 24, 180,
     300.0 / 60, 0.864, 0.6912, 1e-12},
    {"Metals 2025, 15(9) 987: optimum of a 347 overlay, 240 A 24 V 400 mm/min", PROCESS_GMAW, 24,
     240, 400.0 / 60, 0.864, 0.6912, 1e-12},
    {"EN 1011-1 formula, k 0.6 (from memory)", PROCESS_GTAW, 12, 250, 200.0 / 60, 0.9, 0.54, 1e-12},
    {"EN 1011-1 formula, plasma k 0.6 (from memory)", PROCESS_PAW, 11, 180, 120.0 / 60, 0.99, 0.594,
     1e-12},
    {"EN 1011-1 formula, cored wire k 0.8 (from memory)", PROCESS_FCAW, 26, 220, 450.0 / 60,
     0.762667, 0.610133, 1e-6},
    {"EN 1011-1 formula, submerged arc k 1.0 (from memory)", PROCESS_SAW, 30, 500, 600.0 / 60, 1.5,
     1.5, 1e-12},
    {"ASME IX QW-409.1: 12 V 250 A 8 in/min = 22.5 kJ/in", PROCESS_GTAW, 12, 250, 8 * IN / 60,
     0.885826772, 0.6 * 0.885826772, 1e-9},
    {"ASME IX QW-409.1: 25 V 200 A 10 in/min = 30 kJ/in", PROCESS_GMAW, 25, 200, 10 * IN / 60,
     1.181102362, 0.8 * 1.181102362, 1e-9},
    {"ASME IX QW-409.1: 10 V 150 A 4 in/min = 22.5 kJ/in", PROCESS_GTAW, 10, 150, 4 * IN / 60,
     22.5 / 25.4, 0.6 * 22.5 / 25.4, 1e-12},
    {"no voltage, no energy", PROCESS_GTAW, 0, 250, 3, 0, 0, 0},
    {"no current, no energy", PROCESS_GTAW, 12, 0, 3, 0, 0, 0},
};

static void heat_follows_the_source(void **state) {
  const struct heat_row *row = *state;
  assert_close(arc_energy_kj_mm(row->voltage, row->current, row->speed), row->energy, 0,
               row->relative);
  assert_close(heat_input_kj_mm(row->process, row->voltage, row->current, row->speed), row->heat, 0,
               row->relative);
}

/* Hot wire has a line of its own; together they are the 0.9960 kJ/mm of practice notes (from
 * memory). */
static void wire_energy_is_the_same_product(void **state) {
  (void)state;
  double speed = 200.0 / 60;
  assert_close(arc_energy_kj_mm(12, 250, speed) + arc_energy_kj_mm(4, 80, speed), 0.996, 0, 1e-12);
}

/* Mixing law: share of each metal by its part of the weld, as weld-metal calculators give it
 * (composition form of dilution, open calculator page of a welding supplier). */
struct iron_row {
  const char *name;
  double dilution[3], base, wire; /* ratios */
  int layers;
  double want[3]; /* per cent */
};

static const struct iron_row IRON[] = {
    {"12 % of a 98 % base, wire 0.3 %",
     {0.12, 0.12, 0.12},
     0.98,
     0.003,
     3,
     {12.024, 1.70688, 0.468826}},
    {"10 %, wire 0.5 %", {0.10, 0.10, 0.10}, 0.98, 0.005, 3, {10.25, 1.475, 0.5975}},
    {"20 %, base 98.5 %", {0.20, 0.20, 0.20}, 0.985, 0.005, 3, {20.1, 4.42, 1.284}},
    {"5 %, base 97 %", {0.05, 0.05, 0}, 0.97, 0.003, 2, {5.135, 0.54175, 0}},
    {"wire at its 5 % maximum: two layers miss 5 %",
     {0.10, 0.10, 0},
     0.98,
     0.05,
     2,
     {14.3, 5.93, 0}},
    {"unequal layers", {0.25, 0.10, 0}, 0.98, 0.005, 2, {24.875, 2.9375, 0}},
    /* Largest dilution that just makes class FE10, FE5 (API 6A's limits, from memory). */
    {"just 10 % in two", {0.312147237, 0.312147237, 0}, 0.98, 0.005, 2, {30.934355, 10, 0}},
    {"just 5 % in three",
     {0.358703791, 0.358703791, 0.358703791},
     0.98,
     0.005,
     3,
     {35.473619, 13.045170, 5}},
    /* Published tutorial, 40 g at 0.3 % with 60 g at 1.0 %: 0.72 %. */
    {"tutorial: chromium 0.72 %", {0.4, 0, 0}, 0.003, 0.01, 1, {0.72, 0, 0}},
};

static void iron_follows_the_mixing_law(void **state) {
  const struct iron_row *row = *state;
  double iron = row->base;
  for (int k = 0; k < row->layers; k++) {
    iron = iron_after_layer(iron, row->dilution[k], row->wire);
    assert_close(100 * iron, row->want[k], 1e-6, 0);
  }
}

enum { HEAT_COUNT = sizeof HEAT / sizeof HEAT[0], IRON_COUNT = sizeof IRON / sizeof IRON[0] };

int main(void) {
  struct CMUnitTest tests[HEAT_COUNT + IRON_COUNT + 1] = {0};
  size_t count = 0;
  for (size_t k = 0; k < HEAT_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = HEAT[k].name,
                                         .test_func = heat_follows_the_source,
                                         .initial_state = (void *)(uintptr_t)&HEAT[k]};
  for (size_t k = 0; k < IRON_COUNT; k++)
    tests[count++] = (struct CMUnitTest){.name = IRON[k].name,
                                         .test_func = iron_follows_the_mixing_law,
                                         .initial_state = (void *)(uintptr_t)&IRON[k]};
  tests[count++] = (struct CMUnitTest)cmocka_unit_test(wire_energy_is_the_same_product);
  return cmocka_run_group_tests_name("heat and iron", tests, NULL, NULL);
}
