/* Every way between entry and wall, and from run to run, in a cavity where it is the one to take;
 * each job then keeps every check (docs/motion.md, "Ways"). */
#include "borelay/check.h"
#include "support/job_text.h"

enum { EDITS = 8 };
struct row {
  const char *name;
  struct edit {
    const char *from, *to;
  } edits[EDITS]; /* of base_text, in turn */
  size_t run;     /* the moves that lead to this run of the stream, from 0 */
  const char *moves;
};

static const char *move_text(const struct phase *phase) {
  static const char *const MOVES[] = {
      [MOVE_NONE] = "?",      [MOVE_RAISE] = "raise",    [MOVE_ACROSS] = "across",
      [MOVE_DOWN] = "down",   [MOVE_TURN] = "turn",      [MOVE_TO_START] = "start",
      [MOVE_IN] = "in",       [MOVE_BACK_OFF] = "back",  [MOVE_ALONG] = "along",
      [MOVE_CROSS] = "over",  [MOVE_TO_ENTRY] = "entry", [MOVE_UP] = "up",
      [MOVE_TO_PARK] = "park"};
  return phase->kind == PHASE_MOVE ? MOVES[phase->move] : phase_name(phase->kind);
}

/* Moves and waits between the postflow before run `run` and its preflow. */
static void moves_write(const struct motion *motion, size_t run, char *to, size_t room) {
  size_t welds = 0, length = 0;
  to[0] = '\0';
  for (size_t i = 0; i < motion->phase_count; i++) {
    const struct phase *phase = &motion->phases[i];
    welds += phase->kind == PHASE_WELD;
    if (welds == run && (phase->kind == PHASE_MOVE || phase->kind == PHASE_WAIT))
      length +=
          (size_t)snprintf(to + length, room - length, "%s%s", length ? " " : "", move_text(phase));
    assert_true(length < room);
  }
}

static char *row_text(const struct row *row) {
  char *text = text_with("body lower { radius 10", "body lower { radius 8"); /* fits the corners */
  for (size_t k = 0; k < EDITS && row->edits[k].from; k++)
    text = text_again(text, row->edits[k].from, row->edits[k].to);
  return text;
}

#define ONE_RING "depths 20 .. 40 mm", "depths 20 .. 28 mm"
#define START    "start_along 30 mm; stagger 70 mm; retract 5 mm"
#define POCKET   "pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }"
#define FREE     "free pocket { depths 0 .. 120 mm }"
#define WIDE     "pocket rectangle { length 300 mm; width 200 mm; corner 12 mm }\n"
/* Four overlapping rectangles leave a post x -90 .. -45, y -40 .. -25 mm. */
#define ROUND_A_POST                                                                               \
  "shape west rectangle { length 200 mm; width 60 mm; corner 2 mm; centre (-120, 0) mm; turned "   \
  "90 deg }\n"                                                                                     \
  "shape east rectangle { length 195 mm; width 200 mm; corner 2 mm; centre (52.5, 0) mm }\n"       \
  "shape north rectangle { length 300 mm; width 125 mm; corner 2 mm; centre (0, 37.5) mm }\n"      \
  "shape south rectangle { length 300 mm; width 60 mm; corner 2 mm; centre (0, -70) mm }"
#define FREE_OVER_A_POST                                                                           \
  "free pocket { depths 0 .. 28.5 mm }; free west { depths 28.5 .. 120 mm }\n"                     \
  "free east { depths 28.5 .. 120 mm }; free north { depths 28.5 .. 120 mm }\n"                    \
  "free south { depths 28.5 .. 120 mm }"

/* A throat through which the torch passes by a slot only, between two layers' bands. */
#define TWO_BANDS                                                                                  \
  "depths 20 .. 40 mm", "depths 20 .. 28 mm; layers 2; layer 2 { depths 60 .. 68 mm }"
#define SLOT_AT(angle)                                                                             \
  "pocket round { diameter 160 mm }\n"                                                             \
  "shape throat round { diameter 130 mm }\n"                                                       \
  "shape slot rectangle { length 60 mm; width 40 mm; corner 2 mm; turned " angle                   \
  "; centre (60 mm * cos(" angle "), 60 mm * sin(" angle ")) }"
#define FREE_BY_A_SLOT                                                                             \
  "free pocket { depths 0 .. 35 mm }; free throat { depths 35 .. 50 mm }\n"                        \
  "free slot { depths 35 .. 50 mm }; free pocket { depths 50 .. 120 mm }"
/* Three rectangles leave a key x -10 .. 10, from y = edge on. */
#define ROUND_A_KEY(edge)                                                                          \
  "pocket round { diameter 160 mm }\n"                                                             \
  "shape west rectangle { length 180 mm; width 80 mm; corner 2 mm; centre (-50, 0) mm; turned "    \
  "90 deg }\n"                                                                                     \
  "shape east rectangle { length 180 mm; width 80 mm; corner 2 mm; centre (50, 0) mm; turned "     \
  "90 deg }\n"                                                                                     \
  "shape south rectangle { length 180 mm; width 90 mm + " edge "; corner 2 mm; "                   \
  "centre (0 mm, (" edge " - 90 mm) / 2) }"
