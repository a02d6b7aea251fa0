/* stream_fault.h - a stream of a job that was set otherwise, or edited, under the name of the job
 * as it stands: the judge must tell. */
#ifndef TESTS_CLI_STREAM_FAULT_H
#define TESTS_CLI_STREAM_FAULT_H

#include "cli/program.h"
#include "cli/stream_edit.h"

struct fault {
  const char *name, *set;            /* set: options of compile; "" for none */
  void (*mutate)(struct edit *edit); /* NULL: nothing is edited */
  const char *told;                  /* in what the judge says */
};

static inline void fault_judge(struct program *program, const char *job,
                               const struct fault *fault) {
  char line[300], path[1400];
  snprintf(line, sizeof line, "compile -q @%s -o plain.csv", job);
  assert_int_equal(program_run(program, line), 0);
  path_in(path, program, "plain.csv");
  struct edit plain = edit_open(path);
  char *digest = edit_header_text(&plain, "\n# source sha256 ");
  snprintf(line, sizeof line, "compile -q @%s -o faulty.csv %s", job, fault->set);
  assert_int_equal(program_run(program, line), 0);
  path_in(path, program, "faulty.csv");
  struct edit edit = edit_open(path);
  edit_header(&edit, "\n# source sha256 ", digest);
  if (fault->mutate)
    fault->mutate(&edit);
  edit_write(&edit, path, false);
  free(digest);
  edit_close(&plain);
  edit_close(&edit);
  snprintf(line, sizeof line, "verify faulty.csv --job @%s", job);
  if (program_run(program, line) != 1)
    fail_msg("%s: it holds", fault->name);
  if (!strstr(program->err, fault->told))
    fail_msg("%s: `%s` is not told in\n%s", fault->name, fault->told, program->err);
}

#endif
