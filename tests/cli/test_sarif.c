/* --sarif: every message as SARIF 2.1.0, held against what the standard asks of each object.
 *
 * Source: OASIS Standard "Static Analysis Results Interchange Format (SARIF) Version 2.1.0",
 * 27 March 2020, and its schema (repository oasis-tcs/sarif-spec, commit e0583813): which
 * properties an object needs, which words and least numbers they take. */
#include "cli/program.h"

#include <jansson.h>

/* -- what the standard asks ------------------------------------------------------------------- */

enum takes { TAKES_TEXT, TAKES_WHOLE, TAKES_TRUTH, TAKES_OBJECT, TAKES_LIST };

/* A property of an object of the standard.  Those that are not listed here we do not write. */
struct property {
  const char *object, *name;
  enum takes takes;
  bool is_needed;
  const char *words; /* TAKES_TEXT: between blanks; NULL: any */
  int least;         /* TAKES_WHOLE */
  const char *of;    /* TAKES_OBJECT, TAKES_LIST: of what */
};

static const struct property PROPERTIES[] = {
    {"log", "version", TAKES_TEXT, true, " 2.1.0 ", 0, NULL},
    {"log", "runs", TAKES_LIST, true, NULL, 0, "run"},
    {"run", "tool", TAKES_OBJECT, true, NULL, 0, "tool"},
    {"run", "invocations", TAKES_LIST, false, NULL, 0, "invocation"},
    {"run", "columnKind", TAKES_TEXT, false, " utf16CodeUnits unicodeCodePoints ", 0, NULL},
    {"run", "results", TAKES_LIST, false, NULL, 0, "result"},
    {"tool", "driver", TAKES_OBJECT, true, NULL, 0, "driver"},
    {"driver", "name", TAKES_TEXT, true, NULL, 0, NULL},
    {"driver", "rules", TAKES_LIST, false, NULL, 0, "rule"},
    {"rule", "id", TAKES_TEXT, true, NULL, 0, NULL},
    {"rule", "shortDescription", TAKES_OBJECT, false, NULL, 0, "text"},
    {"rule", "defaultConfiguration", TAKES_OBJECT, false, NULL, 0, "configuration"},
    {"configuration", "level", TAKES_TEXT, false, " none note warning error ", 0, NULL},
    {"text", "text", TAKES_TEXT, true, NULL, 0, NULL},
    {"invocation", "executionSuccessful", TAKES_TRUTH, true, NULL, 0, NULL},
    {"invocation", "exitCode", TAKES_WHOLE, false, NULL, 0, NULL},
    {"invocation", "toolExecutionNotifications", TAKES_LIST, false, NULL, 0, "notification"},
    {"notification", "level", TAKES_TEXT, false, " none note warning error ", 0, NULL},
    {"notification", "message", TAKES_OBJECT, true, NULL, 0, "text"},
    {"result", "occurrenceCount", TAKES_WHOLE, false, NULL, 1, NULL},
    {"result", "ruleId", TAKES_TEXT, false, NULL, 0, NULL},
    {"result", "ruleIndex", TAKES_WHOLE, false, NULL, 0, NULL},
    {"result", "level", TAKES_TEXT, false, " none note warning error ", 0, NULL},
    {"result", "message", TAKES_OBJECT, true, NULL, 0, "text"},
    {"result", "locations", TAKES_LIST, false, NULL, 0, "location"},
    {"result", "relatedLocations", TAKES_LIST, false, NULL, 0, "location"},
    {"location", "physicalLocation", TAKES_OBJECT, false, NULL, 0, "physical"},
    {"location", "logicalLocations", TAKES_LIST, false, NULL, 0, "logical"},
    {"location", "message", TAKES_OBJECT, false, NULL, 0, "text"},
    {"logical", "fullyQualifiedName", TAKES_TEXT, false, NULL, 0, NULL},
    {"physical", "artifactLocation", TAKES_OBJECT, true, NULL, 0, "artifact"},
    {"physical", "region", TAKES_OBJECT, false, NULL, 0, "region"},
    {"artifact", "uri", TAKES_TEXT, false, NULL, 0, NULL},
    {"region", "startLine", TAKES_WHOLE, false, NULL, 1, NULL},
    {"region", "startColumn", TAKES_WHOLE, false, NULL, 1, NULL},
    {"region", "endLine", TAKES_WHOLE, false, NULL, 1, NULL},
    {"region", "endColumn", TAKES_WHOLE, false, NULL, 1, NULL},
};
enum { PROPERTY_COUNT = sizeof PROPERTIES / sizeof PROPERTIES[0] };

