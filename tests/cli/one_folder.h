/* one_folder.h - one program and one folder for all tests of a file, whose states are rows of
 * tables. */
#ifndef TESTS_ONE_FOLDER_H
#define TESTS_ONE_FOLDER_H

#include "cli/program.h"

static struct program *program;

static inline int one_folder_begin(void **state) {
  int result = program_setup(state);
  program = *state;
  *state = NULL; /* else the rows of the tables would not be passed */
  return result;
}

static inline int one_folder_end(void **state) {
  *state = program;
  return program_teardown(state);
}

#endif
