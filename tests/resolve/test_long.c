/* Long sources: what the job does not want is read for its faults, and kept as text alone. */
#include "resolve/flat.h"
#include "support/case_run.h"

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

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(only_what_is_wanted_is_kept),
      cmocka_unit_test(faults_of_what_is_not_wanted_are_told_once),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