#define FREE_OVER_A_KEY                                                                            \
  "free pocket { depths 0 .. 28.5 mm }; free west { depths 28.5 .. 120 mm }\n"                     \
  "free east { depths 28.5 .. 120 mm }; free south { depths 28.5 .. 120 mm }"
#define JOB "job \"t\""
#define DEEPER                                                                                     \
  "overlay deeper { wall pocket; depths 60 .. 68 mm; procedure p; pattern rings; overlap 45 %\n"   \
  "  start_angle 270 deg }\n" JOB
/* Four overlapping rectangles leave a peg x -35 .. -25, y -5 .. 5 mm. */
#define ROUND_A_PEG                                                                                \
  "shape west rectangle { length 240 mm; width 85 mm; corner 2 mm; centre (-77.5, 0) mm; turned "  \
  "90 deg }\n"                                                                                     \
  "shape east rectangle { length 240 mm; width 145 mm; corner 2 mm; centre (47.5, 0) mm; turned "  \
  "90 deg }\n"                                                                                     \
  "shape north rectangle { length 240 mm; width 115 mm; corner 2 mm; centre (0, 62.5) mm }\n"      \
  "shape south rectangle { length 240 mm; width 115 mm; corner 2 mm; centre (0, -62.5) mm }"
#define FREE_ROUND_A_PEG                                                                           \
  "free pocket { depths 0 .. 28.5 mm }; free west { depths 28.5 .. 40 mm }\n"                      \
  "free east { depths 28.5 .. 40 mm }; free north { depths 28.5 .. 40 mm }\n"                      \
  "free south { depths 28.5 .. 40 mm }; free pocket { depths 40 .. 120 mm }"

static const struct row rows[] = {
    {"in: straight, turning on the way",
     {{ONE_RING}, {START, "start_along 30 mm; entry_angle 10 deg"}},
     0,
     "across down start in"},
    /* Low on the right wall: on the straight way the torch, turning from left by below to right,
     * would strike the near wall; at the entry it has room. */
    {"in: turned at the entry",
     {{ONE_RING},
      {POCKET, WIDE},
      {START, "start_along 160 mm; entry (0, -45) mm; entry_angle 190 deg"}},
     0,
     "across down turn start in"},
    {"out: turned at the entry",
     {{ONE_RING},
      {POCKET, WIDE},
      {START, "start_along 160 mm; entry (0, -45) mm; entry_angle 190 deg"}},
     1,
     "back entry turn up park"},
    /* A post ends just below the torch, where it would turn at the entry. */
    {"in: turned at the wall",
     {{ONE_RING},
      {POCKET, WIDE ROUND_A_POST},
      {FREE, FREE_OVER_A_POST},
      {START, "start_along 100 mm; entry (-60, 0) mm; entry_angle 180 deg"}},
     0,
     "across down start turn in"},
    {"out: turned at the wall",
     {{ONE_RING},
      {POCKET, WIDE ROUND_A_POST},
      {FREE, FREE_OVER_A_POST},
      {START, "start_along 100 mm; entry (-60, 0) mm; entry_angle 180 deg"}},
     1,
     "back turn entry up park"},
    /* The torch is too long to turn anywhere but along the wall. */
    {"in: along the backed-off wall",
     {{ONE_RING},
      {POCKET, "pocket round { diameter 84 mm }"},
      {START, "start_angle 170 deg; entry_angle 0 deg"}},
     0,
     "across down along in"},
    {"out: along the backed-off wall",
     {{ONE_RING},
      {POCKET, "pocket round { diameter 84 mm }"},
      {START, "start_angle 170 deg; entry_angle 0 deg"}},
     1,
     "back along entry up park"},
    /* As above, but no corner bears the retract, and the entry lies too low to turn at it. */
    {"in: by the centre",
     {{ONE_RING},
      {POCKET, WIDE},
      {START, "start_along 160 mm; entry (0, -60) mm; entry_angle 190 deg; retract 10 mm"}},
     0,
     "across down start turn start in"},
    {"out: by the centre",
     {{ONE_RING},
      {POCKET, WIDE},
      {START, "start_along 160 mm; entry (0, -60) mm; entry_angle 190 deg; retract 10 mm"}},
     1,
     "back entry turn entry up park"},
    {"from run to run: along",
     {{START, "start_along 30 mm; stagger 70 mm"}},
     1,
     "back wait along in"},
    {"from run to run: along, then down",
     {{TWO_BANDS},
      {POCKET, SLOT_AT("150 deg")},
      {FREE, FREE_BY_A_SLOT},
      {START, "start_angle 90 deg; stagger 60 deg"}},
     1,
     "back wait back along start in"},
    {"from run to run: down, then along",
     {{TWO_BANDS},
      {POCKET, SLOT_AT("102 deg")},
      {FREE, FREE_BY_A_SLOT},
      {START, "start_angle 90 deg; stagger 60 deg"}},
     1,
     "back wait along back along in"},
    /* No corner bears the retract; the next start lies on the same side. */
    {"from run to run: straight across",
     {{START, "start_along -60 mm; stagger 20 mm; retract 10 mm"}},
     1,
     "back wait start in"},
    /* Across a narrow end, where there is no room to turn. */
    {"from run to run: by the entry",
     {{POCKET, "pocket rectangle { length 200 mm; width 110 mm; corner 12 mm }"},
      {START, "start_along 60 mm; stagger 180 mm; retract 10 mm"}},
     1,
     "back wait entry up start in"},
    {"over a zone: along the tip's own way",
     {{ONE_RING},
      {POCKET, "pocket round { diameter 160 mm }"},
      {START, "start_angle 0 deg; zone key { arc off; angles 70 .. 110 deg }"}},
     1,
     "over"},
    /* Below the zone a key ends just under the torch's lower side; a long one is not passed backed
     * off either. */
    {"over a zone: backed off",
     {{ONE_RING},
      {POCKET, ROUND_A_KEY("65 mm")},
      {FREE, FREE_OVER_A_KEY},
      {START, "start_angle 0 deg; zone key { arc off; angles 70 .. 110 deg }"}},
     1,
     "back along in"},
    {"over a zone: by the entry",
     {{ONE_RING},
      {POCKET, ROUND_A_KEY("50 mm")},
      {FREE, FREE_OVER_A_KEY},
      {START, "start_angle 0 deg; zone key { arc off; angles 70 .. 110 deg }"}},
     1,
     "back entry turn start in"},
    {"from overlay to overlay: turned, then down",
     {{ONE_RING},
      {POCKET, "pocket round { diameter 240 mm }"},
      {START, "start_angle 90 deg"},
      {JOB, DEEPER}},
     1,
     "back entry turn down start in"},
    /* A post ends below the torch at the first depth, and above it at the second. */
    {"from overlay to overlay: down, then turned",
     {{ONE_RING},
      {POCKET, "pocket round { diameter 240 mm }\n" ROUND_A_PEG},
      {FREE, FREE_ROUND_A_PEG},
      {START, "start_angle 90 deg"},
      {JOB, DEEPER}},
     1,
     "back entry down turn start in"},
};

