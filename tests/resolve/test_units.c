/* The table of units against figures from outside. */
#include "resolve/units.h"
#include "support/case_run.h"

/* Sources: the international yard and pound agreement (1959): 1 in = 25.4 mm and
 * 1 lb = 0.45359237 kg exactly, hence 1 ft3 = (304.8 mm)^3 = 28.316846592 L; the litre as
 * 1 dm3 (12th CGPM, 1964); degF = 1.8 degC + 32 (NIST SP 811, appendix B; values from
 * memory).  The rest is SI prefixes and minutes. */
static const struct {
  const char *unit;
  double written, inside; /* mm, s, rad, A, V, g, degC; J for A V s */
} known[] = {
    {"in", 1, 25.4},
    {"in", 0.045, 1.143},
    {"in", 0.0625, 1.5875},
    {"lb", 1, 453.59237},
    {"kg", 1, 1000},
    {"g", 1, 1},
    {"mm", 1, 1},
    {"cm", 1, 10},
    {"m", 1, 1000},
    {"um", 250, 0.25},
    {"s", 1, 1},
    {"ms", 8, 0.008},
    {"min", 1, 60},
    {"h", 1, 3600},
    {"Hz", 1, 1},
    {"mm/s", 1, 1},
    {"mm/min", 180, 3},
    {"m/min", 1.6, 1600.0 / 60},
    {"m/s", 0.25, 250},
    {"in/min", 1, 0.42333333333333334},
    {"in/min", 8, 203.2 / 60},
    {"in/min", 100, 2540.0 / 60},
    {"deg", 180, 3.14159265358979323846},
    {"rad", 2, 2},
    {"turn", 0.5, 3.14159265358979323846},
    {"deg/s", 90, 1.57079632679489661923},
    {"rad/s", 1, 1},
    {"turn/min", 60, 6.28318530717958647692},
    {"mm/s2", 1, 1},
    {"m/s2", 1, 1000},
    {"mm/s3", 1, 1},
    {"deg/s2", 180, 3.14159265358979323846},
    {"deg/s3", 180, 3.14159265358979323846},
    {"A", 1, 1},
    {"V", 1, 1},
    {"kJ/mm", 1, 1000},
    {"kJ/in", 1, 39.370078740157481},
    {"J/mm", 850, 850},
    {"degC", 150, 150},
    {"degF", 32, 0},
    {"degF", 212, 100},
    {"degF", -40, -40},
    {"degF", 300, 148.88888888888889},
    {"degF", 350, 176.66666666666666},
    {"degF", 1150, 621.11111111111109},
    {"L/min", 1, 1e6 / 60},
    {"ft3/h", 1, 0.4719474432 * 1e6 / 60},
    {"ft3/h", 30, 14.15842329600 * 1e6 / 60},
    {"g/cm3", 8.44, 8.44e-3},
    {"kg/m3", 8440, 8.44e-3},
    {"%", 45, 0.45},
};

static void factors(void **state) {
  (void)state;
  for (size_t i = 0; i < sizeof known / sizeof *known; i++) {
    const struct unit *unit = unit_find(known[i].unit);
    if (!unit)
      fail_msg("no unit %s", known[i].unit);
    assert_close(unit_to_inside(unit, known[i].written), known[i].inside, 1e-13, 4e-16);
    assert_close(unit_from_inside(unit, known[i].inside), known[i].written, 1e-12, 4e-16);
  }
}

static void every_unit_is_checked(void **state) {
  (void)state;
  for (size_t i = 0; i < unit_count(); i++) {
    bool found = false;
    for (size_t k = 0; k < sizeof known / sizeof *known; k++)
      found = found || strcmp(known[k].unit, unit_at(i)->name) == 0;
    if (!found)
      fail_msg("no figure for %s", unit_at(i)->name);
  }
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(factors),
      cmocka_unit_test(every_unit_is_checked),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
