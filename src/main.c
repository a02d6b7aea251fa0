/* main.c - options and exit status, nothing else. */
#include <getopt.h>
#include <signal.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/convert.h"
#include "borelay/pipeline.h"
#include "borelay/suggest.h"

static const char VERSION_LINE[] = "borelay 0.1.0\n";

static const char HELP[] =
    "borelay - from a job file to a checked, time-stamped program for weld overlay in bores\n"
    "\n"
    "  borelay check JOB.lay             all checks; a table of checks and quantities\n"
    "  borelay compile JOB.lay -o OUT    the checks, then the stream of setpoints\n"
    "  borelay convert IN OUT            a text stream to a binary one, or back\n"
    "\n"
    "  borelay COMMAND --help            the options of a command\n"
    "  borelay --version\n"
    "\n"
    "Exit status: 0 done; 1 the job was refused, or a stream found wrong; 2 wrong use; 3 a file\n"
    "could not be read or written.\n"
    "\n"
    "A stream that passed has not been run on any machine. Dry-run with the arc off; the "
    "qualified\n"
    "procedure, local codes and licensed practice decide.\n";

static const char HELP_CHECK[] =
    "borelay check JOB.lay [options]\n"
    "\n"
    "Runs all checks and prints a table of checks and quantities. No stream is written.\n";

static const char HELP_COMPILE[] =
    "borelay compile JOB.lay -o OUT [options]\n"
    "\n"
    "Runs all checks, then writes the stream. OUT appears whole or not at all.\n"
    "\n"
    "  -o OUT              where the stream goes: a file that ends in .csv (text) or .spt "
    "(binary),\n"
    "                      or - for text to standard output\n"
    "  --rehearse          the same moves with arc, wire and gas off\n"
    "  --times N           rehearse N times as fast, as far as the axes allow; 1 to 100\n"
    "  --resume PLACE      the rest of a weld that was broken off at\n"
    "                      overlay=NAME,layer=N,lap=N,along=LENGTH; it starts a tie-in before\n";

static const char HELP_OPTIONS[] =
    "  --set NAME=VALUE    give a param another value, with its unit; may be repeated\n"
    "  --json              print the summary (JSON) instead of the table\n"
    "  --summary FILE      write the summary (JSON) to FILE, also where the job is refused\n"
    "  --depfile FILE      write the files read as a rule for make\n"
    "  -q, --quiet         print nothing on success\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const char HELP_CONVERT[] =
    "borelay convert IN OUT\n"
    "\n"
    "Reads a stream, text or binary, and writes it as OUT: text where that ends in .csv, binary\n"
    "where it ends in .spt, text to standard output for -. Every byte is as if the job had been\n"
    "compiled to OUT. A stream that is not whole and right is refused; OUT appears whole or not\n"
    "at all.\n"
    "\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

