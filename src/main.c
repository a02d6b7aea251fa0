/* main.c - which command; nothing else. */
#include <signal.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/suggest.h"
#include "command/command.h"

static const char HELP[] =
    "borelay - from a job file to a checked, time-stamped program for weld overlay in bores\n"
    "\n"
    "  borelay check JOB.lay             all checks; a table of checks and quantities\n"
    "  borelay compile JOB.lay -o OUT    the checks, then the stream of setpoints\n"
    "  borelay verify STREAM --job JOB.lay   judges a stream from its own rows\n"
    "  borelay locate STREAM --row N     where in the work a row of a stream is\n"
    "  borelay compare BEFORE AFTER      what changed, and what that changes on the part\n"
    "  borelay what-if JOB.lay --vary ...   a row for every point of a grid of params\n"
    "  borelay convert IN OUT            a text stream to a binary one, or back\n"
    "  borelay report JOB.lay -o OUT.html   one page for the reviewer, to read and to print\n"
    "  borelay tidy FILE...              source files in their one canonical layout\n"
    "  borelay serve-editor              job files in an editor, by the Language Server Protocol\n"
    "  borelay explain WORD              what a key, a block, a check, a unit or a code means\n"
    "  borelay play STREAM --to PLACE    rows sent at their time to a receiver, for rehearsing\n"
    "\n"
    "  borelay COMMAND --help            the options of a command\n"
    "  borelay --version\n"
    "\n"
    "Exit status: 0 done; 1 the job was refused, two things compared differ, or a stream was "
    "found\n"
    "wrong; 2 wrong use; 3 a file could not be read or written.\n"
    "\n"
    "A stream that passed has not been run on any machine. Dry-run with the arc off; the "
    "qualified\n"
    "procedure, local codes and licensed practice decide.\n";

static const struct option OPTIONS[] = {{"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

static const struct {
  const char *name;
  command_run *run;
} COMMANDS[] = {{"check", check_command},
                {"compare", compare_command},
                {"compile", compile_command},
                {"convert", convert_command},
                {"explain", explain_command},
                {"locate", locate_command},
                {"play", play_command},
                {"report", report_command},
                {"serve-editor", serve_editor_command},
                {"tidy", tidy_command},
                {"verify", verify_command},
                {"what-if", what_if_command}};
enum { COMMAND_COUNT = sizeof COMMANDS / sizeof COMMANDS[0] };

static enum status unknown_command(const char *given) {
  const char *names[COMMAND_COUNT];
  for (size_t i = 0; i < COMMAND_COUNT; i++)
    names[i] = COMMANDS[i].name;
  const char *near = suggest_find(given, names, COMMAND_COUNT);
  if (near)
    return wrong_use(NULL, "unknown command %s; did you mean %s?", given, near);
  return wrong_use(NULL, "unknown command %s", given);
}

static enum status run(int count, char **arguments, const char **settings) {
  const char *first = count > 1 ? arguments[1] : NULL;
  if (!first)
    return wrong_use(NULL, "a command is wanted, check or compile for instance");
  if (strcmp(first, "--help") == 0)
    return print_and_end(HELP, "");
  if (strcmp(first, "--version") == 0)
    return print_version();
  for (size_t i = 0; i < COMMAND_COUNT; i++)
    if (strcmp(first, COMMANDS[i].name) == 0)
      return COMMANDS[i].run(count - 1, arguments + 1, settings);
  return *first == '-' ? unknown_option(NULL, OPTIONS, first) : unknown_command(first);
}

int main(int count, char **arguments) {
  /* A reader that goes away is a failed write with a status of its own, not a sudden death. */
  signal(SIGPIPE, SIG_IGN);
  opterr = 0;
  const char **settings = calloc((size_t)count + 1, sizeof *settings);
  if (!settings)
    return STATUS_FILE_FAILED;
  enum status status = run(count, arguments, settings);
  free(settings);
  return (int)status;
}
