/* program.h - runs the program as its users do, in a folder of its own, and keeps what it said. */
#ifndef TESTS_CLI_PROGRAM_H
#define TESTS_CLI_PROGRAM_H

#include "support/close.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

struct program {
  char folder[256]; /* empty at the start; the program runs in it */
  char jobs[1024];  /* tests/cli/jobs, absolute */
  const char *path; /* of the program */
  char *out, *err;  /* of the last run */
};

static inline char *file_read(const char *path) {
  FILE *file = fopen(path, "rb");
  if (!file)
    return NULL;
  size_t length = 0, room = 1 << 16;
  char *text = malloc(room);
  while (text) {
    length += fread(text + length, 1, room - 1 - length, file);
    if (length < room - 1)
      break;
    room *= 2;
    text = realloc(text, room);
  }
  fclose(file);
  if (text)
    text[length] = '\0';
  return text;
}

static inline int program_setup(void **state) {
  struct program *program = calloc(1, sizeof *program);
  const char *base = getenv("TMPDIR");
  char here[512];
  program->path = getenv("BORELAY");
  if (!program->path || !getcwd(here, sizeof here))
    return -1;
  snprintf(program->jobs, sizeof program->jobs, "%s/tests/cli/jobs", here);
  snprintf(program->folder, sizeof program->folder, "%s/borelay-XXXXXX", base ? base : "/tmp");
  *state = program;
  return mkdtemp(program->folder) ? 0 : -1;
}

/* How many names the folder holds. */
static inline int names_in(const char *path) {
  int count = -2; /* "." and ".." */
  DIR *folder = opendir(path);
  assert_non_null(folder);
  while (readdir(folder))
    count++;
  closedir(folder);
  return count;
}

static inline void folder_empty(const char *path) {
  DIR *folder = opendir(path);
  for (struct dirent *entry; folder && (entry = readdir(folder));) {
    char name[1024];
    snprintf(name, sizeof name, "%s/%s", path, entry->d_name);
    if (strcmp(entry->d_name, ".") && strcmp(entry->d_name, ".."))
      unlink(name);
  }
  if (folder)
    closedir(folder);
}

static inline int program_teardown(void **state) {
  struct program *program = *state;
  folder_empty(program->folder);
  int result = rmdir(program->folder);
  free(program->out);
  free(program->err);
  free(program);
  return result;
}

static inline void path_in(char path[1400], const struct program *program, const char *name) {
  snprintf(path, 1400, "%s/%s", program->folder, name);
}

/* Starts `borelay line`; words are split at blanks, "@x" stands for the job file x.  out, err:
 * where standard output and error go.  The caller waits for it. */
static inline pid_t program_start(const struct program *program, const char *out, const char *err,
                                  const char *line) {
  char words[2800], jobs[8][1100], name[] = "borelay", *arguments[32] = {name};
  int count = 1, job_count = 0;
  snprintf(words, sizeof words, "%s", line);
  for (char *word = strtok(words, " "); word && count < 31; word = strtok(NULL, " ")) {
    arguments[count++] = word;
    if (*word == '@') {
      snprintf(jobs[job_count], sizeof jobs[0], "%s/%s", program->jobs, word + 1);
      arguments[count - 1] = jobs[job_count++];
    }
  }
  pid_t child = fork();
  if (child == 0) {
    int to = open(out, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    int to_err = open(err, O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (to < 0 || to_err < 0 || chdir(program->folder) != 0)
      _exit(120);
    dup2(to, STDOUT_FILENO);
    dup2(to_err, STDERR_FILENO);
    execv(program->path, arguments);
    _exit(121);
  }
  return child;
}

/* Runs it to its end.  out_to: where standard output goes; NULL: kept.  Returns the exit status. */
static inline int program_run_to(struct program *program, const char *out_to, const char *line) {
  char out[300], err[300];
  snprintf(out, sizeof out, "%s.out", program->folder); /* beside the folder, not in it */
  snprintf(err, sizeof err, "%s.err", program->folder);
  pid_t child = program_start(program, out_to ? out_to : out, err, line);
  int status = -1;
  assert_int_equal(waitpid(child, &status, 0), child);
  free(program->out);
  free(program->err);
  program->out = out_to ? strdup("") : file_read(out);
  program->err = file_read(err);
  unlink(out);
  unlink(err);
  return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

static inline int program_run(struct program *program, const char *line) {
  return program_run_to(program, NULL, line);
}

#endif