static void hold_object(const json_t *value, const char *object);

static void hold_text(const json_t *value, const struct property *property) {
  char between[64];
  assert_true(json_is_string(value));
  snprintf(between, sizeof between, " %s ", json_string_value(value));
  assert_true(!property->words || strstr(property->words, between));
}

static void hold_value(json_t *value, const struct property *property) {
  size_t i;
  json_t *item;
  switch (property->takes) {
  case TAKES_TEXT:
    hold_text(value, property);
    break;
  case TAKES_WHOLE:
    assert_true(json_is_integer(value) && json_integer_value(value) >= property->least);
    break;
  case TAKES_TRUTH:
    assert_true(json_is_boolean(value));
    break;
  case TAKES_OBJECT:
    hold_object(value, property->of);
    break;
  case TAKES_LIST:
    assert_true(json_is_array(value));
    json_array_foreach(value, i, item) hold_object(item, property->of);
    break;
  }
}

static void hold_object(const json_t *value, const char *object) {
  size_t known = 0;
  if (!json_is_object(value))
    fail_msg("no object of kind %s", object);
  for (size_t i = 0; i < PROPERTY_COUNT; i++) {
    const struct property *property = &PROPERTIES[i];
    if (strcmp(property->object, object) != 0)
      continue;
    json_t *got = json_object_get(value, property->name);
    if (!got && property->is_needed)
      fail_msg("%s without %s", object, property->name);
    if (got)
      hold_value(got, property);
    known += got != NULL;
  }
  assert_int_equal(json_object_size(value), known);
}

/* -- reading it ------------------------------------------------------------------------------- */

static json_t *at(json_t *value, const char *name) {
  json_t *got = json_object_get(value, name);
  if (!got)
    fail_msg("no %s", name);
  return got;
}

static const char *text(json_t *value, const char *name) {
  return json_string_value(at(value, name));
}

static int whole(json_t *value, const char *name) {
  return (int)json_integer_value(at(value, name));
}

static json_t *log_read(const struct program *program, const char *name) {
  char path[1400];
  json_error_t error;
  path_in(path, program, name);
  json_t *root = json_load_file(path, 0, &error);
  if (!root)
    fail_msg("%s: %s", path, error.text);
  hold_object(root, "log");
  return root;
}

static json_t *run_of(json_t *root) {
  assert_int_equal(json_array_size(at(root, "runs")), 1);
  return json_array_get(at(root, "runs"), 0);
}

static json_t *rules_of(json_t *run) {
  return at(at(at(run, "tool"), "driver"), "rules");
}

/* Every result points at the rule of its own code, and every rule is wanted by a result. */
static void hold_rules(json_t *run) {
  json_t *rules = rules_of(run), *result;
  bool wanted[64] = {false};
  size_t i;
  json_array_foreach(at(run, "results"), i, result) {
    size_t index = (size_t)whole(result, "ruleIndex");
    json_t *rule = json_array_get(rules, index);
    assert_non_null(rule);
    assert_string_equal(text(rule, "id"), text(result, "ruleId"));
    assert_string_equal(text(at(rule, "defaultConfiguration"), "level"), text(result, "level"));
    wanted[index] = true;
  }
  for (i = 0; i < json_array_size(rules); i++)
    assert_true(wanted[i]);
}

static json_t *result_at(json_t *run, size_t index) {
  json_t *result = json_array_get(at(run, "results"), index);
  assert_non_null(result);
  return result;
}

static json_t *physical_of(json_t *result) {
  return at(json_array_get(at(result, "locations"), 0), "physicalLocation");
}

static void hold_region(json_t *region, int line, int column, int end_line, int end_column) {
  assert_int_equal(whole(region, "startLine"), line);
  assert_int_equal(whole(region, "startColumn"), column);
  assert_int_equal(whole(region, "endLine"), end_line);
  assert_int_equal(whole(region, "endColumn"), end_column);
}

