/* What commands say of themselves and of wrong use. */
#include <errno.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>

#include "borelay/suggest.h"
#include "command/command.h"

static const char VERSION_LINE[] = "borelay 0.1.0\n";

enum status wrong_use(const char *command, const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  fputs("borelay: ", stderr);
  vfprintf(stderr, format, arguments);
  va_end(arguments);
  fprintf(stderr, "\nhelp: see `borelay%s%s --help`\n", command ? " " : "", command ? command : "");
  return STATUS_WRONG_USE;
}

enum status unknown_option(const char *command, const struct option *options, const char *given) {
  if (strncmp(given, "--", 2) != 0 || !given[2])
    return wrong_use(command, "unknown option %s", given);
  char word[64];
  snprintf(word, sizeof word, "%.*s", (int)strcspn(given + 2, "="), given + 2);
  struct suggest suggest = suggest_begin(word);
  for (const struct option *option = options; option->name; option++) {
    if (strcmp(word, option->name) == 0)
      return wrong_use(command, "option --%s takes no value", word);
    suggest_offer(&suggest, option->name);
  }
  if (!suggest.best)
    return wrong_use(command, "unknown option --%s", word);
  return wrong_use(command, "unknown option --%s; did you mean --%s?", word, suggest.best);
}

enum status option_fault(const char *command, const struct option *options, int code,
                         char **arguments) {
  if (code == ':')
    return wrong_use(command, "%s wants a value", arguments[optind - 1]);
  bool is_letter = optopt > 0 && optopt < 128 && optopt != 'q';
  return is_letter ? wrong_use(command, "unknown option -%c", optopt)
                   : unknown_option(command, options, arguments[optind - 1]);
}

enum status option_end(const char *command, const char *help, const struct option *options,
                       int code, char **arguments) {
  return code == OPTION_HELP      ? print_and_end(help, "")
         : code == OPTION_VERSION ? print_version()
                                  : option_fault(command, options, code, arguments);
}

/* Also by another name: one that is there already is known by where it lies. */
static bool is_same_file(const char *a, const char *b) {
  struct stat one, other;
  if (strcmp(a, b) == 0)
    return true;
  if (strcmp(a, "-") == 0 || strcmp(b, "-") == 0)
    return false;
  return stat(a, &one) == 0 && stat(b, &other) == 0 && S_ISREG(one.st_mode) &&
         one.st_dev == other.st_dev && one.st_ino == other.st_ino;
}

enum status named_once(const char *command, const char *const *paths, size_t count) {
  for (size_t i = 0; i < count; i++)
    for (size_t k = i + 1; k < count; k++)
      if (paths[i] && paths[k] && is_same_file(paths[i], paths[k]))
        return wrong_use(command, "%s is named twice",
                         strcmp(paths[i], "-") == 0 ? "standard output" : paths[k]);
  return STATUS_DONE;
}

enum status end_of_words(void) {
  if (fflush(stdout) == 0 && !ferror(stdout))
    return STATUS_DONE;
  fprintf(stderr, "borelay: cannot write standard output: %s\n", strerror(errno ? errno : EIO));
  return STATUS_FILE_FAILED;
}

enum status print_and_end(const char *first, const char *second) {
  fputs(first, stdout);
  fputs(second, stdout);
  return end_of_words();
}

enum status print_version(void) {
  return print_and_end(VERSION_LINE, "");
}

static bool ends_in(const char *path, const char *ending) {
  size_t length = strlen(path), tail = strlen(ending);
  return length > tail && strcmp(path + length - tail, ending) == 0;
}

bool is_stream_name(const char *path) {
  return strcmp(path, "-") == 0 || ends_in(path, ".csv") || ends_in(path, ".spt");
}

bool is_page_name(const char *path) {
  return ends_in(path, ".html");
}
