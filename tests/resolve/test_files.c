/* `use`, settings and names over several files. */
#include "support/case_run.h"

static double travel_mm_min(const struct overlay *overlay) {
  return overlay->layers[0].procedure->travel_speed * 60;
}

/* Two instances of one file, each with its own setting and its own copy of what it uses. */
static void use_under_names(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  assert_int_equal(mkdir("parts", 0700), 0);
  run_file("parts/speed.lay", "param speed = 100 mm/min range 50 .. 300 mm/min\n");
  run_file("parts/bore.lay", "use \"speed.lay\"\n"
                             "use \"../bead.lay\" as wire\n"
                             "param size = 100 mm\n"
                             "let edge = 10 mm\n"
                             "procedure quick like wire.bead { travel_speed speed }\n"
                             "shape bore round { diameter size }\n"
                             "overlay clad {\n"
                             "  wall bore; depths edge .. edge + 50 mm; procedure quick; pitch 4 "
                             "mm\n"
                             "}\n");
  const struct job *job = run_job(
      &run, "use \"rest.lay\"\n"
            "let base = 60 mm\n"
            "use \"parts/bore.lay\" as left { size = base * 2; speed = 120 mm/min }\n"
            "use \"./parts/../parts/bore.lay\" as right { speed = left.speed + 10 mm/min }\n"
            "overlay third like left.clad { depths left.edge .. right.size }\n"
            "overlay fourth like band { procedure right.wire.bead }\n" JOB);
  assert_int_equal(job->overlay_count, 5);
  static const char *const names[] = {"band", "left.clad", "right.clad", "third", "fourth"};
  for (size_t i = 0; i < 5; i++)
    assert_string_equal(job->sequence[i]->name, names[i]);
  assert_close(job->sequence[1]->wall->diameter, 120, 0, 0);
  assert_close(job->sequence[2]->wall->diameter, 100, 0, 0);
  assert_string_equal(job->sequence[2]->wall->name, "right.bore");
  assert_close(travel_mm_min(job->sequence[1]), 120, 0, 1e-15);
  assert_close(travel_mm_min(job->sequence[2]), 130, 0, 1e-15);
  /* what is copied is worked out where it stands */
  assert_close(travel_mm_min(job->sequence[3]), 120, 0, 1e-15);
  assert_string_equal(job->sequence[3]->wall->name, "left.bore");
  assert_close(job->sequence[3]->layers[0].depths.hi, 100, 0, 0);
  assert_string_equal(job->sequence[4]->layers[0].procedure->name, "right.wire.bead");
  /* each file once, the job's first, then depth first in the order of the use lines */
  static const char *const files[] = {"job.lay",  "rest.lay", "bench.lay",
                                      "bead.lay", "bore.lay", "speed.lay"};
  assert_int_equal(job->file_count, 6);
  for (size_t i = 0; i < 6; i++)
    assert_string_equal(job->files[i].base_name, files[i]);
  run_end(&run);
}

/* A file that joins by several ways, spelled differently or through a link, is one. */
static void use_joined_once(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  run_file("size.lay", "param size = 100 mm\n");
  assert_int_equal(symlink("size.lay", "linked.lay"), 0);
  run_file("one.lay", "use \"size.lay\" { size = 12 cm }\nlet half = size / 2\n");
  run_file("two.lay", "use \"linked.lay\"\nuse \"./size.lay\" { size = 120 mm }\n");
  const struct job *job =
      run_job(&run, "use \"rest.lay\"\nuse \"one.lay\"\nuse \"two.lay\"\nuse \"size.lay\"\n"
                    "shape other round { diameter half }\n"
                    "overlay second like band { wall other }\n" JOB);
  assert_close(job->sequence[1]->wall->diameter, 60, 0, 0);
  assert_int_equal(job->file_count, 7);
  run_end(&run);
}

static void command_line_goes_first(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  run_file("size.lay", "param size = 100 mm range 50 .. 200 mm\nparam depth = 70 mm\n"
                       "shape bore round { diameter size }\n");
  run_file("job.lay", "use \"rest.lay\"\nuse \"size.lay\" as a { size = 110 mm }\n"
                      "param deep = 80 mm\n"
                      "overlay second like band { wall a.bore; depths 10 mm .. deep }\n" JOB);
  const char *settings[] = {"a.size=6 in", "deep=a.depth + 5mm"};
  run_resolve(&run, settings, 2);
  assert_non_null(run.job);
  assert_close(run.job->sequence[1]->wall->diameter, 152.4, 0, 1e-15);
  assert_close(run.job->sequence[1]->layers[0].depths.hi, 75, 0, 0);
  assert_int_equal(run.job->setting_count, 2);
  assert_string_equal(run.job->settings[0], "a.size=6 in");
  run_end(&run);
}

