/* verify: a stream against its job, judged from the stream's own rows. */
#include <string.h>

#include "borelay/verify.h"
#include "command/findings.h"

static const char HELP_VERIFY[] =
    "borelay verify STREAM --job JOB.lay [options]\n"
    "\n"
    "Judges a stream, text or binary, against its job: from the rows alone, sharing no shape, "
    "plan,\n"
    "motion or check with the compiler. Exit status 1: the stream was found wrong, or the job\n"
    "cannot be read as one.\n"
    "\n"
    "  --job JOB.lay       the job that the stream should be of\n"
    "  --mode MODE         what the stream is taken for: weld (if nothing is said), rehearsal or\n"
    "                      resume; a stream of another mode is found wrong\n"
    "  --set NAME=VALUE    as the stream was compiled; may be repeated\n"
    "  --json              print the findings (JSON) instead of the table\n"
    "  --sarif FILE        write what is told as SARIF 2.1.0 to FILE, also where all holds\n"
    "  -q, --quiet         print nothing where all holds\n"
    "  --help              this text\n"
    "  --version           the version of this program\n"
    "\n"
    "A stream that holds has not been run on any machine. Dry-run with the arc off; the qualified\n"
    "procedure, local codes and licensed practice decide.\n";

static const struct option OPTIONS[] = {{"job", required_argument, NULL, OPTION_JOB},
                                        {"mode", required_argument, NULL, OPTION_MODE},
                                        {"set", required_argument, NULL, OPTION_SET},
                                        {"json", no_argument, NULL, OPTION_JSON},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

static bool read_mode(const char *text, enum borelay_mode *mode) {
  static const char *const MODES[] = {"weld", "rehearsal", "resume"};
  for (int i = 0; i < 3; i++)
    if (strcmp(text, MODES[i]) == 0) {
      *mode = (enum borelay_mode)i;
      return true;
    }
  return false;
}

struct wish {
  struct verify_request request;
  const char *sarif; /* where the findings go; NULL: nowhere */
};

/* False: *status ends the run. */
static bool take_option(struct wish *wish, int code, char **arguments, enum status *status) {
  struct verify_request *request = &wish->request;
  switch (code) {
  case OPTION_JOB:
    request->job_path = optarg;
    return true;
  case OPTION_MODE:
    if (read_mode(optarg, &request->mode))
      return true;
    *status = wrong_use("verify", "--mode wants weld, rehearsal or resume; %s is none", optarg);
    return false;
  case OPTION_SET:
    request->settings[request->setting_count++] = optarg;
    return true;
  case OPTION_JSON:
    request->json = true;
    return true;
  case OPTION_SARIF:
    wish->sarif = optarg;
    return true;
  case 'q':
    request->quiet = true;
    return true;
  case OPTION_HELP:
    *status = print_and_end(HELP_VERIFY, "");
    return false;
  case OPTION_VERSION:
    *status = print_version();
    return false;
  default:
    *status = option_fault("verify", OPTIONS, code, arguments);
    return false;
  }
}

static enum status verify(struct wish *wish) {
  static const enum status STATUSES[] = {[VERIFY_HOLDS] = STATUS_DONE,
                                         [VERIFY_FAULTY] = STATUS_REFUSED,
                                         [VERIFY_FILE_FAILED] = STATUS_FILE_FAILED};
  struct sarif *sarif = wish->sarif ? sarif_new() : NULL;
  wish->request.sarif = sarif;
  wish->request.wordless = sarif && strcmp(wish->sarif, "-") == 0;
  enum status status = STATUSES[verify_stream(&wish->request)];
  if (sarif)
    status = findings_give(sarif, wish->sarif, status);
  sarif_free(sarif);
  return status;
}

/* The findings overwrite nothing that is read, and mix with nothing. */
static enum status check_places(const struct wish *wish) {
  const struct verify_request *request = &wish->request;
  const char *stream = strcmp(request->stream_path, "-") == 0 ? NULL : request->stream_path;
  const char *const others[] = {stream, request->job_path, request->json ? "-" : NULL};
  enum status status = STATUS_DONE;
  for (size_t i = 0; i < sizeof others / sizeof others[0] && status == STATUS_DONE; i++)
    status = named_once("verify", (const char *const[]){others[i], wish->sarif}, 2);
  return status;
}

enum status verify_command(int count, char **arguments, const char **settings) {
  struct wish wish = {.request = {.settings = settings, .mode = BORELAY_WELD}};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1)
    if (!take_option(&wish, code, arguments, &status))
      return status;
  if (optind >= count)
    return wrong_use("verify", "verify wants a stream");
  if (optind + 1 < count)
    return wrong_use("verify", "verify takes one stream; %s is one too many",
                     arguments[optind + 1]);
  if (!wish.request.job_path)
    return wrong_use("verify", "verify wants --job JOB.lay, what the stream should be of");
  wish.request.stream_path = arguments[optind];
  status = check_places(&wish);
  return status == STATUS_DONE ? verify(&wish) : status;
}