static void write_text(const struct program *program, const char *name, const char *words) {
  char path[1400];
  path_in(path, program, name);
  FILE *file = fopen(path, "w");
  assert_non_null(file);
  fputs(words, file);
  assert_int_equal(fclose(file), 0);
}

/* -- tests ------------------------------------------------------------------------------------ */

static void test_sound_job_has_no_results(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check -q @bore.lay --sarif out.sarif"), 0);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  json_t *invocation = json_array_get(at(run, "invocations"), 0);
  assert_int_equal(json_array_size(at(run, "results")), 0);
  assert_int_equal(json_array_size(rules_of(run)), 0);
  assert_true(json_is_true(at(invocation, "executionSuccessful")));
  assert_int_equal(whole(invocation, "exitCode"), 0);
  assert_string_equal(text(run, "columnKind"), "unicodeCodePoints");
  json_decref(root);
}

/* A refused job is what the file is for: nothing else is written, this is. */
static void test_refused_job_is_told(void **state) {
  struct program *program = *state;
  static const char LINE[] = "compile @wrong.lay -o out.csv --depfile out.d --sarif out.sarif";
  assert_int_equal(program_run(program, LINE), 1);
  assert_int_equal(names_in(program->folder), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_int_equal(json_array_size(at(run, "results")), 2);
  assert_int_equal(whole(json_array_get(at(run, "invocations"), 0), "exitCode"), 1);
  json_t *first = result_at(run, 0), *second = result_at(run, 1);
  assert_string_equal(text(first, "ruleId"), "E0312");
  assert_string_equal(text(first, "level"), "error");
  /* `120 s` in `shape seal round { diameter 120 s }`; the end is the column behind the last one */
  hold_region(at(physical_of(first), "region"), 3, 29, 3, 34);
  assert_non_null(strstr(text(at(physical_of(first), "artifactLocation"), "uri"), "/wrong.lay"));
  assert_string_equal(text(at(second, "message"), "text"),
                      "there is no procedure named `steddy`\nhelp: did you mean `w.steady`?");
  json_decref(root);
}

static void test_failed_check_is_told(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check -q @tight.lay --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_string_equal(text(result_at(run, 0), "ruleId"), "E0706");
  assert_string_equal(text(at(json_array_get(rules_of(run), 0), "shortDescription"), "text"),
                      "a body of the head would come too near to metal");
  json_decref(root);
}

/* Columns count code points, also before a place behind letters of several bytes, one of them
 * outside the basic plane; a note lies in a related location; names of files are written as RFC
 * 3986 has them. */
static void test_columns_notes_and_names(void **state) {
  struct program *program = *state;
  write_text(program, "a b#\xC3\xA9.lay",
             "let \xC3\xA9 = 1 mm\n"
             "job \"\xC3\xA9\xF0\x9D\x84\x9E\" { safe_height 4 s; safe_height 5 mm }\n");
  write_text(program, "use.lay", "use \"a b#\xC3\xA9.lay\"\n");
  assert_int_equal(program_run(program, "check -q use.lay --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root), *result;
  bool has_key = false, has_note = false;
  size_t i;
  hold_rules(run);
  json_array_foreach(at(run, "results"), i, result) {
    json_t *related = json_object_get(result, "relatedLocations");
    if (strcmp(text(result, "ruleId"), "E0210") != 0)
      continue;
    /* the job's head, which ends behind its title: 4 + 4 + 1 columns */
    hold_region(at(physical_of(result), "region"), 2, 1, 2, 9);
    assert_string_equal(text(at(physical_of(result), "artifactLocation"), "uri"),
                        "a%20b%23%C3%A9.lay");
    assert_int_equal(json_array_size(related), 1);
    json_t *note = json_array_get(related, 0);
    assert_string_equal(text(at(note, "message"), "text"), "this file is used here");
    hold_region(at(at(note, "physicalLocation"), "region"), 1, 5, 1, 16);
    has_note = true;
  }
  json_array_foreach(at(run, "results"), i, result) has_key |=
      strcmp(text(result, "ruleId"), "E0100") == 0 || strcmp(text(result, "ruleId"), "E0107") == 0;
  assert_true(has_note && has_key);
  json_decref(root);
}

/* A setting lies in no file. */
static void test_setting_is_no_file(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check -q @bore.lay --set size=90mm --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  json_t *location = json_array_get(at(result_at(run, 0), "locations"), 0);
  json_t *logical = json_array_get(at(location, "logicalLocations"), 0);
  assert_null(json_object_get(location, "physicalLocation"));
  assert_string_equal(text(logical, "fullyQualifiedName"), "--set size=90mm");
  json_decref(root);
}

/* All of them, where people are shown twenty. */
static void test_more_than_twenty(void **state) {
  struct program *program = *state;
  char words[2048] = "";
  for (int i = 0; i < 25; i++)
    snprintf(words + strlen(words), sizeof words - strlen(words), "let n%d = 1 mm + 1 s\n", i);
  write_text(program, "many.lay", words);
  assert_int_equal(program_run(program, "check many.lay --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_int_equal(json_array_size(at(run, "results")), 26); /* and there is no job */
  json_decref(root);
}

/* Of many jobs each its own, the refused one's too. */
static void test_many_jobs(void **state) {
  struct program *program = *state;
  static const char *const NAMES[] = {"out/bore.sarif", "out/wrong.sarif"};
  static const size_t COUNTS[] = {0, 2};
  char folder[300];
  assert_int_equal(program_run(program, "compile @bore.lay @wrong.lay -d out --sarifs"), 1);
  for (size_t i = 0; i < 2; i++) {
    json_t *root = log_read(program, NAMES[i]), *run = run_of(root);
    hold_rules(run);
    assert_int_equal(json_array_size(at(run, "results")), COUNTS[i]);
    json_decref(root);
  }
  snprintf(folder, sizeof folder, "%s/out", program->folder);
  assert_int_equal(names_in(folder), 3); /* and bore.csv */
  folder_empty(folder);
  rmdir(folder);
}

/* To standard output it comes without a table around it. */
static void test_to_standard_output(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "check @bore.lay --sarif -"), 0);
  json_t *root = json_loads(program->out, 0, NULL);
  assert_non_null(root);
  hold_object(root, "log");
  json_decref(root);
  assert_string_equal(program->err, "");
}

static json_t *invocation_of(json_t *run) {
  assert_int_equal(json_array_size(at(run, "invocations")), 1);
  return json_array_get(at(run, "invocations"), 0);
}

/* Runs a line that fails, and holds what out.sarif, alone in the folder, tells of that. */
static void assert_failure(struct program *program, const char *line, const char *told) {
  assert_int_equal(program_run(program, line), 3);
  assert_non_null(strstr(program->err, told));
  assert_int_equal(names_in(program->folder), 1);
  json_t *root = log_read(program, "out.sarif"), *invocation = invocation_of(run_of(root));
  json_t *notices = at(invocation, "toolExecutionNotifications");
  assert_true(json_is_false(at(invocation, "executionSuccessful")));
  assert_int_equal(whole(invocation, "exitCode"), 3);
  assert_int_equal(json_array_size(notices), 1);
  assert_string_equal(text(at(json_array_get(notices, 0), "message"), "text"), told);
  json_decref(root);
}

/* A file that cannot be read or written: the run failed, and the log tells which and why; nothing
 * else is there. */
static void test_failures_are_told(void **state) {
  struct program *program = *state;
#define NO_FILE ": No such file or directory"
  static const struct {
    const char *line, *told;
  } ROWS[] = {
      {"check missing.lay --sarif out.sarif", "cannot read missing.lay" NO_FILE},
      {"check -q @bore.lay --sarif out.sarif --summary missing/out.json",
       "cannot write missing/out.json" NO_FILE},
      {"compile @bore.lay -o missing/out.csv --sarif out.sarif",
       "cannot write missing/out.csv" NO_FILE},
      {"compile @bore.lay -o out.csv --depfile missing/out.d --sarif out.sarif",
       "cannot write missing/out.d" NO_FILE},
      {"report missing.lay -o out.html --sarif out.sarif", "cannot read missing.lay" NO_FILE},
      {"report - -o out.html --sarif out.sarif", "cannot read -" NO_FILE},
      {"report @bore.lay -o missing/out.html --sarif out.sarif",
       "cannot write missing/out.html" NO_FILE},
      {"report @bore.lay --svg missing/folder --sarif out.sarif",
       "cannot make folder missing/folder" NO_FILE},
      {"report @bore.lay -o missing/out.html --svg drawings --sarif out.sarif",
       "cannot write missing/out.html" NO_FILE},
      {"verify missing.csv --job @bore.lay --sarif out.sarif", "cannot read missing.csv" NO_FILE},
      {"verify missing.csv --job missing.lay --sarif out.sarif", "cannot read missing.lay" NO_FILE},
      {"what-if missing.lay --vary size=1mm,2mm --sarif out.sarif",
       "cannot read missing.lay" NO_FILE},
      {"compare @bore.lay missing.lay --sarif out.sarif", "cannot read missing.lay" NO_FILE},
      {"compare missing.csv missing.spt --sarif out.sarif", "cannot read missing.csv" NO_FILE},
      {"compare @bore.lay @tight.lay --page missing/out.html --sarif out.sarif",
       "cannot write missing/out.html" NO_FILE},
      {"tidy missing.lay --sarif out.sarif", "cannot read missing.lay" NO_FILE},
  };
#undef NO_FILE
  for (size_t i = 0; i < sizeof ROWS / sizeof ROWS[0]; i++) {
    assert_failure(program, ROWS[i].line, ROWS[i].told);
    folder_empty(program->folder);
  }
}

/* Standard output that cannot be written, behind files that are there: the log comes anew. */
static void test_full_output_is_told(void **state) {
  struct program *program = *state;
  static const char *const LINES[] = {
      "check @bore.lay --sarif out.sarif",
      "verify out.csv --job @bore.lay --sarif out.sarif",
      "what-if @bore.lay --vary size=90mm,92mm --sarif out.sarif",
      "compare @bore.lay @tight.lay --sarif out.sarif",
  };
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv"), 0);
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run_to(program, "/dev/full", LINES[i]), 3);
    json_t *root = log_read(program, "out.sarif"), *invocation = invocation_of(run_of(root));
    json_t *notices = at(invocation, "toolExecutionNotifications");
    assert_string_equal(text(at(json_array_get(notices, 0), "message"), "text"),
                        "cannot write standard output: No space left on device");
    json_decref(root);
  }
}

/* A log on standard output is there once, and alone. */
static void test_failure_to_standard_output(void **state) {
  struct program *program = *state;
  static const char *const LINES[] = {"check missing.lay --sarif -",
                                      "compile @bore.lay -o missing/out.csv --sarif -",
                                      "report missing.lay -o out.html --sarif -",
                                      "verify missing.csv --job @bore.lay --sarif -",
                                      "what-if missing.lay --vary size=1mm --sarif -",
                                      "compare missing.lay @bore.lay --sarif -",
                                      "compare missing.csv missing.csv --sarif -",
                                      "tidy missing.lay --sarif -"};
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run(program, LINES[i]), 3);
    json_t *root = json_loads(program->out, 0, NULL);
    assert_non_null(root);
    hold_object(root, "log");
    assert_true(json_is_false(at(invocation_of(run_of(root)), "executionSuccessful")));
    json_decref(root);
  }
}

