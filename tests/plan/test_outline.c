/* What is told of outlines, whole: tests/plan/cases/outline.txt.
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

int main(void) {
  static struct test_case cases[MOST_CASES];
  static struct CMUnitTest tests[MOST_CASES];
  size_t count = 0, length;
  char *text = file_read("tests/plan/cases/outline.txt", &length);
  char *name = strstr(text, "\n==== ");
  for (; name; count++) {
    name += strlen("\n==== ");
    char *at = strstr(name, "\n==== ");
    if (at)
      at[1] = '\0'; /* what is expected ends with its newline */
    struct test_case *one = &cases[count];
    one->expected = part_after(name, "\n---- expect\n", NULL);
    one->job = part_after(name, "\n---- job.lay\n", "\n---- expect");
    one->name = name;
    *strchr(name, '\n') = '\0';
    tests[count] = (struct CMUnitTest){.name = name, .test_func = case_check, .initial_state = one};
    name = at;
  }
  int failed = _cmocka_run_group_tests("outline", tests, count, NULL, NULL);
  free(text);
  return failed;
}
