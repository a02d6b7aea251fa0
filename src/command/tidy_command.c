/* tidy: source files in their one canonical layout. */
#include <errno.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/emit.h"
#include "borelay/source.h"
#include "borelay/tidy.h"
#include "command/command.h"

static const char HELP_TIDY[] =
    "borelay tidy FILE... [options]\n"
    "\n"
    "Gives source files the one canonical layout, in place. Only blanks, line ends and semicolons\n"
    "change; comments stay where they are, and what a file says stays the same. A file that has\n"
    "the layout is not touched; one with faults of form is refused. FILE - reads standard input\n"
    "and writes standard output.\n"
    "\n"
    "  --check             write nothing; say which files differ, exit status 1 if any does\n"
    "  -q, --quiet         of --check: by the exit status only\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"check", no_argument, NULL, OPTION_CHECK},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  bool only_check, quiet;
};

static bool is_standard(const char *path) {
  return strcmp(path, "-") == 0;
}

/* Stands for an errno: the file is a pipe, a device or the like. */
enum { NO_PLAIN_FILE = -1 };

static enum status fail(const char *doing, const char *path, int error) {
  const char *other = strcmp(doing, "read") == 0 ? "standard input" : "standard output";
  fprintf(stderr, "borelay: cannot %s %s: %s\n", doing, is_standard(path) ? other : path,
          error == NO_PLAIN_FILE ? "it is no plain file" : strerror(error));
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

static enum status write_file(const char *path, const struct tidy_text *made) {
  mode_t mode = 0;
  int error = is_standard(path) ? 0 : find_mode(path, &mode);
  if (error)
    return fail("write", path, error);
  struct outfile file;
  if (outfile_open(&file, path)) {
    outfile_put(&file, made->bytes, made->length);
    if (file.target && fchmod(file.fd, mode) != 0)
      file.error = errno;
  }
  if (outfile_commit(&file))
    return STATUS_DONE;
  return fail("write", path, file.error);
}

static enum status tell_difference(const struct wish *wish, const char *name, uint32_t line) {
  if (!wish->quiet)
    fprintf(stderr, "%s:%lu: here the canonical layout differs\n", name, (unsigned long)line);
  return STATUS_REFUSED;
}

static enum status tidy_in(struct arena *arena, const struct wish *wish, const char *path) {
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  uint32_t file = is_standard(path) ? read_standard(arena, sources) : source_read(sources, path);
  if (file == 0)
    return fail("read", path, errno ? errno : EIO);
  struct tidy_text made;
  bool is_sound = tidy_make(arena, sources, file, diags, &made);
  diag_print(diags, stderr);
  if (!is_sound)
    return STATUS_REFUSED;
  uint32_t line = tidy_difference(sources, file, &made);
  if (wish->only_check)
    return line > 0 ? tell_difference(wish, source_get(sources, file)->path, line) : STATUS_DONE;
  return line > 0 || is_standard(path) ? write_file(path, &made) : STATUS_DONE;
}

/* Each file has memory of its own, so that one named twice is read twice. */
static enum status tidy_one(const struct wish *wish, const char *path) {
  struct arena *arena = arena_new();
  enum status status = tidy_in(arena, wish, path);
  arena_free(arena);
  return status;
}

enum status tidy_command(int count, char **arguments, const char **settings) {
  (void)settings;
  struct wish wish = {.only_check = false};
  int code;
  while ((code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1) {
    if (code == OPTION_HELP)
      return print_and_end(HELP_TIDY, "");
    if (code == OPTION_VERSION)
      return print_version();
    if (code != OPTION_CHECK && code != 'q')
      return option_fault("tidy", OPTIONS, code, arguments);
    wish.only_check = wish.only_check || code == OPTION_CHECK;
    wish.quiet = wish.quiet || code == 'q';
  }
  if (optind >= count)
    return wrong_use("tidy", "tidy wants a file, or several");
  enum status worst = STATUS_DONE;
  for (int i = optind; i < count; i++) {
    enum status status = tidy_one(&wish, arguments[i]);
    worst = status > worst ? status : worst;
  }
  return worst;
}