/* The page of a job that a check refuses tells the same. */
static void test_report(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "report -q @tight.lay -o out.html --sarif out.sarif"), 1);
  assert_int_equal(names_in(program->folder), 2);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_string_equal(text(result_at(run, 0), "ruleId"), "E0706");
  json_decref(root);
  assert_int_equal(program_run(program, "report @wrong.lay -o wrong.html --sarif out.sarif"), 1);
  assert_int_equal(names_in(program->folder), 2); /* no page of that one */
  assert_int_equal(program_run(program, "report @bore.lay -o - --sarif -"), 2);
  assert_non_null(strstr(program->err, "standard output is named twice"));
}

/* Faults of a stream lie in the stream: in a text one on the line of their row. */
static void test_verify(void **state) {
  struct program *program = *state;
  char line[128], path[1400];
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv"), 0);
  assert_int_equal(program_run(program, "verify out.csv --job @bore.lay --sarif -"), 0);
  json_t *root = json_loads(program->out, 0, NULL), *run;
  assert_non_null(root);
  hold_object(root, "log");
  assert_int_equal(json_array_size(at(run_of(root), "results")), 0);
  json_decref(root);

  /* of another job, and taken for another kind */
  snprintf(line, sizeof line, "verify out.csv --job @tight.lay --mode rehearsal --sarif out.sarif");
  assert_int_equal(program_run(program, line), 1);
  root = log_read(program, "out.sarif"), run = run_of(root);
  hold_rules(run);
  assert_int_equal(whole(invocation_of(run), "exitCode"), 1);
  assert_true(json_is_true(at(invocation_of(run), "executionSuccessful")));
  assert_string_equal(text(result_at(run, 0), "ruleId"), "mode");
  path_in(path, program, "out.csv");
  char *stream = file_read(path);
  bool has_row = false;
  json_t *result;
  size_t i;
  json_array_foreach(at(run, "results"), i, result) {
    json_t *location = json_array_get(at(result, "locations"), 0);
    json_t *physical = at(location, "physicalLocation");
    json_t *names = json_object_get(location, "logicalLocations");
    assert_string_equal(text(at(physical, "artifactLocation"), "uri"), "out.csv");
    if (!names)
      continue;
    /* t of the row on that line is its number times the tick, 20 ms */
    int row = atoi(text(json_array_get(names, 0), "fullyQualifiedName") + strlen("row "));
    const char *at_line = stream;
    for (int n = whole(at(physical, "region"), "startLine"); n > 1; n--)
      at_line = strchr(at_line, '\n') + 1;
    assert_close(atof(at_line), row * 0.02, 1e-9, 0);
    has_row = true;
  }
  assert_true(has_row);
  free(stream);
  json_decref(root);
}

