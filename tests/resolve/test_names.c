/* What names mean, as editors ask: over files that are saved and files that are not. */
#include "support/case_run.h"

static const char SHOP[] = "param size = 4 in range 2 in .. 8 in\n"
                           "shape bore round { diameter size }\n"
                           "procedure steady { }\n";
static const char JOB_TEXT[] = "use \"shop.lay\" as w { size = 6 in }\n"
                               "param depth = 5 mm\n"
                               "let edge = depth + 0.5 in\n"
                               "let place = (1, 2) mm\n"
                               "let word = \"a b\"\n"
                               "let broken = 1 mm + 1 s\n"
                               "shape local round { diameter 1 in }\n";

struct held {
  struct run run;
  struct resolver *resolver;
};

/* shop.lay is saved with other words than the editor holds; job.lay is not saved at all. */
static void hold(struct held *held) {
  const char *unreadable = NULL;
  run_begin(&held->run);
  run_file("shop.lay", "let old = 1\n");
  assert_int_equal(mkdir("sub", 0700), 0);
  source_unsaved(held->run.sources, "sub/../shop.lay", SHOP, strlen(SHOP));
  source_unsaved(held->run.sources, "job.lay", JOB_TEXT, strlen(JOB_TEXT));
  job_resolve_kept(held->run.arena, held->run.sources, held->run.diags, "job.lay", NULL, 0,
                   &unreadable, &held->resolver);
  assert_null(unreadable);
  assert_non_null(held->resolver);
}

static const struct row {
  const char *name;
  uint32_t file;
  const char *kind, *asked;
  const char *found_kind, *full, *value; /* found_kind NULL: nothing */
  uint32_t at_file;
  const char *at; /* what stands there */
} ROWS[] = {
    {"a param in the author's unit", 1, "value", "depth", "param", "depth", "5 mm", 1, "depth"},
    {"a let in the unit that comes first in it", 1, "value", "edge", "let", "edge", "17.7 mm", 1,
     "edge"},
    {"a point", 1, "value", "place", "let", "place", "(1, 2) mm", 1, "place"},
    {"a string", 1, "value", "word", "let", "word", "\"a b\"", 1, "word"},
    {"a broken value", 1, "value", "broken", "let", "broken", NULL, 1, "broken"},
    {"a param that is set", 1, "value", "w.size", "param", "w.size", "6 in", 2, "size"},
    {"the same in its own file", 2, "value", "size", "param", "w.size", "6 in", 2, "size"},
    {"a shape of a used file", 1, "shape", "w.bore", "shape", "w.bore", NULL, 2, "bore"},
    {"a shape here", 1, "shape", "local", "shape", "local", NULL, 1, "local"},
    {"the name of a used file", 1, "value", "w", "file", "w", NULL, 2, ""},
    {"no such name", 1, "value", "dept", NULL, NULL, NULL, 0, NULL},
    {"no such file", 1, "value", "v.size", NULL, NULL, NULL, 0, NULL},
    {"a name of another kind", 1, "shape", "depth", NULL, NULL, NULL, 0, NULL},
    {"no such kind", 1, "gadget", "depth", NULL, NULL, NULL, 0, NULL},
    {"a file that is none of the job's", 7, "value", "depth", NULL, NULL, NULL, 0, NULL},
    {"a dot at the end", 1, "value", "w.", NULL, NULL, NULL, 0, NULL},
};

static void the_name_means(void **state) {
  const struct row *row = *state;
  struct held held;
  struct name_info info;
  hold(&held);
  bool is_found = name_info_find(held.resolver, row->file, row->kind, row->asked, &info);
  assert_int_equal(is_found, row->found_kind != NULL);
  if (is_found) {
    assert_string_equal(info.kind, row->found_kind);
    assert_string_equal(info.name, row->full);
    if (row->value)
      assert_string_equal(info.value, row->value);
    else
      assert_null(info.value);
    assert_int_equal(info.at.file, row->at_file);
    const char *text = (const char *)source_get(held.run.sources, info.at.file)->text;
    assert_int_equal(info.at.end - info.at.begin, strlen(row->at));
    assert_memory_equal(text + info.at.begin, row->at, strlen(row->at));
  }
  run_end(&held.run);
}

static void names_are_listed(void **state) {
  (void)state;
  struct held held;
  hold(&held);
  assert_string_equal(name_info_list(held.resolver, 1, "shape", 0), "local");
  assert_string_equal(name_info_list(held.resolver, 1, "shape", 1), "w.bore");
  assert_null(name_info_list(held.resolver, 1, "shape", 2));
  assert_string_equal(name_info_list(held.resolver, 2, "procedure", 0), "steady");
  assert_string_equal(name_info_list(held.resolver, 1, "value", 5), "w.size");
  assert_null(name_info_list(held.resolver, 7, "value", 0));
  run_end(&held.run);
}

enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };

int main(void) {
  struct CMUnitTest tests[ROW_COUNT + 1] = {[ROW_COUNT] = cmocka_unit_test(names_are_listed)};
  for (size_t i = 0; i < ROW_COUNT; i++)
    tests[i] =
        (struct CMUnitTest){ROWS[i].name, the_name_means, NULL, NULL, (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
