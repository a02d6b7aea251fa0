/* Commands, options, exit statuses. */
#include "cli/program.h"

struct row {
  const char *name, *line;
  int status;
  const char *said; /* on standard error; NULL: it stays empty */
};

/* Wrong use is told on standard error alone, with status 2, and leaves nothing behind. */
static const struct row ROWS[] = {
    {"no command", "", 2, "a command is wanted"},
    {"unknown command", "compil @bore.lay -o x.csv", 2, "did you mean compile?"},
    {"command far from any", "zzzzzzzz", 2, "unknown command zzzzzzzz"},
    {"verify without a job", "verify x.csv", 2, "verify wants --job"},
    {"unknown option", "check @bore.lay --sumary x", 2, "did you mean --summary?"},
    {"unknown option of the program", "--hlep", 2, "unknown option --hlep; did you mean --help?"},
    {"unknown short option of the program", "-h", 2,
     "unknown option -h\nhelp: see `borelay --help`"},
    {"half of a place", "compile @bore.lay -o a.csv --resume overlay=a,layer=1", 2,
     "--resume wants overlay, layer, lap and along, as `borelay locate` tells them"},
    {"unknown short option", "check -x @bore.lay", 2, "unknown option -x"},
    {"option without its value", "check @bore.lay --set", 2, "--set wants a value"},
    {"option with a value too many", "check @bore.lay --json=yes", 2, "--json takes no value"},
    {"no job", "check", 2, "check wants a job file"},
    {"two jobs", "check @bore.lay @tight.lay", 2, "is one too many"},
    {"compile without -o", "compile @bore.lay", 2, "compile wants -o OUT"},
    {"check with -o", "check @bore.lay -o x.csv", 2, "check writes no stream"},
    {"convert without OUT", "convert x.csv", 2, "convert wants IN and OUT"},
    {"convert of three", "convert x.csv y.spt z.csv", 2, "z.csv is one too many"},
    {"convert to itself", "convert x.csv x.csv", 2, "x.csv is named twice"},
    {"convert to another ending", "convert x.csv x.txt", 2, "ends in .csv or .spt"},
    {"convert with an option", "convert --json x.csv x.spt", 2, "takes no option --json"},
    {"convert of nothing", "convert missing.csv x.spt", 3, "cannot read missing.csv: No such file"},
    {"convert of a job", "convert @bore.lay x.spt", 1, "bore.lay: row 0, byte "},
    {"convert into nowhere", "convert @bore.lay no/x.spt", 3,
     "cannot write no/x.spt: No such file"},
    {"other ending", "compile @bore.lay -o x.txt", 2, "ends in .csv"},
    {"ending alone", "compile @bore.lay -o .csv", 2, "ends in .csv"},
    {"one file twice", "compile @bore.lay -o x.csv --summary x.csv", 2, "x.csv is named twice"},
    {"standard output twice", "compile @bore.lay -o - --json", 2, "standard output is named twice"},
    {"over the job file", "check @bore.lay --summary @bore.lay", 2, "is named twice"},
    {"no such job", "check missing.lay", 3, "cannot read missing.lay: No such file"},
    {"a job is a file, never standard input", "check -", 3, "cannot read -: No such file"},
    {"job is a folder", "check .", 3, "cannot read ."},
    {"mistakes in the job", "check @wrong.lay", 1, "wrong.lay:3:29: error[E"},
    {"second mistake of the same job", "check @wrong.lay", 1, "did you mean `w.steady`?"},
    {"a check fails", "compile @tight.lay -o x.csv", 1, "check clearance does not hold"},
    {"setting outside its range", "check @bore.lay --set size=90mm", 1, "size"},
    {"setting of nothing", "check @bore.lay --set sise=120mm", 1, "sise"},
    {"rehearsing a check", "check @bore.lay --rehearse", 2, "--rehearse is for compile"},
    {"times without a rehearsal", "compile @bore.lay -o x.csv --times 3", 2,
     "goes with --rehearse"},
    {"times of nothing", "compile @bore.lay -o x.csv --rehearse --times 0", 2, "from 1 to 100"},
    {"rehearsing a rest",
     "compile @bore.lay -o x.csv --rehearse --resume overlay=ring_wall,layer=1,lap=1,along=12mm", 2,
     "exclude each"},
    {"taking up what is none", "compile @bore.lay -o x.csv --resume lap=2,here", 2,
     "does not understand `here`"},
    {"taking up nowhere", "compile @bore.lay -o x.csv --resume lap=2", 2,
     "wants overlay, layer, lap and along"},
    {"taking up a length in seconds",
     "compile @bore.lay -o x.csv --resume overlay=ring_wall,layer=1,lap=1,along=12s", 2,
     "--resume wants along as a length with its unit; `12s` is none"},
    {"taking up an overlay that is not there",
     "compile @bore.lay -o x.csv --resume overlay=wall,layer=1,lap=1,along=12mm", 2,
     "the job has no overlay wall"},
    {"taking up a layer that is not there",
     "compile @bore.lay -o x.csv --resume overlay=ring_wall,layer=2,lap=1,along=12mm", 2,
     "has no layer 2; it has 1"},
    {"taking up a lap that is not there",
     "compile @bore.lay -o x.csv --resume overlay=ring_wall,layer=1,lap=9,along=12mm", 2,
     "has no lap 9; they go from 1 to 2"},
    {"taking up beyond the wall",
     "compile @bore.lay -o x.csv --resume overlay=ring_wall,layer=1,lap=1,along=9m", 2,
     "along = 9000.000 mm lies beyond the wall of overlay ring_wall, which is 376.991 mm round"},
    {"taking up a lap by halves",
     "compile @bore.lay -o x.csv --resume overlay=ring_wall,layer=1,lap=1.5,along=12mm", 2,
     "--resume wants lap as a whole number; `1.5` is none"},
    {"all is well", "check @bore.lay", 0, NULL},
    {"setting", "check @bore.lay --set size=5in", 0, NULL},
};