static void names_stand_in_any_order(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  const struct job *job = run_job(&run, JOB "overlay second like second_base { wall other }\n"
                                            "overlay second_base like band { pitch reach }\n"
                                            "shape other round { diameter 4 * reach }\n"
                                            "let reach = third * 3\n"
                                            "let third = 2 mm\n"
                                            "use \"rest.lay\"\n");
  assert_string_equal(job->sequence[0]->name, "second");
  assert_close(job->sequence[0]->layers[0].pitch, 6, 0, 0);
  assert_close(job->sequence[0]->wall->diameter, 24, 0, 0);
  assert_string_equal(job->sequence[2]->name, "band"); /* where the use line stands */
  run_end(&run);
}

static void unreadable_job(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_string_equal(run.unreadable, "job.lay");
  assert_string_equal(run.text, "");
  run_end(&run);
}

/* A chain of count files, each using the next. */
static bool chain_resolves(size_t count) {
  struct run run;
  run_begin(&run);
  for (size_t i = 0; i < count; i++) {
    char name[32], text[64];
    snprintf(name, sizeof name, "f%zu.lay", i);
    snprintf(text, sizeof text, i + 1 < count ? "use \"f%zu.lay\"\n" : "let x%zu = 1\n", i + 1);
    run_file(name, text);
  }
  run_file("job.lay", "use \"rest.lay\"\nuse \"f0.lay\"\n" JOB);
  run_resolve(&run, NULL, 0);
  bool resolved = run.job != NULL;
  if (!resolved)
    assert_non_null(strstr(run.text, "error[E0216]"));
  run_end(&run);
  return resolved;
}

/* Each level uses the next one twice under names: instances double. */
static void instances_are_limited(void **state) {
  (void)state;
  struct run run;
  run_begin(&run);
  for (size_t i = 0; i < 20; i++) {
    char name[32], text[128];
    snprintf(name, sizeof name, "f%zu.lay", i);
    snprintf(text, sizeof text, "use \"f%zu.lay\" as a\nuse \"f%zu.lay\" as b\n", i + 1, i + 1);
    run_file(name, text);
  }
  run_file("f20.lay", "let x = 1\n");
  run_file("job.lay", "use \"rest.lay\"\nuse \"f0.lay\" as top\n" JOB);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_non_null(strstr(run.text, "error[E0216]"));
  run_end(&run);
}

/* count lets, each of the one after it, or as many blocks like the one after. */
static bool named_chain_resolves(size_t count, bool blocks) {
  struct run run;
  run_begin(&run);
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  fprintf(job, "use \"rest.lay\"\n" JOB);
  for (size_t i = 0; i < count; i++)
    fprintf(job, blocks ? "procedure p%zu like p%zu { }\n" : "let p%zu = p%zu + 1\n", i, i + 1);
  fprintf(job, blocks ? "procedure p%zu like bead { }\n" : "let p%zu = 1\n", count);
  fclose(job);
  run_resolve(&run, NULL, 0);
  bool resolved = run.job != NULL;
  if (!resolved)
    assert_non_null(strstr(run.text, "error[E0216]"));
  run_end(&run);
  return resolved;
}

static void depth_is_limited(void **state) {
  (void)state;
  assert_true(chain_resolves(40));
  assert_false(chain_resolves(60));
  assert_true(named_chain_resolves(150, false));
  assert_false(named_chain_resolves(50000, false));
  assert_true(named_chain_resolves(150, true));
  assert_false(named_chain_resolves(5000, true));
}

/* Each of many names leads to its own declaration, also of those that hash alike, and a second
 * declaration of any is told with the first one's place. */
