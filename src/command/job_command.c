/* check and compile: from a job file to what is given out. */
#include <stdio.h>
#include <stdlib.h>

#include "borelay/crew.h"
#include "command/asked.h"

static const char HELP_CHECK[] =
    "borelay check JOB.lay [options]\n"
    "\n"
    "Runs all checks and prints a table of checks and quantities. No stream is written.\n";

static const char HELP_COMPILE[] =
    "borelay compile JOB.lay -o OUT [options]\n"
    "borelay compile JOB.lay ... -d DIR [options]\n"
    "\n"
    "Runs all checks, then writes the stream. OUT appears whole or not at all.\n"
    "\n"
    "  -o OUT              where the stream goes: a file that ends in .csv (text) or .spt "
    "(binary),\n"
    "                      or - for text to standard output\n"
    "  -d DIR              any number of jobs, each to DIR/NAME.csv; one that is refused does not\n"
    "                      stop the others\n"
    "  --binary            with -d: DIR/NAME.spt, binary streams\n"
    "  --summaries         with -d: a summary (JSON) of each, DIR/NAME.json\n"
    "  --sarifs            with -d: the messages of each as SARIF 2.1.0, DIR/NAME.sarif\n"
    "  --depfiles          with -d: the files read, DIR/NAME.d, a rule for make for each\n"
    "  --jobs N            use N processors: for the rows of the stream, with -d for so many jobs\n"
    "                      at once; the same bytes however many. Default: all, for a short\n"
    "                      stream one\n"
    "  --rehearse          the same moves with arc, wire and gas off\n"
    "  --times N           rehearse N times as fast, as far as the axes allow; 1 to 100\n"
    "  --resume PLACE      the rest of a weld that was broken off at\n"
    "                      overlay=NAME,layer=N,lap=N,along=LENGTH; it starts a tie-in\n"
    "                      before, or so much earlier that its wire is there\n";

static const char HELP_OPTIONS[] =
    "  --set NAME=VALUE    give a param another value, with its unit; may be repeated\n"
    "  --json              print the summary (JSON) instead of the table\n"
    "  --summary FILE      write the summary (JSON) to FILE, also where the job is refused; for -\n"
    "                      to standard output, without the table (--sarif, --depfile likewise)\n"
    "  --sarif FILE        write the messages as SARIF 2.1.0 to FILE, also where the job is "
    "refused\n"
    "  --depfile FILE      write the files read as a rule for make\n"
    "  -q, --quiet         print nothing on success\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"set", required_argument, NULL, OPTION_SET},
                                        {"json", no_argument, NULL, OPTION_JSON},
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
                                        {"rehearse", no_argument, NULL, OPTION_REHEARSE},
                                        {"times", required_argument, NULL, OPTION_TIMES},
                                        {"resume", required_argument, NULL, OPTION_RESUME},
                                        {"binary", no_argument, NULL, OPTION_BINARY},
                                        {"summaries", no_argument, NULL, OPTION_SUMMARIES},
                                        {"sarifs", no_argument, NULL, OPTION_SARIFS},
                                        {"depfiles", no_argument, NULL, OPTION_DEPFILES},
                                        {"jobs", required_argument, NULL, OPTION_JOBS},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

/* Options with a value that can be wrong.  False: *status tells so. */
static bool take_value(struct asked *asked, const char *command, int code, enum status *status) {
  char why[256];
  uint64_t hands = 0;
  if (code == OPTION_TIMES) {
    if (read_number(optarg, 1, 100, &asked->request.times))
      return true;
    *status = wrong_use(command, "--times wants a number from 1 to 100; %s is none", optarg);
    return false;
  }
  if (code == OPTION_JOBS) {
    asked->has_hands = read_count(optarg, &hands) && hands >= 1 && hands <= 256;
    asked->batch.hands = (size_t)hands;
    if (!asked->has_hands)
      *status = wrong_use(command, "--jobs wants a whole number from 1 to 256; %s is none", optarg);
    return asked->has_hands;
  }
  asked->request.resume = &asked->resume;
  if (resume_option_read(optarg, &asked->resume, why, sizeof why))
    return true;
  *status = wrong_use(command, "%s", why);
  return false;
}

/* Takes one option over.  False: *status ends the run. */
static bool take_option(struct asked *asked, const char *command, int code, char **arguments,
                        enum status *status) {
  struct request *request = &asked->request;
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
  case OPTION_SARIF:
    request->sarif = optarg;
    return true;
  case OPTION_DEPFILE:
    request->depfile = optarg;
    return true;
  case OPTION_REHEARSE:
    request->rehearse = true;
    return true;
  case OPTION_BINARY:
    return asked->batch.binary = true;
  case OPTION_SUMMARIES:
    return asked->batch.summaries = true;
  case OPTION_SARIFS:
    return asked->batch.sarifs = true;
  case OPTION_DEPFILES:
    return asked->batch.depfiles = true;
  case OPTION_TIMES:
  case OPTION_RESUME:
  case OPTION_JOBS:
    return take_value(asked, command, code, status);
  case 'd':
    asked->batch.folder = optarg;
    return true;
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

static enum status run_many(struct asked *asked, char **jobs, size_t count) {
  enum status status = asked_kind(&asked->request, "compile");
  if (status != STATUS_DONE)
    return status;
  asked->batch.common = &asked->request;
  asked->batch.jobs = jobs;
  asked->batch.count = count;
  if (!asked->has_hands)
    asked->batch.hands = crew_hands();
  return batch_run(&asked->batch);
}

static enum status run_one(struct asked *asked, const char *command, char **jobs, int count) {
  struct request *request = &asked->request;
  if (asked->has_hands)
    request->hands = asked->batch.hands;
  if (count > 1)
    return wrong_use(command, "%s takes one job file; %s is one too many%s", command, jobs[1],
                     request->command == COMMAND_COMPILE ? " (-d DIR takes many)" : "");
  request->job_path = jobs[0];
  enum status status = asked_places(request, command);
  if (status == STATUS_DONE)
    status = asked_kind(request, command);
  return status == STATUS_DONE ? pipeline_run(request) : status;
}

static enum status run_job(enum command which, const char *help, int count, char **arguments,
                           const char **settings) {
  const char *command = arguments[0];
  struct asked asked = {.request = {.command = which, .settings = settings}};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":d:o:q", OPTIONS, NULL)) != -1) {
    if (code == OPTION_HELP)
      return print_and_end(help, HELP_OPTIONS);
    if (code == OPTION_VERSION)
      return print_version();
    if (!take_option(&asked, command, code, arguments, &status))
      return status;
  }
  if (optind >= count)
    return wrong_use(command, "%s wants a job file", command);
  status = asked_folder(&asked);
  if (status != STATUS_DONE)
    return status;
  return asked.batch.folder ? run_many(&asked, arguments + optind, (size_t)(count - optind))
                            : run_one(&asked, command, arguments + optind, count - optind);
}

enum status check_command(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_CHECK, HELP_CHECK, count, arguments, settings);
}

enum status compile_command(int count, char **arguments, const char **settings) {
  return run_job(COMMAND_COMPILE, HELP_COMPILE, count, arguments, settings);
}
