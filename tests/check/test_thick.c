/* What the check of thickness says: where it is missed, by how much, what would do. */
#include "check/judged_job.h"
#include "support/pocket_text.h"

struct thick_row {
  const char *name, *from, *to; /* a change of the base text */
  const char *require;
  bool passed;
  double worst, limit;
  const char *detail, *help; /* help NULL: none */
};
#define STRAIGHT                                                                                   \
  "on a straight toward 299.5 deg, s = 0.000 .. 68.000 mm, depths 20.000 .. 40.000 mm"
static const struct thick_row ROWS[] = {
    {"holds", "", "", "thickness 2 mm", true, 2.661114, 2,
     "overlay pocket_wall at the valley floors; 2.661 mm on the mean", NULL},
    {"build-up lacks", "", "", "thickness 3 mm", false, 2.661114, 3,
     "overlay pocket_wall: 0.339 mm are missing at the valley floors, " STRAIGHT,
     "one layer more like the last one would do, or a wire_feed_speed of 1804.8 mm/min in "
     "procedure "
     "p"},
    {"machining leaves enough", "", "", "thickness 2 mm; finish 2.2 mm", true, 2.2, 2,
     "overlay pocket_wall: 2.200 mm from wall to finished wall, of 2.661 mm at the valley floors",
     NULL},
    {"does not clean up", "", "", "finish 2.9 mm", false, 2.661114, 2.9,
     "overlay pocket_wall does not clean up: the valley floors lie 0.239 mm short of the finished "
     "wall, " STRAIGHT,
     "one layer more like the last one would do, or a wire_feed_speed of 1744.1 mm/min in "
     "procedure "
     "p"},
    {"machining leaves too little", "", "", "thickness 2.3 mm; finish 2.2 mm", false, 2.2, 2.3,
     "overlay pocket_wall: of 2.661 mm at the valley floors machining leaves 0.100 mm too "
     "little, " STRAIGHT,
     "a finish of 2.300 mm leaves it"},
    {"machining would leave too little of too little", "", "", "thickness 4 mm; finish 2.2 mm",
     false, 2.2, 4,
     "overlay pocket_wall: of 2.661 mm at the valley floors machining leaves 1.800 mm too "
     "little, " STRAIGHT,
     "with a finish of 4.000 mm one layer more like the last one would do, or a wire_feed_speed of "
     "2406.4 mm/min in procedure p"},
    /* h = 1.5 A/8, A = 10.6446 mm2; floor 2h (1 - 0.75^2) on the corner moved in by A/4 */
    {"more on the last layer leaves the other short", "depths 20 .. 40 mm; procedure p",
     "depths 20 .. 60 mm; layers 2; layer 1 { depths 40 .. 60 mm }; "
     "layer 2 { depths 20 .. 40 mm; overlap 25 % }; procedure p",
     "thickness 3 mm", false, 1.446235, 3,
     "overlay pocket_wall: 1.554 mm are missing at the valley floors, on the arc of radius 12.000 "
     "mm toward 323.6 deg, s = 68.000 .. 86.850 mm, depths 20.000 .. 40.000 mm",
     NULL},
    {"all round a bore", "pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }",
     "pocket round { diameter 120 mm }", "thickness 3.5 mm", false, 2.722899, 3.5,
     "overlay pocket_wall: 0.777 mm are missing at the valley floors, all round, depths 20.000 .. "
     "40.000 mm",
     "one layer more like the last one would do, or a wire_feed_speed of 2043.2 mm/min in "
     "procedure "
     "p"},
    {"no faster wire outside of its limit", "wire_retract 0 mm",
     "wire_retract 0 mm; limit { wire_feed_speed 1.5 .. 1.7 m/min }", "thickness 3 mm", false,
     2.661114, 3, "overlay pocket_wall: 0.339 mm are missing at the valley floors, " STRAIGHT,
     "one layer more like the last one would do"},
};

static void says(void **state) {
  const struct thick_row *row = *state;
  char *changed = text_with(base_text, row->from, row->to), require[200];
  snprintf(require, sizeof require, "retract 5 mm; require { %s }", row->require);
  char *text = text_with(changed, "retract 5 mm", require);
  struct judged made = judge(text);
  const struct check_result *result = result_of(&made, "thickness");
  assert_true(result->judged);
  assert_int_equal(result->passed, row->passed);
  assert_close(result->worst, row->worst, 1e-6, 0);
  assert_close(result->limit, row->limit, 1e-12, 0);
  assert_string_equal(result->detail, row->detail);
  assert_string_equal(result->help ? result->help : "", row->help ? row->help : "");
  told_end(&made.told);
  free(changed);
  free(text);
}

/* What the help promises is true. */
static void the_help_does(void **state) {
  (void)state;
  static const struct {
    const char *way, *feed;
  } HELPED[] = {
      {"layers 2; retract 5 mm; require { thickness 3 mm }", "1.6 m/min"},
      {"retract 5 mm; require { thickness 3 mm }", "1804.8 mm/min"},
      {"layers 2; retract 5 mm; require { thickness 4 mm; finish 4 mm }", "1.6 m/min"},
      {"retract 5 mm; require { thickness 4 mm; finish 4 mm }", "2406.4 mm/min"},
  };
  for (size_t i = 0; i < sizeof HELPED / sizeof *HELPED; i++) {
    char *once = text_with(base_text, "retract 5 mm", HELPED[i].way);
    char *text = text_with(once, "1.6 m/min", HELPED[i].feed);
    struct judged made = judge(text);
    assert_true(result_of(&made, "thickness")->passed);
    told_end(&made.told);
    free(once);
    free(text);
  }
}

int main(void) {
  enum { COUNT = sizeof ROWS / sizeof *ROWS };
  struct CMUnitTest tests[COUNT + 1] = {[COUNT] = cmocka_unit_test(the_help_does)};
  for (size_t i = 0; i < COUNT; i++)
    tests[i] = (struct CMUnitTest){
        .name = ROWS[i].name, .test_func = says, .initial_state = (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
