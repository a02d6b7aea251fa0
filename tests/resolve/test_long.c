/* Long sources: what the job does not want is read for its faults, and kept as text alone; faults
 * by the thousand cost no more than so many times one. */
#include "resolve/flat.h"
#include "support/case_run.h"
#include "support/random.h"

enum { SPARE = 400 };

static void write_procedure(FILE *to, const char *head, const char *current) {
  fprintf(to, "procedure %s {\n  current %s\n  limit { current 180 .. 230 A }\n}\n", head, current);
}

static void write_spare(FILE *to) {
  char head[40];
  for (int i = 0; i < SPARE; i++) {
    snprintf(head, sizeof head, "spare_%d like wire.bead", i);
    write_procedure(to, head, "201 A");
  }
}

static FILE *job_open(void) {
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  fputs("use \"bead.lay\" as wire\nuse \"rest.lay\"\n", job);
  write_spare(job);
  return job;
}

static const struct decl *procedure(const struct resolver *r, const char *name) {
  const struct decl *decl = scope_find(r->root, DECL_PROCEDURE, name);
  assert_non_null(decl);
  return decl;
}

/* Named before and behind its declaration, by `like` too; the values are its own. */
static void only_what_is_wanted_is_kept(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  FILE *job = job_open();
  fputs("overlay a like band { procedure spare_7 }\n"
        "overlay b like band { procedure later }\n"
        "procedure later like spare_9 { voltage 12 V }\n"
        "procedure last like later { current 202 A }\n" JOB,
        job);
  fclose(job);
  const char *unreadable = NULL;
  struct resolver *r = NULL;
  const struct job *made =
      job_resolve_kept(run.arena, run.sources, run.diags, "job.lay", NULL, 0, &unreadable, &r);
  assert_non_null(made);
  const struct procedure *first = made->sequence[1]->layers[0].procedure;
  const struct procedure *second = made->sequence[2]->layers[0].procedure;
  assert_ptr_equal(first, procedure(r, "spare_7")->built);
  assert_string_equal(first->name, "spare_7");
  assert_close(first->current, 201, 0, 0);
  assert_close(first->limit[LIMIT_CURRENT].hi, 230, 0, 0);
  assert_close(second->current, 201, 0, 0);
  assert_close(second->voltage, 12, 0, 0);
  const char *text = (const char *)source_get(run.sources, second->origin.head.file)->text;
  uint32_t place = origin_of_key(&second->origin, "current").begin;
  assert_memory_equal(text + place, "201 A", 5);
  assert_true(place < second->origin.head.begin);
  for (int i = 0; i < SPARE; i++) {
    char name[40];
    snprintf(name, sizeof name, "spare_%d", i);
    const struct decl *decl = procedure(r, name);
    assert_true((decl->flat != NULL) == (i == 7 || i == 9));
    assert_true((decl->built != NULL) == (i == 7));
  }
  assert_null(procedure(r, "last")->flat);
  run_end(&run);
}

/* Whoever wants it or not: told once, and by whom it is wanted is refused without more words. */
static void faults_of_what_is_not_wanted_are_told_once(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  FILE *job = job_open();
  write_procedure(job, "unwanted like spare_3", "5 V");
  write_procedure(job, "wanted like spare_4", "6 V");
  write_procedure(job, "copied like spare_5", "7 V");
  fputs("procedure copy like copied { voltage 12 V }\n"
        "procedure round_a like round_b { }\n"
        "procedure round_b like round_a { }\n"
        "overlay c like band { procedure wanted }\n"
        "overlay d like band { procedure copy }\n" JOB,
        job);
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_int_equal(diag_error_count(run.diags), 4);
  assert_non_null(strstr(run.text, "`round_a` is like itself"));
  run_end(&run);
}

/* -- sifted blocks ------------------------------------------------------------------------- */

/* Without `like`: they may be judged as they are read. */
static void write_plain(FILE *to, const char *name, int i, const char *voltage) {
  fprintf(to,
          "procedure %s_%d {\n  process gtaw; current %d A; voltage %s; travel_speed 200 mm/min\n"
          "  wire_diameter 1.2 mm; wire_feed_speed 1.5 m/min; wire_density 8.4 g/cm3\n"
          "  bead_width 8 mm; arc_length 3 mm; preflow 1 s; upslope 1 s; downslope 2 s\n"
          "  postflow 3 s; tie_in 6 mm; gas_flow 12 L/min\n  limit { current 180 .. 230 A }\n}\n",
          name, i, 180 + i % 50, voltage);
}

static FILE *plain_job_open(void) {
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  fputs("use \"bead.lay\" as wire\nuse \"rest.lay\"\nlet u = 12 V\n", job);
  return job;
}

