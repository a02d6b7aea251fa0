/* Every figure of a job, changed one at a time by a random share, is found under its own key; and
 * no other key is named. */
#include <ctype.h>

#include "compare/declare.h"
#include "support/random.h"

/* Where the statement that holds the figure begins: behind the last `;`, `{`, `}` or line end that
 * stands in no bracket. */
static const char *statement_of(const char *text, const char *figure) {
  int depth = 0;
  const char *at = figure;
  while (at > text) {
    char c = at[-1];
    depth += (c == ')') - (c == '(' && depth > 0);
    if (depth == 0 && (c == ';' || c == '{' || c == '}' || c == '\n'))
      break;
    at--;
  }
  return at + strspn(at, " ");
}

/* The key that a change of the figure must show under, "" where it is none's. */
static void key_of(const char *text, const char *figure, char key[64]) {
  const char *statement = statement_of(text, figure);
  size_t length = strspn(statement, "abcdefghijklmnopqrstuvwxyz_");
  snprintf(key, 64, "%.*s", (int)length, statement);
  if (strcmp(key, "let") == 0)
    snprintf(key, 64, "diameter"); /* which that let is for */
  else if (strcmp(key, "layer") == 0)
    key[0] = '\0'; /* the number of a layer is its name */
}

/* Behind a letter, a digit or a unit's slash no number begins. */
static const char *next_figure(const char *text, const char *at) {
  for (; *at; at++) {
    char before = at > text ? at[-1] : ' ';
    bool goes_on = isalnum((unsigned char)before) || before == '_' || before == '.' ||
                   before == '"' || before == '/';
    bool after_range = before == '.' && at - text >= 2 && at[-2] == '.';
    if (isdigit((unsigned char)*at) && (!goes_on || after_range))
      return at;
  }
  return NULL;
}

static char *with_figure(const char *text, const char *at, struct random *random) {
  char *end, *made = malloc(strlen(text) + 64);
  double value = strtod(at, &end);
  if (*end == '.') /* 1 .. 2 */
    end = strchr(at, ' ');
  bool is_whole = strncmp(statement_of(text, at), "layers", 6) == 0;
  double changed =
      is_whole ? value + 1 : value + (value > 0 ? value : 1) * random_between(random, 1e-6, 0.2);
  assert_non_null(made);
  sprintf(made, "%.*s%.9f%s", (int)(at - text), text, changed, end);
  if (is_whole)
    sprintf(made, "%.*s%.0f%s", (int)(at - text), text, changed, end);
  return made;
}

static bool names_key(const struct difference *found, const char *key) {
  const char *last = strrchr(found->path, '/');
  last = last ? last + 2 : found->path;
  return strncmp(last, key, strlen(key)) == 0;
}

/* shop: the figure stands in the used file. */
static void check_figure(const char *text, const char *at, bool shop, struct random *random) {
  char key[64];
  key_of(text, at, key);
  if (!*key)
    return;
  struct run run;
  run_begin(&run);
  char *changed = with_figure(text, at, random);
  const struct declared *before = declare(&run, SHOP, MAIN, NULL);
  const struct declared *after = declare(&run, shop ? changed : SHOP, shop ? MAIN : changed, NULL);
  struct differences found = differences_find(run.arena, before, after);
  if (found.count == 0)
    fail_msg("%s: not found: %.40s", key, at);
  for (size_t i = 0; i < found.count; i++) {
    bool through_param = strcmp(key, "param") == 0 && names_key(&found.items[i], "wire_feed_speed");
    bool is_range = strcmp(key, "param") == 0 && names_key(&found.items[i], "range");
    if (!names_key(&found.items[i], key) && !through_param && !is_range)
      fail_msg("%s: found under %s", key, found.items[i].path);
  }
  free(changed);
  run_end(&run);
}

static void check_all(const char *text, bool shop, struct random *random, int *count) {
  for (const char *at = text; (at = next_figure(text, at)) != NULL; (*count)++) {
    check_figure(text, at, shop, random);
    at += strspn(at, "0123456789");
    if (*at == '.' && at[1] != '.')
      at += 1 + strspn(at + 1, "0123456789");
  }
}

static void test_every_figure(void **state) {
  (void)state;
  struct random random = {20261125};
  int count = 0;
  print_message("seed 20261125\n");
  check_all(MAIN, false, &random, &count);
  check_all(SHOP, true, &random, &count);
  assert_true(count > 100); /* or the search for figures has gone blind */
}

int main(void) {
  const struct CMUnitTest tests[] = {cmocka_unit_test(test_every_figure)};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
