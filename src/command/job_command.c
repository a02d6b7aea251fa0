/* check and compile: from a job file to what is given out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "command/command.h"
#include "command/resume_option.h"

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

static bool is_same(const char *a, const char *b) {
  return a && b && strcmp(a, b) == 0;
}

static enum status check_output(const struct request *request) {
  if (request->command == COMMAND_CHECK)
    return request->output ? wrong_use("check", "check writes no stream; -o goes with compile")
                           : STATUS_DONE;
  if (!request->output)
    return wrong_use("compile", "compile wants -o OUT, where the stream goes");
  if (!is_stream_name(request->output))
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

/* Takes one option over.  False: *status ends the run. */
static bool take_option(struct request *request, struct resume_option *resume, const char *command,
                        int code, char **arguments, enum status *status) {
  char why[256];
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
    if (read_number(optarg, 1, 100, &request->times))
      return true;
    *status = wrong_use(command, "--times wants a number from 1 to 100; %s is none", optarg);
    return false;
  case OPTION_RESUME:
    request->resume = resume;
    if (resume_option_read(optarg, resume, why, sizeof why))
      return true;
    *status = wrong_use(command, "%s", why);
    return false;
  case 'o':
    request->output = optarg;
    return true;
  case 'q':
    request->quiet = true;
    return true;
  default:
    *status = option_fault(command, OPTIONS, code, arguments);
    return false;
  }
}

static enum status run_job(enum command which, const char *help, int count, char **arguments,
                           const char **settings) {
  const char *command = arguments[0];
  struct request request = {.command = which, .settings = settings};
  struct resume_option resume;
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":o:q", OPTIONS, NULL)) != -1) {
    if (code == OPTION_HELP)
      return print_and_end(help, HELP_OPTIONS);
    if (code == OPTION_VERSION)
      return print_version();
    if (!take_option(&request, &resume, command, code, arguments, &status))
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

enum status check_command(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_CHECK, HELP_CHECK, count, arguments, settings);
}

enum status compile_command(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_COMPILE, HELP_COMPILE, count, arguments, settings);
}