enum option_code {
  OPTION_SET = 256,
  OPTION_JSON,
  OPTION_SUMMARY,
  OPTION_DEPFILE,
  OPTION_REHEARSE,
  OPTION_TIMES,
  OPTION_RESUME,
  OPTION_HELP,
  OPTION_VERSION
};
static const struct option OPTIONS[] = {{"set", required_argument, NULL, OPTION_SET},
                                        {"json", no_argument, NULL, OPTION_JSON},
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
                                        {"rehearse", no_argument, NULL, OPTION_REHEARSE},
                                        {"times", required_argument, NULL, OPTION_TIMES},
                                        {"resume", required_argument, NULL, OPTION_RESUME},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

/* Tells what is wrong and where to look. */
__attribute__((format(printf, 2, 3))) static enum status wrong_use(const char *command,
                                                                   const char *format, ...) {
  va_list arguments;
  va_start(arguments, format);
  fputs("borelay: ", stderr);
  vfprintf(stderr, format, arguments);
  va_end(arguments);
  fprintf(stderr, "\nhelp: see `borelay%s%s --help`\n", command ? " " : "", command ? command : "");
  return STATUS_WRONG_USE;
}

static enum status unknown_option(const char *command, const char *given) {
  if (strncmp(given, "--", 2) != 0 || !given[2])
    return wrong_use(command, "unknown option %s", given);
  char word[64];
  snprintf(word, sizeof word, "%.*s", (int)strcspn(given + 2, "="), given + 2);
  struct suggest suggest = suggest_begin(word);
  for (const struct option *option = OPTIONS; option->name; option++) {
    if (strcmp(word, option->name) == 0)
      return wrong_use(command, "option --%s takes no value", word);
    suggest_offer(&suggest, option->name);
  }
  if (!suggest.best)
    return wrong_use(command, "unknown option --%s", word);
  return wrong_use(command, "unknown option --%s; did you mean --%s?", word, suggest.best);
}

static bool ends_in(const char *path, const char *ending) {
  size_t length = strlen(path), tail = strlen(ending);
  return length > tail && strcmp(path + length - tail, ending) == 0;
}

static bool is_same(const char *a, const char *b) {
  return a && b && strcmp(a, b) == 0;
}

static bool is_output(const char *path) {
  return strcmp(path, "-") == 0 || ends_in(path, ".csv") || ends_in(path, ".spt");
}

static enum status check_output(const struct request *request) {
  if (request->command == COMMAND_CHECK)
    return request->output ? wrong_use("check", "check writes no stream; -o goes with compile")
                           : STATUS_DONE;
  if (!request->output)
    return wrong_use("compile", "compile wants -o OUT, where the stream goes");
  if (!is_output(request->output))
    return wrong_use("compile", "%s: OUT ends in .csv or .spt, or is - for standard output",
                     request->output);
  return STATUS_DONE;
}

/* Two outputs in one place, or one over the job file, would destroy what somebody wanted. */
static enum status check_places(const struct request *request, const char *command) {
  const char *paths[] = {request->job_path, request->output, request->summary, request->depfile,
                         request->json ? "-" : NULL};
  enum { COUNT = sizeof paths / sizeof paths[0] };
  for (size_t i = 0; i < COUNT; i++)
    for (size_t k = i + 1; k < COUNT; k++)
      if (is_same(paths[i], paths[k]))
        return wrong_use(command, "%s is named twice",
                         strcmp(paths[i], "-") == 0 ? "standard output" : paths[i]);
  return STATUS_DONE;
}

/* What only a stream can be, and what goes together. */
static enum status check_kind(const struct request *request, const char *command) {
  if (request->command != COMMAND_COMPILE && (request->rehearse || request->resume))
    return wrong_use(command, "%s is for compile", request->resume ? "--resume" : "--rehearse");
  if (request->times > 0 && !request->rehearse)
    return wrong_use(command, "--times goes with --rehearse: a weld has its own speed");
  if (request->rehearse && request->resume)
    return wrong_use(command, "--rehearse and --resume exclude each other");
  return STATUS_DONE;
}

/* A number from 1 to 100 and nothing behind it. */
static bool read_times(const char *text, double *times) {
  char *end;
  *times = strtod(text, &end);
  return *text >= '0' && *text <= '9' && *end == '\0' && *times >= 1 && *times <= 100;
}

/* Takes one option over.  False: *status ends the run. */
static bool take_option(struct request *request, const char *command, int code, char **arguments,
                        enum status *status) {
  switch (code) {
  case OPTION_SET:
    request->settings[request->setting_count++] = optarg;
    return true;
  case OPTION_JSON:
    request->json = true;
    return true;
  case OPTION_SUMMARY:
    request->summary = optarg;
    return true;
  case OPTION_DEPFILE:
    request->depfile = optarg;
    return true;
  case OPTION_REHEARSE:
    request->rehearse = true;
    return true;
  case OPTION_TIMES:
    if (read_times(optarg, &request->times))
      return true;
    *status = wrong_use(command, "--times wants a number from 1 to 100; %s is none", optarg);
    return false;
  case OPTION_RESUME:
    request->resume = optarg;
    return true;
  case 'o':
    request->output = optarg;
    return true;
  case 'q':
    request->quiet = true;
    return true;
  case ':':
    *status = wrong_use(command, "%s wants a value", arguments[optind - 1]);
    return false;
  default:
    *status = optopt > 0 && optopt < 128 && optopt != 'q'
                  ? wrong_use(command, "unknown option -%c", optopt)
                  : unknown_option(command, arguments[optind - 1]);
    return false;
  }
}

static enum status print_and_end(const char *first, const char *second) {
  fputs(first, stdout);
  fputs(second, stdout);
  return fflush(stdout) == 0 ? STATUS_DONE : STATUS_FILE_FAILED;
}

static enum status run_job(enum command which, const char *help, int count, char **arguments,
                           const char **settings) {
  const char *command = arguments[0];
  struct request request = {.command = which, .settings = settings};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":o:q", OPTIONS, NULL)) != -1) {
    if (code == OPTION_HELP)
      return print_and_end(help, HELP_OPTIONS);
    if (code == OPTION_VERSION)
      return print_and_end(VERSION_LINE, "");
    if (!take_option(&request, command, code, arguments, &status))
      return status;
  }
  if (optind >= count)
    return wrong_use(command, "%s wants a job file", command);
  if (optind + 1 < count)
    return wrong_use(command, "%s takes one job file; %s is one too many", command,
                     arguments[optind + 1]);
  request.job_path = arguments[optind];
  status = check_output(&request);
  if (status == STATUS_DONE)
    status = check_places(&request, command);
  if (status == STATUS_DONE)
    status = check_kind(&request, command);
  return status == STATUS_DONE ? pipeline_run(&request) : status;
}

