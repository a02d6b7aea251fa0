/* Every value of a stream's header is held against the job, or against the rows: whatever is
 * changed in it is found, in the text and in binary. */
#include "cli/program.h"
#include "cli/stream_edit.h"

#include "cli/one_folder.h"

struct line {
  const char *from, *to; /* in the header */
  const char *told;
};

/* Of judged.lay. */
static const struct line LINES[] = {
    {"\"judged\"", "\"judge\"", "same-header: `# job \"judge\""},
    {"part \"\"", "part \"1\"", "same-header: `# job "},
    {"revision \"A\"", "revision \"a\"", "same-header: `# job "},
    {"# cell bench ", "# cell bunch ", "same-cell: the job's cell is bench"},
    {"reach_mm 40.000000", "reach_mm 40.000001", "same-header: torch reach_mm is 40.000001"},
    {"drop_mm 300.000000", "drop_mm 299.999999", "same-header: torch drop_mm"},
    {"correction_mm 1.000000", "correction_mm 1.000001", "same-header: torch correction_mm"},
    {"datum x_mm 10.000000", "datum x_mm 10.000001", "same-header: datum x_mm"},
    {"y_mm 20.000000", "y_mm 19.999999", "same-header: datum y_mm"},
    {"z_mm 150.000000", "z_mm 150.000001", "same-header: datum z_mm"},
    {"turned_deg 20.000000", "turned_deg 20.000001", "same-header: datum turned_deg"},
    {"# procedure steady", "# procedure study", "same-header: `# procedure study"},
    {"wps \"T-1", "wps \"T-2", "same-header: `# procedure steady"},
    {"filler \"made-up\"", "filler \"\"", "same-header: `# procedure steady"},
    {"# tick_s", "# procedure more wps \"\" filler \"\"\n# tick_s",
     "same-header: `# procedure more wps \"\" filler \"\"` is not of this job"},
    {"1 ring_wall file", "1 rung_wall file", "same-header: `# overlay 1 rung_wall"},
    {"2 step_wall file 1", "2 step_wall file 2", "same-header: `# overlay 2 step_wall file 2"},
    {"# file 1", "# overlay 3 wall file 1\n# file 1",
     "same-header: `# overlay 3 wall file 1` is not of this job"},
    {"\"shop.lay\"", "\"shop.lai\"", "same-header: `# file 2 \"shop.lai\"` should be"},
    {"\n# file 2 \"shop.lay\"", "", "same-header: no line `# file 2 \"shop.lay\"`"},
    {"t_s,x_mm", "# file 3 \"more.lay\"\nt_s,x_mm",
     "same-header: `# file 3 \"more.lay\"` is not of this job"},
    /* a reader finds these by itself */
    {"# borelay setpoints 1", "# borelay setpoints 2", "a version that this reader does not know"},
    {"# mode weld", "# mode rehearsal", "cannot be so in this phase or mode"},
    {"head_end_deg ", "head_end_deg 1", "the header"},
    {"# verdict passed", "# verdict failed", "header line"},
};

static void replace(struct edit *edit, const char *from, const char *to) {
  char *at = strstr(edit->header, from);
  assert_non_null(at);
  char *rest = strdup(at + strlen(from));
  strcpy(at, to);
  strcat(at, rest);
  free(rest);
}

static void judge(const char *stream, const char *told, const char *name) {
  char line[200];
  snprintf(line, sizeof line, "verify -q %s --job @judged.lay", stream);
  if (program_run(program, line) != 1)
    fail_msg("%s, %s: it holds", name, stream);
  if (!strstr(program->err, told))
    fail_msg("%s, %s: `%s` is not told in\n%s", name, stream, told, program->err);
}

static void test_line(void **state) {
  const struct line *line = *state;
  char path[1400];
  path_in(path, program, "plain.csv");
  if (access(path, R_OK) != 0)
    assert_int_equal(program_run(program, "compile -q @judged.lay -o plain.csv"), 0);
  struct edit edit = edit_open(path);
  replace(&edit, line->from, line->to);
  path_in(path, program, "a.csv");
  edit_write(&edit, path, false);
  edit_close(&edit);
  judge("a.csv", line->told, line->to);
  if (program_run(program, "convert a.csv a.spt") == 0)
    judge("a.spt", line->told, line->to);
}

/* Both digests, a digit of each. */
static void test_digests(void **state) {
  (void)state;
  static const struct line DIGESTS[] = {{"\n# source sha256 ", "", "same-source: "},
                                        {"\n# cell bench sha256 ", "", "same-cell: "}};
  char path[1400];
  for (int i = 0; i < 2; i++) {
    path_in(path, program, "plain.csv");
    struct edit edit = edit_open(path);
    char *digit = strstr(edit.header, DIGESTS[i].from) + strlen(DIGESTS[i].from) + 63;
    *digit = *digit == '0' ? '1' : '0';
    path_in(path, program, "a.csv");
    edit_write(&edit, path, false);
    edit_close(&edit);
    judge("a.csv", DIGESTS[i].told, DIGESTS[i].from);
  }
}

static void copy(const char *from, const char *to) {
  char path[1400];
  snprintf(path, sizeof path, "%s/%s", program->jobs, from);
  char *text = file_read(path);
  assert_non_null(text);
  path_in(path, program, to);
  FILE *file = fopen(path, "wb");
  assert_non_null(file);
  fputs(text, file);
  assert_int_equal(fclose(file), 0);
  free(text);
}

/* The job may lie where it is judged under another name: its bytes are the same. */
static void test_renamed(void **state) {
  (void)state;
  copy("judged.lay", "renamed.lay");
  copy("shop.lay", "shop.lay");
  assert_int_equal(program_run(program, "compile -q @judged.lay -o plain.csv"), 0);
  assert_int_equal(program_run(program, "verify -q plain.csv --job renamed.lay"), 0);
}

#define COUNT(array) (sizeof(array) / sizeof(array)[0])

int main(void) {
  struct CMUnitTest tests[COUNT(LINES) + 2];
  for (size_t i = 0; i < COUNT(LINES); i++)
    tests[i] =
        (struct CMUnitTest){LINES[i].told, test_line, NULL, NULL, (void *)(uintptr_t)&LINES[i]};
  tests[COUNT(LINES)] = (struct CMUnitTest)cmocka_unit_test(test_digests);
  tests[COUNT(LINES) + 1] = (struct CMUnitTest)cmocka_unit_test(test_renamed);
  return cmocka_run_group_tests(tests, one_folder_begin, one_folder_end);
}