static void test_row(void **state) {
  const struct row *row = *state;
  struct program *program = NULL;
  void *own = NULL;
  assert_int_equal(program_setup(&own), 0);
  program = own;
  int status = program_run(program, row->line);
  if (status != row->status)
    print_error("%s\n", program->err);
  assert_int_equal(status, row->status);
  if (row->said && !strstr(program->err, row->said)) {
    print_error("wanted \"%s\" in:\n%s\n", row->said, program->err);
    fail();
  }
  if (!row->said)
    assert_string_equal(program->err, "");
  if (row->status >= 2)
    assert_string_equal(program->out, "");
  assert_int_equal(names_in(program->folder), 0);
  assert_int_equal(program_teardown(&own), 0);
}

static void test_help_and_version(void **state) {
  struct program *program = *state;
  static const char *const LINES[][2] = {{"--help", "borelay compile JOB.lay -o OUT"},
                                         {"--help", "borelay locate STREAM"},
                                         {"check --help", "--set NAME=VALUE"},
                                         {"compile --help", "ends in .csv"},
                                         {"convert --help", "borelay convert IN OUT"},
                                         {"--version", "borelay 0."},
                                         {"check --version", "borelay 0."}};
  for (size_t i = 0; i < sizeof LINES / sizeof LINES[0]; i++) {
    assert_int_equal(program_run(program, LINES[i][0]), 0);
    assert_non_null(strstr(program->out, LINES[i][1]));
    assert_string_equal(program->err, "");
  }
}

static void test_quiet_says_nothing(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile -q @bore.lay -o out.csv --summary out.json"), 0);
  assert_string_equal(program->out, "");
  assert_string_equal(program->err, "");
  assert_int_equal(names_in(program->folder), 2);
  folder_empty(program->folder);
  assert_int_equal(program_run(program, "check -q @tight.lay"), 1);
  assert_non_null(strstr(program->err, "E0706")); /* but a refusal is never silent */
}

/* The table: verdict before everything but the title, no line wider than 100, caution at the end.
 */
static void test_table(void **state) {
  struct program *program = *state;
  assert_int_equal(program_run(program, "compile @bore.lay -o out.csv --summary out.json"), 0);
  assert_int_equal(strncmp(program->out, "test bore, revision A\nPASSED: all ", 34), 0);
  assert_non_null(strstr(program->out, "\nWritten\n  out.csv\n  out.json\n"));
  assert_non_null(strstr(program->out, "Dry-run with the arc off"));
  for (const char *line = program->out; *line; line += strcspn(line, "\n") + 1)
    assert_in_range(strcspn(line, "\n"), 0, 100);
  folder_empty(program->folder);
  assert_int_equal(program_run(program, "check @tight.lay"), 1);
  assert_int_equal(strncmp(program->out, "tight bore\nREFUSED: 1 of ", 25), 0);
}

/* A refusal points at the overlay, and beside it at the box that the head would enter. */
static void test_box_is_shown(void **state) {
  struct program *program = *state;
  char wanted[8192];
  snprintf(wanted, sizeof wanted,
           "%s/fenced.lay:9:1: error[E0705]: check working-range does not hold: -2.02222 mm at "
           "3.140 s, limit 0 mm; H in keep_out column at x 47.000 y 20.000 z 400.000 mm, head "
           "0.000 deg; overlay ring_wall, layer 1, lap 1, move in\n"
           "    9 | overlay ring_wall { wall seal; depths 40 .. 54 mm; procedure w.steady; overlap "
           "25 %% }\n"
           "      | ^~~~~~~~~~~~~~~~~\n"
           "%s/fenced.lay:5:3: note: keep_out `column` stands here\n"
           "    5 |   keep_out column { from (45, 15, 100) mm; to (90, 60, 600) mm }\n"
           "      |   ^~~~~~~~~~~~~~~\n",
           program->jobs, program->jobs);
  assert_int_equal(program_run(program, "compile @fenced.lay -o out.csv"), 1);
  assert_string_equal(program->err, wanted);
  assert_int_equal(names_in(program->folder), 0);
}

int main(void) {
  enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };
  struct CMUnitTest tests[ROW_COUNT];
  for (size_t i = 0; i < ROW_COUNT; i++) {
    union { /* cmocka hands the row on as it is */
      const struct row *row;
      void *state;
    } given = {.row = &ROWS[i]};
    tests[i] = (struct CMUnitTest){ROWS[i].name, test_row, NULL, NULL, given.state};
  }
  const struct CMUnitTest others[] = {
      cmocka_unit_test_setup_teardown(test_help_and_version, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_quiet_says_nothing, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_table, program_setup, program_teardown),
      cmocka_unit_test_setup_teardown(test_box_is_shown, program_setup, program_teardown),
  };
  int failed = cmocka_run_group_tests_name("cli use", tests, NULL, NULL);
  return failed + cmocka_run_group_tests_name("cli words", others, NULL, NULL);
}