/* A stream that breaks off is no failure of the run. */
static void test_verify_of_no_stream(void **state) {
  struct program *program = *state;
  write_text(program, "out.csv", "# borelay setpoints 1\n# mode weld\n");
  assert_int_equal(program_run(program, "verify out.csv --job @bore.lay --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_string_equal(text(result_at(run, 0), "ruleId"), "stream");
  json_decref(root);
}

/* What is told at several points is told once, with how often and where first. */
static void test_what_if(void **state) {
  struct program *program = *state;
  write_text(program, "vary.lay",
             "param deep = 1 mm\nparam n = 1\nlet twice = deep + 1 s\nlet more = n * n\n");
  assert_int_equal(
      program_run(program,
                  "what-if vary.lay --vary deep=1mm,2mm --vary n=1..3:3 --sarif out.sarif"),
      0);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  json_t *first = result_at(run, 0);
  assert_int_equal(whole(first, "occurrenceCount"), 6);
  assert_non_null(strstr(text(at(first, "message"), "text"), "\nfirst at deep=1mm, n=1"));
  json_decref(root);
  assert_int_equal(program_run(program, "what-if vary.lay --vary deep=1mm --sarif - --csv"), 2);
  assert_non_null(strstr(program->err, "standard output is named twice"));
  /* no param at any point */
  assert_int_equal(program_run(program, "what-if @bore.lay --vary sise=1mm --sarif out.sarif"), 1);
  root = log_read(program, "out.sarif");
  assert_string_equal(text(result_at(run_of(root), 0), "ruleId"), "E0213");
  json_decref(root);
}

/* What is told of either job, the warnings of one that passes too; what both say counts twice. */
static void test_compare(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compare @bore.lay @tight.lay --sarif out.sarif"), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_int_equal(json_array_size(at(run, "results")), 1);
  assert_string_equal(text(result_at(run, 0), "ruleId"), "E0706");
  assert_int_equal(whole(invocation_of(run), "exitCode"), 1);
  json_decref(root);
  assert_int_equal(program_run(program, "compare -q @wrong.lay @wrong.lay --sarif -"), 0);
  root = json_loads(program->out, 0, NULL);
  assert_non_null(root);
  hold_object(root, "log");
  assert_int_equal(whole(result_at(run_of(root), 0), "occurrenceCount"), 2);
  json_decref(root);
  assert_int_equal(program_run(program, "compare --driver a b c d e f g --sarif out.sarif"), 2);
  assert_non_null(strstr(program->err, "--sarif does not go with it"));
}

/* A stream that breaks off cannot be compared: the run failed. */
static void test_compare_of_no_stream(void **state) {
  struct program *program = *state;
  write_text(program, "out.csv", "# borelay setpoints 1\n# mode weld\n");
  assert_int_equal(program_run(program, "compare out.csv out.csv --sarif out.sarif"), 3);
  json_t *root = log_read(program, "out.sarif"), *invocation = invocation_of(run_of(root));
  json_t *notice = json_array_get(at(invocation, "toolExecutionNotifications"), 0);
  assert_true(json_is_false(at(invocation, "executionSuccessful")));
  assert_non_null(strstr(text(at(notice, "message"), "text"), "out.csv: row 0, byte "));
  json_decref(root);
}

/* Faults of form by their codes, a layout that differs by the line from which on it does. */
static void test_tidy(void **state) {
  struct program *program = *state;
  write_text(program, "sound.lay", "let a = 1 mm\n");
  write_text(program, "loose.lay", "let a = 1 mm\nlet  b = 2 mm\n");
  write_text(program, "faulty.lay", "let = 1 mm\n");
  static const char LINE[] = "tidy --check sound.lay loose.lay faulty.lay --sarif out.sarif";
  assert_int_equal(program_run(program, LINE), 1);
  json_t *root = log_read(program, "out.sarif"), *run = run_of(root);
  hold_rules(run);
  assert_int_equal(json_array_size(at(run, "results")), 2);
  json_t *loose = result_at(run, 0), *faulty = result_at(run, 1);
  assert_string_equal(text(loose, "ruleId"), "layout");
  assert_string_equal(text(at(loose, "message"), "text"), "here the canonical layout differs");
  assert_int_equal(whole(at(physical_of(loose), "region"), "startLine"), 2);
  assert_string_equal(text(at(physical_of(loose), "artifactLocation"), "uri"), "loose.lay");
  assert_int_equal(text(faulty, "ruleId")[0], 'E');
  json_decref(root);
  /* laid out, nothing is left to tell */
  assert_int_equal(program_run(program, "tidy loose.lay sound.lay --sarif out.sarif"), 0);
  root = log_read(program, "out.sarif");
  assert_int_equal(json_array_size(at(run_of(root), "results")), 0);
  json_decref(root);
  assert_int_equal(program_run(program, "tidy sound.lay --sarif ./sound.lay"), 2);
  assert_non_null(strstr(program->err, "./sound.lay is named twice"));
  assert_int_equal(program_run(program, "tidy - --sarif -"), 2);
}

/* Whole or not at all, together with the other outputs. */
static void test_places_that_cannot_be_written(void **state) {
  struct program *program = *state;
  static const char *const LINES[] = {
      "compile -q @bore.lay -o out.csv --sarif missing/out.sarif",
      "compile -q @bore.lay -o out.csv --sarif /dev/full",
      "check -q @wrong.lay --sarif missing/out.sarif",
      "report @bore.lay -o out.html --svg drawings --sarif missing/out.sarif",
      "report @bore.lay -o out.html --svg drawings --sarif /dev/full",
  };
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run(program, LINES[i]), 3);
    assert_int_equal(names_in(program->folder), 0);
  }
  assert_int_equal(program_run(program, "check @bore.lay --sarif x --summary x"), 2);
  assert_non_null(strstr(program->err, "x is named twice"));
  assert_int_equal(program_run(program, "compile @bore.lay -d out --sarif x"), 2);
  assert_non_null(strstr(program->err, "-d DIR takes the place of --sarif"));
  assert_int_equal(names_in(program->folder), 0);
  write_text(program, "x.lay", "");
  assert_int_equal(program_run(program, "check x.lay --summary ./x.lay"), 2);
  assert_non_null(strstr(program->err, "./x.lay is named twice"));
}

#define RUNS(test) cmocka_unit_test_setup_teardown(test, program_setup, program_teardown)

int main(void) {
  const struct CMUnitTest tests[] = {
      RUNS(test_sound_job_has_no_results),
      RUNS(test_refused_job_is_told),
      RUNS(test_failed_check_is_told),
      RUNS(test_columns_notes_and_names),
      RUNS(test_setting_is_no_file),
      RUNS(test_more_than_twenty),
      RUNS(test_many_jobs),
      RUNS(test_to_standard_output),
      RUNS(test_failures_are_told),
      RUNS(test_full_output_is_told),
      RUNS(test_failure_to_standard_output),
      RUNS(test_report),
      RUNS(test_verify),
      RUNS(test_verify_of_no_stream),
      RUNS(test_what_if),
      RUNS(test_compare),
      RUNS(test_compare_of_no_stream),
      RUNS(test_tidy),
      RUNS(test_places_that_cannot_be_written),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
