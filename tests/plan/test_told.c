/* What is told of outlines, sectors and finished walls, whole: tests/plan/cases/.
 *
 * A case: `==== name`, `---- job.lay`, `---- expect` with all that is told from the text to the
 * plan. Files of cases/common/ are there besides.  An empty expectation means that there is a plan.
 */
#include "borelay/plan.h"
#include "support/case_run.h"

enum { MOST_CASES = 64 };

struct test_case {
  char *name, *job, *expected;
};

static void case_check(void **state) {
  const struct test_case *wanted = *state;
  struct run run;
  run_begin(&run);
  run_file("job.lay", wanted->job);
  run_resolve(&run, NULL, 0);
  assert_string_equal(run.text, "");
  const struct plan *plan = plan_make(run.arena, run.job, run.diags);
  free(run.text);
  size_t size;
  FILE *told = open_memstream(&run.text, &size);
  assert_non_null(told);
  diag_print(run.diags, told);
  fclose(told);
  assert_string_equal(run.text, wanted->expected);
  assert_int_equal(plan == NULL, *wanted->expected != '\0');
  run_end(&run);
}

/* The text between two marks; the later one is cut off. */
static char *part_after(char *text, const char *mark, const char *next) {
  char *begin = strstr(text, mark);
  assert_non_null(begin);
  begin += strlen(mark);
  char *end = next ? strstr(begin, next) : NULL;
  if (end)
    end[1] = '\0';
  return begin;
}

/* Cases of one file behind those that are there; gives its text, in which they lie. */
static char *cases_read(const char *path, struct test_case *cases, size_t *count) {
  size_t length;
  char *text = file_read(path, &length);
  for (char *name = strstr(text, "\n==== ") + 1; name;) {
    name += strlen("==== ");
    char *at = strstr(name, "\n==== ");
    if (at)
      *++at = '\0'; /* what is expected ends with its newline */
    struct test_case *one = &cases[(*count)++];
    one->expected = part_after(name, "\n---- expect\n", NULL);
    one->job = part_after(name, "\n---- job.lay\n", "\n---- expect");
    one->name = name;
    *strchr(name, '\n') = '\0';
    name = at;
  }
  return text;
}

int main(void) {
  static const char *const FILES[] = {"tests/plan/cases/outline.txt",
                                      "tests/plan/cases/sectors.txt"};
  enum { FILE_COUNT = sizeof FILES / sizeof FILES[0] };
  static struct test_case cases[MOST_CASES];
  static struct CMUnitTest tests[MOST_CASES];
  char *texts[FILE_COUNT];
  size_t count = 0;
  for (size_t i = 0; i < FILE_COUNT; i++)
    texts[i] = cases_read(FILES[i], cases, &count);
  for (size_t i = 0; i < count; i++)
    tests[i] = (struct CMUnitTest){
        .name = cases[i].name, .test_func = case_check, .initial_state = &cases[i]};
  int failed = _cmocka_run_group_tests("told of a plan", tests, count, NULL, NULL);
  for (size_t i = 0; i < FILE_COUNT; i++)
    free(texts[i]);
  return failed;
}
