/* tidy: source files in their one canonical layout. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/source.h"
#include "borelay/tidy.h"
#include "command/findings.h"

static const char HELP_TIDY[] =
    "borelay tidy FILE... [options]\n"
    "\n"
    "Gives source files the one canonical layout, in place. Only blanks, line ends and semicolons\n"
    "change; comments stay where they are, and what a file says stays the same. A file that has\n"
    "the layout is not touched; one with faults of form is refused. FILE - reads standard input\n"
    "and writes standard output.\n"
    "\n"
    "  --check             write nothing; say which files differ, exit status 1 if any does\n"
    "  --sarif FILE        write what is told as SARIF 2.1.0 to FILE\n"
    "  -q, --quiet         of --check: by the exit status only\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"check", no_argument, NULL, OPTION_CHECK},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  bool only_check, quiet;
  const char *sarif; /* where the findings go; NULL: nowhere */
  struct sarif *findings;
};

static bool is_standard(const char *path) {
  return strcmp(path, "-") == 0;
}

/* Stands for an errno: the file is a pipe, a device or the like. */
enum { NO_PLAIN_FILE = -1 };

static enum status fail(const struct wish *wish, const char *doing, const char *path, int error) {
  const char *other = strcmp(doing, "read") == 0 ? "standard input" : "standard output";
  char text[4608];
  snprintf(text, sizeof text, "cannot %s %.4000s: %s", doing, is_standard(path) ? other : path,
           error == NO_PLAIN_FILE ? "it is no plain file" : strerror(error));
  fprintf(stderr, "borelay: %s\n", text);
  sarif_fail(wish->findings, text);
  return STATUS_FILE_FAILED;
}

/* 0: errno tells why. */
static uint32_t read_standard(struct arena *arena, struct source_set *sources) {
  size_t room = 1 << 16, length = 0;
  char *text = arena_alloc(arena, room, 1);
  errno = 0;
  for (size_t got; (got = fread(text + length, 1, room - length, stdin)) > 0;) {
    length += got;
    if (length == room) {
      text = arena_grow(arena, text, length, 2 * room, 1);
      room *= 2;
    }
  }
  return ferror(stdin) ? 0 : source_add_text(sources, "standard input", text, length);
}

/* Why the file at path cannot be replaced, or 0; *mode: its permissions, which its successor gets.
 * Renaming would get past a file's own write protection. */
static int find_mode(const char *path, mode_t *mode) {
  struct stat found;
  if (stat(path, &found) != 0)
    return errno;
  *mode = found.st_mode & 07777;
  if (!S_ISREG(found.st_mode))
    return NO_PLAIN_FILE;
  return access(path, W_OK) == 0 ? 0 : errno;
}

static enum status write_file(const struct wish *wish, const char *path,
                              const struct tidy_text *made) {
  mode_t mode = 0;
  int error = is_standard(path) ? 0 : find_mode(path, &mode);
  if (error)
    return fail(wish, "write", path, error);
  struct outfile file;
  if (outfile_open(&file, path)) {
    outfile_put(&file, made->bytes, made->length);
    if (file.target && fchmod(file.fd, mode) != 0)
      file.error = errno;
  }
  if (outfile_commit(&file))
    return STATUS_DONE;
  return fail(wish, "write", path, file.error);
}

static enum status tell_difference(const struct wish *wish, const char *path, uint32_t line) {
  static const char WORDS[] = "here the canonical layout differs";
  if (!wish->quiet)
    fprintf(stderr, "%s:%lu: %s\n", is_standard(path) ? "standard input" : path,
            (unsigned long)line, WORDS);
  sarif_add(wish->findings, &(struct sarif_finding){.rule = "layout",
                                                    .about = "the canonical layout of a source",
                                                    .message = WORDS,
                                                    .path = is_standard(path) ? NULL : path,
                                                    .line = line});
  return STATUS_REFUSED;
}

static enum status tidy_in(struct arena *arena, const struct wish *wish, const char *path) {
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  uint32_t file =
      is_standard(path) ? read_standard(arena, sources) : source_read(sources, path, NULL);
  if (file == 0)
    return fail(wish, "read", path, errno ? errno : EIO);
  struct tidy_text made;
  bool is_sound = tidy_make(arena, sources, file, diags, &made);
  diag_print(diags, stderr);
  sarif_add_diags(wish->findings, sources, diags, NULL);
  if (!is_sound)
    return STATUS_REFUSED;
  uint32_t line = tidy_difference(sources, file, &made);
  if (wish->only_check)
    return line > 0 ? tell_difference(wish, path, line) : STATUS_DONE;
  return line > 0 || is_standard(path) ? write_file(wish, path, &made) : STATUS_DONE;
}

/* Each file has memory of its own, so that one named twice is read twice. */
static enum status tidy_one(const struct wish *wish, const char *path) {
  struct arena *arena = arena_new();
  enum status status = tidy_in(arena, wish, path);
  arena_free(arena);
  return status;
}

/* False: *status ends the run. */
static bool take_option(struct wish *wish, int code, char **arguments, enum status *status) {
  switch (code) {
  case OPTION_CHECK:
    return wish->only_check = true;
  case OPTION_SARIF:
    wish->sarif = optarg;
    return true;
  case 'q':
    return wish->quiet = true;
  default:
    *status = option_end("tidy", HELP_TIDY, OPTIONS, code, arguments);
    return false;
  }
}

/* The findings overwrite no source, and do not mix with a layout. */
static enum status check_places(const struct wish *wish, char **paths, int count) {
  enum status status = STATUS_DONE;
  for (int i = 0; i < count && status == STATUS_DONE; i++)
    if (!wish->only_check || !is_standard(paths[i]))
      status = named_once("tidy", (const char *const[]){paths[i], wish->sarif}, 2);
  return status;
}

static enum status tidy_all(struct wish *wish, char **paths, int count) {
  enum status worst = STATUS_DONE;
  wish->findings = sarif_new();
  for (int i = 0; i < count; i++) {
    enum status status = tidy_one(wish, paths[i]);
    worst = status > worst ? status : worst;
  }
  worst = findings_give(wish->findings, wish->sarif, NULL, 0, worst);
  sarif_free(wish->findings);
  return worst;
}

enum status tidy_command(int count, char **arguments, const char **settings) {
  (void)settings;
  struct wish wish = {.only_check = false};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1)
    if (!take_option(&wish, code, arguments, &status))
      return status;
  if (optind >= count)
    return wrong_use("tidy", "tidy wants a file, or several");
  status = check_places(&wish, arguments + optind, count - optind);
  return status == STATUS_DONE ? tidy_all(&wish, arguments + optind, count - optind) : status;
}