static void many_names_are_kept_apart(void **state) {
  (void)state;
  enum { NAMES = 3000 };
  struct run run;
  run_begin(&run);
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  fprintf(job, "use \"rest.lay\"\n" JOB);
  for (int i = 0; i < NAMES; i++)
    fprintf(job, "let n%d = %d\nprocedure n%d like bead { travel_speed (n%d + 1) * 1 mm/min }\n", i,
            i, i, i);
  for (int i = 0; i < NAMES; i += 500)
    fprintf(job, "overlay o%d like band { procedure n%d }\n", i, i);
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_non_null(run.job);
  assert_int_equal(run.job->overlay_count, 1 + NAMES / 500);
  for (int i = 0; i < NAMES; i += 500)
    assert_close(travel_mm_min(run.job->sequence[1 + i / 500]), i + 1, 0, 1e-12);
  run_end(&run);

  run_begin(&run);
  job = fopen("job.lay", "w");
  assert_non_null(job);
  fprintf(job, "use \"rest.lay\"\n" JOB "let first = 1\n");
  for (int i = 0; i < NAMES; i++)
    fprintf(job, "let n%d = %d\n", i, i);
  fprintf(job, "let first = 2\nlet n2000 = 2\n");
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_int_equal(diag_error_count(run.diags), 2);
  assert_non_null(strstr(run.text, "there are two values named `first`"));
  assert_non_null(strstr(run.text, "there are two values named `n2000`"));
  run_end(&run);
}

/* `count` blocks of one kind in one block, told apart by their names. */
static void write_bodies(FILE *job, const char *head, int first, int count, int radius) {
  fprintf(job, "cell %s {\n", head);
  for (int i = first; i < first + count; i++)
    fprintf(job, "  body b%d { radius %d mm; heights 0 .. 9 mm }\n", i, radius);
}

/* A copy's blocks give way to those of the same name, and keep their places otherwise. */
static void many_blocks_in_one(void **state) {
  (void)state;
  enum { BODIES = 300 };
  struct run run;
  run_begin(&run);
  FILE *job = fopen("job.lay", "w");
  assert_non_null(job);
  write_bodies(job, "first like bench", 0, BODIES, 20);
  fputs("}\n", job);
  write_bodies(job, "second like first", BODIES / 2, BODIES, 21);
  fputs("}\nuse \"rest.lay\"\n"
        "job \"j\" { cell second; envelope block; safe_height 40 mm }\n",
        job);
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_non_null(run.job);
  assert_int_equal(run.job->cell->body_count, 1 + BODIES / 2 + BODIES); /* one of the bench */
  for (size_t i = 1; i < run.job->cell->body_count; i++) {
    char name[32];
    snprintf(name, sizeof name, "b%zu", i - 1);
    assert_string_equal(run.job->cell->bodies[i].name, name);
    assert_close(run.job->cell->bodies[i].radius, i - 1 < BODIES / 2 ? 20 : 21, 0, 0);
  }
  run_end(&run);

  run_begin(&run);
  job = fopen("job.lay", "w");
  assert_non_null(job);
  write_bodies(job, "first like bench", 0, BODIES, 20);
  fputs("  body b7 { radius 1 mm; heights 0 .. 1 mm }\n}\nuse \"rest.lay\"\n" JOB, job);
  fclose(job);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_int_equal(diag_error_count(run.diags), 1);
  assert_non_null(strstr(run.text, "a second `body b7` in one block"));
  assert_non_null(strstr(run.text, "job.lay:9:3: note: the first one stands here"));
  run_end(&run);
}

/* Nobody misses a job, or a name, in a file that was not read. */
static void utf16_job(void **state) {
  (void)state;
  static const char text[] = "\xFF\xFEj\0o\0b\0";
  struct run run;
  run_begin(&run);
  file_write("job.lay", text, sizeof text - 1);
  run_resolve(&run, NULL, 0);
  assert_null(run.job);
  assert_int_equal(diag_error_count(run.diags), 1);
  assert_non_null(strstr(run.text, "error[E0101]: the file is UTF-16, not UTF-8\n"));
  run_end(&run);

  run_begin(&run);
  file_write("wide.lay", text, sizeof text - 1);
  run_file("job.lay", "use \"rest.lay\"\nuse \"wide.lay\"\n"
                      "overlay second like band { wall there }\n" JOB);
  run_resolve(&run, NULL, 0);
  assert_int_equal(diag_error_count(run.diags), 1);
  run_end(&run);
}

int main(void) {
  const struct CMUnitTest tests[] = {
      cmocka_unit_test(many_blocks_in_one),      cmocka_unit_test(many_names_are_kept_apart),
      cmocka_unit_test(use_under_names),         cmocka_unit_test(use_joined_once),
      cmocka_unit_test(command_line_goes_first), cmocka_unit_test(names_stand_in_any_order),
      cmocka_unit_test(unreadable_job),          cmocka_unit_test(instances_are_limited),
      cmocka_unit_test(depth_is_limited),        cmocka_unit_test(utf16_job),
  };
  return cmocka_run_group_tests(tests, NULL, NULL);
}