static void test_way(void **state) {
  const struct row *row = *state;
  char *text = row_text(row), moves[200];
  struct job_motion made = job_motion_make(text);
  assert_string_equal(made.told, "");
  moves_write(made.motion, row->run, moves, sizeof moves);
  assert_string_equal(moves, row->moves);
  const struct verdict *verdict = check_motion(made.arena, made.motion);
  for (size_t i = 0; i < verdict->result_count; i++)
    if (!verdict->results[i].passed)
      fail_msg("%s: %g, limit %g: %s", verdict->results[i].name, verdict->results[i].worst,
               verdict->results[i].limit, verdict->results[i].detail);
  job_motion_end(&made);
  free(text);
}

/* In a pocket hardly wider than the torch is long no way is clear where the corners do not bear the
 * retract either: the one that lacks least is taken, marked, and told of. */
static const struct row none_clear = {
    "none is clear",
    {{ONE_RING},
     {POCKET, "pocket rectangle { length 84 mm; width 84 mm; corner 12 mm }"},
     {START, "start_along -79 mm; entry_angle 0 deg; retract 10 mm"}},
    0,
    "across down start in"};

static void test_none_clear(void **state) {
  (void)state;
  char *text = row_text(&none_clear), moves[200];
  struct job_motion made = job_motion_make(text);
  assert_string_equal(made.told, "");
  moves_write(made.motion, 0, moves, sizeof moves);
  assert_string_equal(moves, none_clear.moves);
  for (size_t i = 0; i < made.motion->phase_count; i++) {
    const struct phase *phase = &made.motion->phases[i];
    bool routed =
        phase->move == MOVE_TO_START || phase->move == MOVE_TO_ENTRY || phase->move == MOVE_TURN;
    assert_int_equal(phase->ways_tried, routed ? 3 : 0);
  }
  const struct verdict *verdict = check_motion(made.arena, made.motion);
  for (size_t i = 0; i < verdict->result_count; i++) {
    const struct check_result *result = &verdict->results[i];
    assert_int_equal(result->passed, strcmp(result->name, "torch-clearance") != 0);
    if (!result->passed)
      assert_string_equal(result->detail,
                          "electrode to the clad of pocket_wall at x 0.000 y 0.000 z 316.000 mm, "
                          "head 630.000 deg; move, turning the head, the best of 3 ways");
  }
  job_motion_end(&made);
  free(text);
}

int main(void) {
  enum { ROWS = sizeof rows / sizeof rows[0] };
  struct CMUnitTest tests[ROWS + 1];
  for (size_t n = 0; n < ROWS; n++)
    tests[n] = (struct CMUnitTest){rows[n].name, test_way, NULL, NULL, (void *)(uintptr_t)&rows[n]};
  tests[ROWS] = (struct CMUnitTest)cmocka_unit_test(test_none_clear);
  return _cmocka_run_group_tests("ways", tests, ROWS + 1, NULL, NULL);
}