static enum status run_check(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_CHECK, HELP_CHECK, count, arguments, settings);
}

static enum status run_compile(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_COMPILE, HELP_COMPILE, count, arguments, settings);
}

static enum status convert(const char *in, const char *out) {
  if (!is_output(out))
    return wrong_use("convert", "%s: OUT ends in .csv or .spt, or is - for standard output", out);
  if (strcmp(in, out) == 0 && strcmp(in, "-") != 0)
    return wrong_use("convert", "%s is named twice", in);
  switch (convert_stream(in, out)) {
  case CONVERT_DONE:
    return STATUS_DONE;
  case CONVERT_WRONG_STREAM:
    return STATUS_REFUSED;
  case CONVERT_FILE_FAILED:
    break;
  }
  return STATUS_FILE_FAILED;
}

static enum status run_convert(int count, char **arguments, const char **settings) {
  (void)settings;
  static const struct option own[] = {{"help", no_argument, NULL, OPTION_HELP},
                                      {"version", no_argument, NULL, OPTION_VERSION},
                                      {NULL, 0, NULL, 0}};
  int code = getopt_long(count, arguments, ":", own, NULL);
  if (code == OPTION_HELP)
    return print_and_end(HELP_CONVERT, "");
  if (code == OPTION_VERSION)
    return print_and_end(VERSION_LINE, "");
  if (code != -1)
    return wrong_use("convert", "convert takes no option %s", arguments[optind - 1]);
  if (count - optind < 2)
    return wrong_use("convert", "convert wants IN and OUT, two streams");
  if (count - optind > 2)
    return wrong_use("convert", "convert takes IN and OUT; %s is one too many",
                     arguments[optind + 2]);
  return convert(arguments[optind], arguments[optind + 1]);
}

static const struct {
  const char *name;
  enum status (*run)(int count, char **arguments, const char **settings);
} COMMANDS[] = {{"check", run_check}, {"compile", run_compile}, {"convert", run_convert}};
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
    return wrong_use(NULL, "a command is wanted: check, compile or convert");
  if (strcmp(first, "--help") == 0)
    return print_and_end(HELP, "");
  if (strcmp(first, "--version") == 0)
    return print_and_end(VERSION_LINE, "");
  for (size_t i = 0; i < COMMAND_COUNT; i++)
    if (strcmp(first, COMMANDS[i].name) == 0)
      return COMMANDS[i].run(count - 1, arguments + 1, settings);
  return *first == '-' ? unknown_option(NULL, first) : unknown_command(first);
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
