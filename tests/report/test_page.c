/* The page as a file: its data against what it was made from, and nothing an author writes breaks
 * it. */
#include "report/paged.h"

#include <stdio.h>
#include <unistd.h>

#include "support/job_text.h"

/* -- the summary on the page ------------------------------------------------------------------ */

/* Only folders may differ. */
static void shorten(json_t *value) {
  const char *key;
  json_t *part;
  size_t i;
  json_array_foreach(value, i, part) shorten(part);
  json_object_foreach(value, key, part) {
    const char *slash = json_is_string(part) ? strrchr(json_string_value(part), '/') : NULL;
    if (strcmp(key, "file") == 0 && slash)
      json_string_set(part, slash + 1);
    else
      shorten(part);
  }
}

static void test_summary_is_the_summary(void **state) {
  (void)state;
  struct paged made = paged_make("programs/cross_port.lay");
  char *text = summary_text(&made.outcome);
  json_t *want = json_loads(text, 0, NULL), *got = paged_data(&made, "summary-data");
  shorten(want);
  assert_true(json_equal(want, got));
  assert_string_equal(json_string_value(json_object_get(got, "verdict")), "passed");
  json_decref(want);
  json_decref(got);
  free(text);
  paged_end(&made);
}

static void test_scene_has_what_the_plan_has(void **state) {
  (void)state;
  struct paged made = paged_make("programs/twin_bores.lay");
  json_t *scene = paged_data(&made, "scene-data");
  const struct plan *plan = made.outcome.plan;
  json_t *overlays = json_object_get(scene, "overlays");
  assert_int_equal(json_array_size(overlays), plan->overlay_count);
  for (size_t i = 0; i < plan->overlay_count; i++) {
    json_t *overlay = json_array_get(overlays, i);
    assert_string_equal(json_string_value(json_object_get(overlay, "name")),
                        plan->overlays[i].overlay->name);
    assert_int_equal(json_integer_value(json_object_get(overlay, "line")),
                     plan->overlays[i].overlay->line);
    assert_int_equal(json_array_size(json_object_get(overlay, "layers")),
                     plan->overlays[i].layer_count);
  }
  assert_int_equal(json_array_size(json_object_get(scene, "volumes")),
                   plan->job->envelope->volume_count);
  assert_int_equal(json_array_size(json_object_get(scene, "runs")),
                   made.outcome.verdict->run_count);
  json_decref(scene);
  paged_end(&made);
}

static void test_refused_is_said(void **state) {
  (void)state;
  struct paged made = paged_make("tests/cli/jobs/tight.lay");
  char *verdict = paged_text(&made, "string(/html/@data-verdict)");
  assert_string_equal(verdict, "refused");
  json_t *summary = paged_data(&made, "summary-data");
  assert_string_equal(json_string_value(json_object_get(summary, "verdict")), "failed");
  assert_true(json_array_size(json_object_get(summary, "errors")) > 0);
  json_decref(summary);
  xmlFree(verdict);
  paged_end(&made);
}

/* -- the same bytes, and not too many --------------------------------------------------------- */

static void test_same_bytes_from_any_folder(void **state) {
  (void)state;
  char here[1024], path[1200];
  assert_non_null(getcwd(here, sizeof here));
  snprintf(path, sizeof path, "%s/programs/../programs/valve_bore.lay", here);
  struct paged one = paged_make("programs/valve_bore.lay"), other = paged_make(path);
  assert_int_equal(one.length, other.length);
  assert_memory_equal(one.page, other.page, one.length);
  assert_null(strstr(other.page, here));
  paged_end(&one);
  paged_end(&other);
}

enum { PAGE_MOST = 3000000 };

static void test_two_hours_stay_small(void **state) {
  (void)state;
  struct paged made = paged_make("tests/browser/two_hours.lay");
  assert_true(made.outcome.verdict->quantities.duration > 7200);
  assert_true(made.length < PAGE_MOST);
  json_t *motion = paged_data(&made, "motion-data");
  size_t pieces = json_array_size(json_object_get(motion, "pieces"));
  assert_true(json_array_size(json_object_get(motion, "steps")) < pieces / 2);
  json_decref(motion);
  paged_end(&made);
}

/* -- what an author may write ----------------------------------------------------------------- */

static size_t count_of(const char *text, const char *part) {
  size_t count = 0;
  for (const char *at = text; (at = strstr(at, part)); at += strlen(part))
    count++;
  return count;
}

/* A small job with another title. */
static struct paged paged_with_title(const char *title) {
  char path[] = "borelay_titleXXXXXX", job[200];
  snprintf(job, sizeof job, "job \"%s\"", title);
  char *text = text_with("job \"t\"", job);
  int file = mkstemp(path);
  assert_true(file >= 0);
  assert_int_equal(write(file, text, strlen(text)), (ssize_t)strlen(text));
  close(file);
  free(text);
  struct paged made = paged_make(path);
  unlink(path);
  return made;
}

struct title {
  const char *name, *source, *text; /* as written, as meant */
};

static void test_title_stays_text(void **state) {
  const struct title *title = *state;
  struct paged plain = paged_with_title("plain"), made = paged_with_title(title->source);
  json_t *summary = paged_data(&made, "summary-data");
  json_t *job = json_object_get(summary, "job");
  assert_string_equal(json_string_value(json_object_get(job, "title")), title->text);
  char *shown = paged_text(&made, "//h1");
  assert_string_equal(shown, title->text);
  static const char *const tags[] = {"<script", "</script", "<!--", "<img", "<b>", "@@"};
  for (size_t i = 0; i < sizeof tags / sizeof tags[0]; i++)
    assert_int_equal(count_of(made.page, tags[i]), count_of(plain.page, tags[i]));
  xmlFree(shown);
  json_decref(summary);
  paged_end(&plain);
  paged_end(&made);
}

static const struct title TITLES[] = {
    {"end of a script", "</script><img src=x>", "</script><img src=x>"},
    {"start of a comment", "<!--<script>", "<!--<script>"},
    {"quotes", "\\\"' onload='x", "\"' onload='x"},
    {"entities", "&amp;<b>&#60;", "&amp;<b>&#60;"},
    {"other scripts", "\xc3\xa9 \xe2\x80\xa8 \xf0\x9f\x94\xa7",
     "\xc3\xa9 \xe2\x80\xa8 \xf0\x9f\x94\xa7"},
    {"escapes", "a\\\\u003cb", "a\\u003cb"}};
enum { TITLE_COUNT = sizeof TITLES / sizeof TITLES[0] };

int main(void) {
  struct CMUnitTest tests[16] = {cmocka_unit_test(test_summary_is_the_summary),
                                 cmocka_unit_test(test_scene_has_what_the_plan_has),
                                 cmocka_unit_test(test_refused_is_said),
                                 cmocka_unit_test(test_same_bytes_from_any_folder),
                                 cmocka_unit_test(test_two_hours_stay_small)};
  size_t count = 5;
  for (size_t i = 0; i < TITLE_COUNT; i++) {
    union {
      const struct title *row;
      void *state;
    } row = {&TITLES[i]};
    tests[count++] =
        (struct CMUnitTest){TITLES[i].name, test_title_stays_text, NULL, NULL, row.state};
  }
  return _cmocka_run_group_tests("report page", tests, count, NULL, NULL);
}
