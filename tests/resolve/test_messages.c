/* Every static error as it is told, whole: tests/resolve/cases/NAME.txt.
 *
 * A case: `==== name`, then its files and settings as `---- job.lay`, `---- set` (one
 * setting a line), and `---- expect` with all that is told.  Files of cases/common/ are
 * there besides.  An empty expectation means that the job resolves. */
#include "support/case_run.h"

static const char *const case_files[] = {"names",   "files", "values",  "blocks", "shapes",
                                         "outline", "zones", "sectors", "auto"};

enum { MOST_CASES = 400, MOST_SETTINGS = 16 };

struct test_case {
  char *name;
  char *body; /* from its first `---- ` to the next case */
};

static char *part_end(char *part) {
  char *end = strstr(part, "\n---- ");
  return end ? end + 1 : part + strlen(part);
}

static size_t settings_split(char *text, const char **settings) {
  size_t count = 0;
  for (char *line = strtok(text, "\n"); line && count < MOST_SETTINGS; line = strtok(NULL, "\n"))
    settings[count++] = line;
  return count;
}

static void case_check(void **state) {
  const struct test_case *wanted = *state;
  struct run run;
  run_begin(&run);
  const char *settings[MOST_SETTINGS];
  size_t setting_count = 0;
  char *body = strdup(wanted->body), *expected = NULL;
  for (char *part = body, *next; *part; part = next) {
    next = part_end(part);
    char saved = *next;
    *next = '\0';
    char *text = strchr(part, '\n') + 1;
    char *copy = strdup(text);
    text[-1] = '\0';
    const char *title = part + strlen("---- ");
    if (strcmp(title, "expect") == 0)
      expected = copy;
    else if (strcmp(title, "set") == 0)
      setting_count = settings_split(copy, settings); /* keeps pointing into copy */
    else
      run_file(title, copy);
    if (strcmp(title, "expect") != 0 && strcmp(title, "set") != 0)
      free(copy);
    *next = saved;
  }
  run_resolve(&run, settings, setting_count);
  assert_non_null(expected);
  assert_string_equal(run.text, expected);
  assert_true((run.job == NULL) == (*expected != '\0'));
  if (setting_count > 0)
    free((void *)(uintptr_t)settings[0]);
  free(expected);
  free(body);
  run_end(&run);
}

static size_t cases_split(const char *file, char *text, struct test_case *cases,
                          struct CMUnitTest *tests) {
  size_t count = 0;
  char *at = strstr(text, "\n==== ");
  while (at) {
    char *name = at + strlen("\n==== ");
    at = strstr(name, "\n==== ");
    if (at)
      at[1] = '\0';
    char *body = strstr(name, "\n---- ") + 1;
    body[-1] = '\0';
    char *full = NULL;
    assert_true(asprintf(&full, "%s: %s", file, name) > 0);
    cases[count] = (struct test_case){.name = full, .body = body};
    tests[count] =
        (struct CMUnitTest){.name = full, .test_func = case_check, .initial_state = &cases[count]};
    count++;
  }
  return count;
}

/* Every code of this room stands in some expectation. */
static char *all_text[sizeof case_files / sizeof *case_files];

static void codes_check(void **state) {
  (void)state;
  static const struct {
    int number;
    const char *name;
  } codes[] = {
#define DIAG(name, number, summary) {number, #name},
#include "borelay/diag_codes.def"
#undef DIAG
  };
  for (size_t i = 0; i < sizeof codes / sizeof *codes; i++) {
    if (codes[i].number < 200 || codes[i].number > 399 || codes[i].number == 216)
      continue; /* 216, too deep: test_model.c makes its files */
    char code[16];
    snprintf(code, sizeof code, "error[E%04d]", codes[i].number);
    bool found = false;
    for (size_t f = 0; f < sizeof case_files / sizeof *case_files; f++)
      found = found || strstr(all_text[f], code);
    if (!found)
      fail_msg("no case for %s (%s)", code, codes[i].name);
  }
}

int main(void) {
  static struct test_case cases[MOST_CASES];
  static struct CMUnitTest tests[MOST_CASES + 1];
  size_t count = 0;
  char *texts[sizeof case_files / sizeof *case_files];
  for (size_t f = 0; f < sizeof case_files / sizeof *case_files; f++) {
    char path[128];
    size_t length;
    snprintf(path, sizeof path, "tests/resolve/cases/%s.txt", case_files[f]);
    texts[f] = file_read(path, &length);
    all_text[f] = strdup(texts[f]);
    count += cases_split(case_files[f], texts[f], cases + count, tests + count);
  }
  tests[count++] = (struct CMUnitTest){.name = "every code has a case", .test_func = codes_check};
  int failed = _cmocka_run_group_tests("messages", tests, count, NULL, NULL);
  for (size_t i = 0; i + 1 < count; i++)
    free(cases[i].name);
  for (size_t f = 0; f < sizeof case_files / sizeof *case_files; f++) {
    free(texts[f]);
    free(all_text[f]);
  }
  return failed;
}