/* What depends on names or is wanted comes to what it would; the rest is text alone. */
static void what_is_sifted_can_be_wanted(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  FILE *job = plain_job_open();
  for (int i = 0; i < SPARE; i++)
    write_plain(job, "plain", i, i == 301 ? "u" : "11.5 V");
  fputs("procedure later like plain_390 { voltage 14 V }\n"
        "overlay a like band { procedure plain_300 }\n"
        "overlay b like band { procedure plain_301 }\n"
        "overlay c like band { procedure later }\n" JOB,
        job);
  fclose(job);
  const char *unreadable = NULL;
  struct resolver *r = NULL;
  const struct job *made =
      job_resolve_kept(run.arena, run.sources, run.diags, "job.lay", NULL, 0, &unreadable, &r);
  assert_non_null(made);
  static const double voltages[3] = {11.5, 12, 14}, currents[3] = {180, 181, 220};
  for (int i = 0; i < 3; i++) {
    const struct procedure *got = made->sequence[1 + i]->layers[0].procedure;
    const char *text = (const char *)source_get(run.sources, got->origin.head.file)->text;
    assert_close(got->voltage, voltages[i], 0, 0);
    assert_close(got->current, currents[i], 0, 0);
    assert_close(got->limit[LIMIT_CURRENT].hi, 230, 0, 0);
    uint32_t place = origin_of_key(&got->origin, "current").begin;
    assert_int_equal(atoi(text + place), (int)currents[i]);
    assert_memory_equal(text + got->origin.head.begin, "procedure", 9);
  }
  size_t sifted = 0;
  for (int i = 0; i < SPARE; i++) {
    char name[40];
    snprintf(name, sizeof name, "plain_%d", i);
    sifted += procedure(r, name)->statement->block->is_sifted;
  }
  assert_true(sifted > SPARE / 2 - 10); /* behind the first 200 */
  assert_true(procedure(r, "plain_399")->statement->block->is_sifted);
  assert_false(procedure(r, "plain_100")->statement->block->is_sifted);
  assert_false(procedure(r, "plain_300")->statement->block->is_sifted); /* read again */
  run_end(&run);
}

static const char *const faulty[] = {
    "11.5 A",         "v",   "-2 V",     "11 V; voltage 12 V", "\"x\"",
    "11 V; limits 2", "0 V", "2 .. 1 V", "wire.no V"};
enum { FAULTS = sizeof faulty / sizeof *faulty, FIRST_FAULT = 380, TOLD_MOST = 2 * FAULTS };

struct fault {
  char message[200];
  uint32_t begin, end;
};

/* What is told of them, alone or among many. */
static size_t faults_find(bool alone, struct fault *faults) {
  struct run run;
  run_begin(&run);
  FILE *job = plain_job_open();
  for (int i = 0; i < SPARE; i++)
    if (i >= FIRST_FAULT && i < FIRST_FAULT + FAULTS)
      write_plain(job, "plain", i, faulty[i - FIRST_FAULT]);
    else if (!alone)
      write_plain(job, "plain", i, "11.5 V");
  fputs("overlay z like band { procedure plain_381 }\n" JOB, job);
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  size_t count = diag_count(run.diags);
  assert_in_range(count, FAULTS, TOLD_MOST);
  for (size_t k = 0; k < count; k++) {
    struct diag_view view = diag_view_get(run.diags, k);
    snprintf(faults[k].message, sizeof faults[k].message, "%s", view.message);
    faults[k].begin = view.at.begin;
    faults[k].end = view.at.end;
  }
  run_end(&run);
  return count;
}

static void faults_are_told_as_among_few(void **state) {
  (void)state;
  struct fault many[TOLD_MOST], few[TOLD_MOST];
  size_t count = faults_find(false, many);
  assert_int_equal(faults_find(true, few), count);
  for (size_t k = 0; k < count; k++) {
    assert_string_equal(many[k].message, few[k].message);
    assert_int_equal(many[k].begin - many[0].begin, few[k].begin - few[0].begin);
    assert_int_equal(many[k].end - many[0].begin, few[k].end - few[0].begin);
  }
}

/* -- many faults --------------------------------------------------------------------------- */

/* Names of letters that have little in common. */
static void write_name(struct random *random, FILE *to) {
  for (int i = random_whole(random, 6, 14); i > 0; i--)
    fputc('a' + random_whole(random, 0, 25), to);
}

/* Every one is told; what is spent on what was meant does not grow with their square, and the first
 * ones have it. */
