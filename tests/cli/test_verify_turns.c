/* Stepped laps that go round more than twice, broken by a zone in every turn: the judge keeps to
 * the turn that is due, and tells one that is left out or welded twice. */
#include "cli/program.h"
#include "cli/stream_fault.h"

#include "cli/one_folder.h"

static void run_ok(const char *line) {
  if (program_run(program, line) != 0)
    fail_msg("%s: %s", line, program->err);
}

struct kind {
  const char *name, *set, *compile, *verify;
};

static const struct kind SOUND[] = {
    {"level for three turns", "", "", ""},
    {"a step of more than a turn", "--set step=400mm", "", ""},
    {"a step of two turns and more, and a level turn", "--set step=650mm --set stagger=680mm", "",
     ""},
    {"rehearsed", "", "--rehearse --times 5", "--mode rehearsal"},
    {"taken up where the place has one turn", "",
     "--resume overlay=turn_wall,layer=1,lap=2,along=60mm", "--mode resume"},
    /* a tie-in before the second lap's start: in the last of the first one's turns */
    {"taken up in the last turn", "--set tie=40mm",
     "--resume overlay=turn_wall,layer=1,lap=2,along=78mm", "--mode resume"},
    {"taken up in the second of two turns", "--set tie=40mm --set stagger=40mm",
     "--resume overlay=turn_wall,layer=1,lap=2,along=42mm", "--mode resume"},
    {"taken up in a last turn that no zone breaks", "--set port=30mm",
     "--resume overlay=turn_wall,layer=1,lap=3,along=250mm", "--mode resume"},
    {"taken up in a last turn that a zone breaks", "",
     "--resume overlay=turn_wall,layer=1,lap=3,along=130mm", "--mode resume"},
    /* a step so flat that its depth is not told from the level's where it begins */
    {"taken up before a flat step", "--set tie=240mm --set step=200mm --set deep=28.4mm",
     "--resume overlay=turn_wall,layer=1,lap=2,along=73mm", "--mode resume"},
};

static void test_sound(void **state) {
  const struct kind *kind = *state;
  char line[400];
  snprintf(line, sizeof line, "compile -q @far_stagger.lay -o a.spt %s %s", kind->set,
           kind->compile);
  run_ok(line);
  snprintf(line, sizeof line, "verify a.spt --job @far_stagger.lay %s %s", kind->set, kind->verify);
  run_ok(line);
  assert_string_equal(program->err, "");
}

/* -- faults ------------------------------------------------------------------------------------ */

/* First row of the n-th run's phase. */
static size_t run_find(const struct edit *edit, const char *phase, int n) {
  size_t i = 0;
  while (n-- > 0) {
    i = edit_find(edit, i, phase, "1", "");
    while (n > 0 && edit_is(&edit->rows[i], FIELD_PHASE, phase))
      i++;
  }
  return i;
}

/* A run goes from zone to zone; the next one has the same ends. */
static void run_left_out(struct edit *edit) {
  edit_remove(edit, run_find(edit, "move", 3), run_find(edit, "move", 4));
}

static const struct fault FAULTS[] = {
    {"a turn left out", "", run_left_out, "tip-path: the tip is "},
    {"a turn too many", "--set stagger=1014.15926536mm", NULL, "order: lap 1 is told where lap 2"},
    {"a turn too few", "--set stagger=385.84073464mm", NULL, "order: lap 2 is told where lap 1"},
};

static void test_fault(void **state) {
  fault_judge(program, "far_stagger.lay", *state);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(SOUND) + COUNT(FAULTS)];
  size_t count = 0;
  for (size_t i = 0; i < COUNT(SOUND); i++)
    tests[count++] =
        (struct CMUnitTest){SOUND[i].name, test_sound, NULL, NULL, (void *)(uintptr_t)&SOUND[i]};
  for (size_t i = 0; i < COUNT(FAULTS); i++)
    tests[count++] =
        (struct CMUnitTest){FAULTS[i].name, test_fault, NULL, NULL, (void *)(uintptr_t)&FAULTS[i]};
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
