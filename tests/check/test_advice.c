/* The band, or the retract, that is advised where a clearance fails: it does, 0.2 mm beyond it does
 * not; and there is none where no band would do. */
#include "borelay/check.h"
#include "support/job_text.h"

enum { EDITS = 6 };
struct row {
  const char *name;
  struct edit {
    const char *from, *to;
  } edits[EDITS];               /* of base_text, in turn */
  const char *check;            /* that fails */
  const char *band;             /* as the job has it */
  const char *help;             /* whole; NULL: none */
  const char *advised, *beyond; /* in the place of band: the advice, and 0.2 mm more than it */
};

static char *row_text(const struct row *row) {
  char *text = text_with("body lower { radius 10", "body lower { radius 8");
  for (size_t k = 0; k < EDITS && row->edits[k].from; k++)
    text = text_again(text, row->edits[k].from, row->edits[k].to);
  return text;
}

#define BAND   "depths 20 .. 40 mm"
#define POCKET "pocket rectangle { length 160 mm; width 120 mm; corner 12 mm }"
#define FREE   "free pocket { depths 0 .. 120 mm }"
#define BODY   "body lower { radius 8 mm; heights -350 .. 0 mm }"
#define ROUND  "pocket round { diameter 160 mm }"

static const struct row rows[] = {
    /* The body ends 10 mm below the tip, 6 mm below the band's edge: 60 - 2 - 6 = 52, but for what
     * the judgement falls short, 0.01 mm at most. */
    {"a floor",
     {{FREE, "free pocket { depths 0 .. 60 mm }"}, {BAND, "depths 20 .. 55 mm"}},
     "clearance",
     "depths 20 .. 55 mm",
     "with `depths 20 .. 51.9 mm` body lower keeps its clearance",
     "depths 20 .. 51.9 mm",
     "depths 20 .. 52.1 mm"},
    /* Downward the laps begin at the shallow edge: the deepest is the last. */
    {"a floor, from the shallow edge on",
     {{FREE, "free pocket { depths 0 .. 60 mm }"}, {BAND, "progress deeper; depths 20 .. 55 mm"}},
     "clearance",
     "depths 20 .. 55 mm",
     "with `depths 20 .. 51.9 mm` body lower keeps its clearance",
     "depths 20 .. 51.9 mm",
     "depths 20 .. 52.1 mm"},
    /* The torch body is 5 mm thick about the tip's height: 60 - 1 - 5 + 4 = 58. */
    {"a floor under the torch",
     {{FREE, "free pocket { depths 0 .. 60 mm }"},
      {BODY, "body lower { radius 8 mm; heights -300 .. 0 mm }"},
      {BAND, "depths 20 .. 59 mm"}},
     "torch-clearance",
     "depths 20 .. 59 mm",
     "with `depths 20 .. 57.9 mm` torch body keeps its clearance",
     "depths 20 .. 57.9 mm",
     "depths 20 .. 58.1 mm"},
    /* An upper body that does not fit into the bore ends 340 - 40 mm above the tip: at 2 mm from
     * the face the tip is 38 mm deep, the edge 42 mm. */
    {"the datum face",
     {{POCKET, ROUND},
      {BODY, BODY " body upper { radius 90 mm; heights -300 .. 100 mm }"},
      {BAND, "depths 20 .. 44 mm"}},
     "clearance",
     "depths 20 .. 44 mm",
     "with `depths 20 .. 41.9 mm` body upper keeps its clearance",
     "depths 20 .. 41.9 mm",
     "depths 20 .. 42.1 mm"},
    /* The same body in a counterbore 10 mm deep. */
    {"a shoulder",
     {{POCKET, ROUND "\nshape mouth round { diameter 280 mm }"},
      {FREE, "free mouth { depths 0 .. 10 mm }; free pocket { depths 10 .. 120 mm }"},
      {BODY, BODY " body upper { radius 90 mm; heights -300 .. 100 mm }"},
      {BAND, "depths 20 .. 54 mm"}},
     "clearance",
     "depths 20 .. 54 mm",
     "with `depths 20 .. 51.9 mm` body upper keeps its clearance",
     "depths 20 .. 51.9 mm",
     "depths 20 .. 52.1 mm"},
    /* A collar 15 mm high round the bore. */
    {"a collar",
     {{POCKET, ROUND "\nshape ring round { diameter 220 mm }"},
      {FREE, FREE "; free pocket { depths -15 .. 0 mm }; solid ring { depths -15 .. 0 mm }"},
      {BODY, BODY " body upper { radius 90 mm; heights -280 .. 100 mm }"},
      {BAND, "depths 20 .. 54 mm"}},
     "clearance",
     "depths 20 .. 54 mm",
     "with `depths 20 .. 46.9 mm` body upper keeps its clearance",
     "depths 20 .. 46.9 mm",
     "depths 20 .. 47.1 mm"},
    /* A cavity under a throat: the torch, 5 mm thick, comes to its roof at 40: 40 + 1 + 5 - 4. */
    {"an overhang",
     {{POCKET, ROUND "\nshape throat round { diameter 130 mm }"},
      {FREE, "free throat { depths 0 .. 40 mm }; free pocket { depths 40 .. 120 mm }"},
      {BAND, "depths 41 .. 70 mm"}},
     "torch-clearance",
     "depths 41 .. 70 mm",
     "with `depths 42.1 .. 70 mm` torch body keeps its clearance",
     "depths 42.1 .. 70 mm",
     "depths 41.9 .. 70 mm"},
    /* The second layer alone reaches too deep. */
    {"one layer's own band",
     {{FREE, "free pocket { depths 0 .. 60 mm }"},
      {BAND, "depths 20 .. 40 mm; layers 2; layer 2 { depths 20 .. 55 mm }"},
      {POCKET, ROUND}},
     "clearance",
     "depths 20 .. 55 mm",
     "with `depths 20 .. 51.9 mm` in layer 2 body lower keeps its clearance",
     "depths 20 .. 51.9 mm",
     "depths 20 .. 52.1 mm"},
    /* The layer is 2.66 mm thick: left behind, it counts for the electrode. */
    {"a short retract",
     {{POCKET, ROUND}, {"retract 5 mm", "retract 1 mm"}},
     "torch-clearance",
     "retract 1 mm",
     "with `retract 2.6 mm` electrode keeps its clearance",
     "retract 2.6 mm",
     "retract 2.4 mm"},
    /* The head axis lies beyond the middle, and farther by what the tip is backed off. */
    {"a long retract in a narrow bore",
     {{POCKET, "pocket round { diameter 84 mm }"},
      {BODY, "body lower { radius 29 mm; heights -350 .. 0 mm }"}},
     "clearance",
     "retract 5 mm",
     "with `retract 3.5 mm` body lower keeps its clearance",
     "retract 3.5 mm",
     "retract 3.7 mm"},
    /* 2.5 mm would do for the body, but not for the electrode. */
    {"no retract for the body and the electrode",
     {{POCKET, "pocket round { diameter 84 mm }"},
      {BODY, "body lower { radius 30 mm; heights -350 .. 0 mm }"}},
     "clearance",
     NULL,
     NULL,
     NULL,
     NULL},
    /* Nothing that another depth would mend. */
    {"a wall",
     {{POCKET, "pocket rectangle { length 160 mm; width 60 mm; corner 12 mm }"}},
     "clearance",
     NULL,
     NULL,
     NULL,
     NULL},
    /* A guard clears the wall by 1.7 mm, but not the clad that the deeper laps have beside it. */
    {"the band's own clad",
     {{POCKET, ROUND},
      {"radius 5 mm }", "radius 5 mm; guard g { radius 4 mm; from (10, 0, -300) mm; to (37, 6, "
                        "-315) mm } }\n  correction 0 mm"},
      {BAND, "depths 20 .. 70 mm"}},
     "torch-clearance",
     NULL,
     NULL,
     NULL,
     NULL},
    /* The floor leaves a band of 31.9 mm: 6 laps a layer at an overlap of 50 % at most, 4.78 mm
     * apart, two layers of 10.6446 / 4.78 mm; so there is no such plan. */
    {"no choice for the band",
     {{FREE, "free pocket { depths 0 .. 60 mm }"},
      {BAND, "layers 2; depths 20 .. 55 mm"},
      {"overlap 45 %", "overlap auto"},
      {"retract 5 mm", "retract 5 mm; require { thickness 4.6 mm }"}},
     "clearance",
     NULL,
     NULL,
     NULL,
     NULL},
    /* The floor leaves less than a bead. */
    {"no room for a bead",
     {{FREE, "free pocket { depths 0 .. 34 mm }"}, {BAND, "depths 20 .. 32.4 mm"}},
     "clearance",
     NULL,
     NULL,
     NULL,
     NULL},
};