static void unknown_names_by_the_thousand(void **state) {
  (void)state;
  enum { NAMES = 8000, PRINTED = 20 };
  struct random random = {.state = 3};
  struct run run;
  run_begin(&run);
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  for (int i = 0; i < NAMES; i++) {
    fputs("let ", job);
    write_name(&random, job);
    fprintf(job, "%d = 1 mm + bore_%d\nlet broe_%d = 1 mm\n", i, i, i);
  }
  fclose(job);
  const char *unreadable = NULL;
  struct resolver *r = NULL;
  job_resolve_kept(run.arena, run.sources, run.diags, "job.lay", NULL, 0, &unreadable, &r);
  assert_in_range(r->compared, MOST_COMPARED / 2, 2 * MOST_COMPARED);
  assert_int_equal(diag_error_count(run.diags), NAMES + 1); /* and there is no job */
  for (size_t i = 0; i < PRINTED; i++) {
    struct diag_view view = diag_view_get(run.diags, i);
    char meant[64];
    snprintf(meant, sizeof meant, "did you mean `broe_%zu`?", i);
    assert_string_equal(view.help, meant);
  }
  run_end(&run);
}

/* A name is found in few steps, however many there are. */
static void many_numbered_names(void **state) {
  (void)state;
  enum { NAMES = 20000 };
  struct arena *arena = arena_new();
  struct name_table table = {.count = 0};
  assert_int_equal(name_table_find(&table, "n_1"), 0);
  for (uint32_t i = 1; i <= NAMES; i++)
    name_table_add(arena, &table, arena_format(arena, "n_%u", i), i);
  size_t steps = 0;
  for (size_t i = 0; i < table.room; i++)
    if (table.places[i].name)
      steps += 1 + ((i - table.places[i].hash) & (table.room - 1));
  assert_in_range(steps, NAMES, 4 * NAMES);
  for (uint32_t i = 0; i <= NAMES + 1; i++)
    assert_int_equal(name_table_find(&table, arena_format(arena, "n_%u", i)), i <= NAMES ? i : 0);
  arena_free(arena);
}

static void unreadable_files_by_the_thousand(void **state) {
  (void)state;
  enum { FILES = 5000 };
  struct run run;
  run_begin(&run);
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  for (int i = 0; i < FILES; i++)
    fprintf(job, "use \"nothing_%d.lay\" as n_%d\n", i, i);
  fputs("use \"bead.lay\" as n_7\nlet a = n_8.size\nlet b = n_x.size\n" JOB, job);
  fclose(job);
  const char *unreadable = NULL;
  struct resolver *r = NULL;
  job_resolve_kept(run.arena, run.sources, run.diags, "job.lay", NULL, 0, &unreadable, &r);
  assert_int_equal(r->root->child_numbers.count, FILES);
  assert_int_equal(diag_view_get(run.diags, FILES).what, DIAG_NAME_TWICE);
  assert_string_equal(diag_view_get(run.diags, FILES + 1).help, "did you mean `n_0`?");
  run_end(&run);
}

/* In the order of their lines, of which the first counts. */
static void many_settings(void **state) {
  (void)state;
  enum { PARAMS = 500 };
  struct run run;
  run_begin(&run);
  FILE *params = fopen("params.lay", "w"), *job = fopen("job.lay", "w");
  assert_non_null(params);
  assert_non_null(job);
  fputs("use \"params.lay\" {", job);
  for (int i = 0; i < PARAMS; i++) {
    fprintf(params, "param size_%d = 1 mm\n", i);
    fprintf(job, " size_%d = %d mm;", i, i);
  }
  fputs(" size_9 = 5 mm }\nuse \"params.lay\" { size_8 = 8 mm }\n"
        "use \"params.lay\" { size_8 = 9 mm }\n",
        job);
  fclose(params);
  fclose(job);
  const char *unreadable = NULL;
  struct resolver *r = NULL;
  job_resolve_kept(run.arena, run.sources, run.diags, "job.lay", NULL, 0, &unreadable, &r);
  assert_int_equal(diag_view_get(run.diags, 0).what, DIAG_KEY_TWICE);
  assert_int_equal(diag_view_get(run.diags, 1).what, DIAG_SETTING_CLASH);
  assert_int_equal(diag_error_count(run.diags), 3); /* and there is no job */
  assert_close(scope_find(r->root, DECL_VALUE, "size_499")->value->x[0], 499, 0, 0);
  run_end(&run);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(only_what_is_wanted_is_kept),
      cmocka_unit_test(faults_of_what_is_not_wanted_are_told_once),
      cmocka_unit_test(what_is_sifted_can_be_wanted),
      cmocka_unit_test(faults_are_told_as_among_few),
      cmocka_unit_test(unknown_names_by_the_thousand),
      cmocka_unit_test(many_numbered_names),
      cmocka_unit_test(unreadable_files_by_the_thousand),
      cmocka_unit_test(many_settings),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
