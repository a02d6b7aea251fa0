/* Checks that do not hold, as they are told: whole texts. */
#include "support/told.h"

#include "borelay/emit.h"

static void told_is(const struct check_result *result, uint32_t begin, const char *want) {
  struct told told = told_begin();
  static const char TEXT[] = "overlay wall {\n"
                             "  zone port { arc off; along 0 .. 20 mm }\n"
                             "}\n";
  uint32_t file = told_add(&told, "bore.lay", TEXT);
  struct check_result results[2] = {*result, {.name = "tip-path", .judged = true, .passed = true}};
  results[0].at = (span){file, begin, begin + 9};
  struct verdict verdict = {.results = results, .result_count = 2};
  refusal_tell(&verdict, NULL, told.diags);
  told_assert(&told, want);
  told_end(&told);
}

static void arc_zones(void **state) {
  (void)state;
  struct check_result result = {
      .name = "arc-zones",
      .judged = true,
      .worst = 1,
      .limit = 0.005,
      .unit = "mm",
      .t = 12.4,
      .detail = "arc on 1.000 mm inside zone `port` with its margin, s = 1.000 mm, depth 30.000 mm "
                "at x 1.000 y 2.000 z 3.000 mm, head 4.000 deg; overlay wall, layer 1, lap 2, "
                "downslope"};
  told_is(
      &result, 17,
      "bore.lay:2:3: error[E0717]: check arc-zones does not hold: 1 mm at 12.400 s, limit 0.005 "
      "mm; arc on 1.000 mm inside zone `port` with its margin, s = 1.000 mm, depth 30.000 mm at "
      "x 1.000 y 2.000 z 3.000 mm, head 4.000 deg; overlay wall, layer 1, lap 2, downslope\n"
      "    2 |   zone port { arc off; along 0 .. 20 mm }\n"
      "      |   ^~~~~~~~~\n");
}

static void coverage(void **state) {
  (void)state;
  struct check_result result = {.name = "coverage",
                                .judged = true,
                                .worst = 1.5,
                                .unit = "mm",
                                .t = -1,
                                .detail = "overlay wall, layer 1, lap 2 stays bare",
                                .help = "a travel_start_delay of 0.588 s does"};
  told_is(&result, 0,
          "bore.lay:1:1: error[E0713]: check coverage does not hold: 1.5 mm, limit 0 mm; overlay "
          "wall, layer 1, lap 2 stays bare\n"
          "    1 | overlay wall {\n"
          "      | ^~~~~~~~~\n"
          "help: a travel_start_delay of 0.588 s does\n");
}

/* Words in place of figures. */
static void told(void **state) {
  (void)state;
  struct check_result result = {.name = "wire-side",
                                .judged = true,
                                .worst = 1,
                                .unit = "layers",
                                .t = -1,
                                .detail = "overlay wall, layer 1",
                                .told = "in 1 layer the wire is on the wrong side"};
  told_is(&result, 0,
          "bore.lay:1:1: error[E0709]: check wire-side does not hold: in 1 layer the wire is on "
          "the wrong side; overlay wall, layer 1\n"
          "    1 | overlay wall {\n"
          "      | ^~~~~~~~~\n");
}

/* Limits of a procedure: each that is passed, at its own place. */
static void every_limit(void **state) {
  (void)state;
  struct check_violation further[] = {
      {205, 190, "A", {1, 0, 12}, "current of procedure first, qualified 150 .. 190 A"},
      {170, 180, "mm/min", {1, 24, 28}, "travel_speed of procedure first"}};
  struct check_result result = {.name = "qualified-range",
                                .judged = true,
                                .worst = 0.499235,
                                .limit = 0.45,
                                .unit = "kJ/mm",
                                .t = -1,
                                .detail = "heat_input of procedure first",
                                .further = further,
                                .further_count = 2};
  told_is(&result, 17,
          "bore.lay:1:1: error[E0714]: check qualified-range does not hold: 205 A, limit 190 A; "
          "current of procedure first, qualified 150 .. 190 A\n"
          "    1 | overlay wall {\n"
          "      | ^~~~~~~~~~~~\n"
          "bore.lay:2:3: error[E0714]: check qualified-range does not hold: 0.499235 kJ/mm, limit "
          "0.45 kJ/mm; heat_input of procedure first\n"
          "    2 |   zone port { arc off; along 0 .. 20 mm }\n"
          "      |   ^~~~~~~~~\n"
          "bore.lay:2:10: error[E0714]: check qualified-range does not hold: 170 mm/min, limit 180 "
          "mm/min; travel_speed of procedure first\n"
          "    2 |   zone port { arc off; along 0 .. 20 mm }\n"
          "      |          ^~~~\n");
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(arc_zones), cmocka_unit_test(coverage),
                                     cmocka_unit_test(told), cmocka_unit_test(every_limit)};
  return cmocka_run_group_tests_name("refusals", tests, NULL, NULL);
}