static const struct check_result *result_find(const struct verdict *verdict, const char *name) {
  for (size_t i = 0; i < verdict->result_count; i++)
    if (strcmp(verdict->results[i].name, name) == 0)
      return &verdict->results[i];
  fail_msg("no such check");
  return NULL;
}

static struct job_motion judge(const char *text, const char *name, struct check_result *result) {
  struct job_motion made = job_motion_make(text);
  assert_string_equal(made.told, "");
  assert_non_null(made.motion);
  *result = *result_find(check_motion(made.arena, made.motion), name);
  return made;
}

static bool passes(const char *text, const struct row *row, const char *band) {
  char *other = text_again(strcpy(malloc(strlen(text) + 1), text), row->band, band);
  struct check_result result;
  struct job_motion made = judge(other, row->check, &result);
  job_motion_end(&made);
  free(other);
  return result.passed;
}

static void test_advice(void **state) {
  const struct row *row = *state;
  char *text = row_text(row);
  struct check_result result;
  struct job_motion made = judge(text, row->check, &result);
  assert_false(result.passed);
  if (row->help) {
    assert_non_null(result.help);
    assert_string_equal(result.help, row->help);
    assert_true(passes(text, row, row->advised));
    assert_false(passes(text, row, row->beyond));
  } else if (result.help) {
    fail_msg("advised: %s", result.help);
  }
  job_motion_end(&made);
  free(text);
}

int main(void) {
  enum { ROWS = sizeof rows / sizeof rows[0] };
  struct CMUnitTest tests[ROWS];
  for (size_t n = 0; n < ROWS; n++)
    tests[n] =
        (struct CMUnitTest){rows[n].name, test_advice, NULL, NULL, (void *)(uintptr_t)&rows[n]};
  return _cmocka_run_group_tests("advice", tests, ROWS, NULL, NULL);
}
