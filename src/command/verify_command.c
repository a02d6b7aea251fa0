/* verify: a stream against its job, judged from the stream's own rows. */
#include <stdlib.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/json.h"
#include "borelay/resolve.h"
#include "borelay/verify.h"
#include "command/besides.h"

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
    "  --summary FILE      write the findings (JSON) to FILE besides the table\n"
    "  --sarif FILE        write what is told as SARIF 2.1.0 to FILE, also where all holds\n"
    "  --depfile FILE      write the files read, the stream too, as a rule for make\n"
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
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
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
  struct besides besides;
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
  case OPTION_SUMMARY:
  case OPTION_SARIF:
  case OPTION_DEPFILE:
    return besides_take(&wish->besides, code);
  case 'q':
    request->quiet = true;
    return true;
  default:
    *status = option_end("verify", HELP_VERIFY, OPTIONS, code, arguments);
    return false;
  }
}

/* Writes what is wanted besides.  summary: empty where the stream could not be judged to its end,
 * and then there is no rule either.  Which files the job is made of is read again for it. */
static enum status give_out(const struct wish *wish, struct sarif *findings, const char *summary,
                            enum status status) {
  const struct verify_request *request = &wish->request;
  struct arena *arena = arena_new();
  struct source_set *sources = source_set_new(arena);
  struct depfile rule = {.sources = {sources}};
  bool is_judged = *summary && status != STATUS_FILE_FAILED;
  const char *unreadable;
  if (is_judged && wish->besides.depfile)
    job_resolve(arena, sources, diag_list_new(arena, sources), request->job_path, request->settings,
                request->setting_count, &unreadable);
  if (strcmp(request->stream_path, "-") != 0)
    rule.streams[0] = request->stream_path;
  status = besides_give(&wish->besides, findings, NULL, 0, is_judged ? summary : NULL,
                        is_judged ? &rule : NULL, status);
  arena_free(arena);
  return status;
}

static enum status verify(struct wish *wish) {
  static const enum status STATUSES[] = {[VERIFY_HOLDS] = STATUS_DONE,
                                         [VERIFY_FAULTY] = STATUS_REFUSED,
                                         [VERIFY_FILE_FAILED] = STATUS_FILE_FAILED};
  struct sarif *findings = sarif_new();
  char *summary = NULL;
  size_t length;
  FILE *to = json_memory(open_memstream(&summary, &length));
  wish->request.sarif = findings;
  wish->request.summary = wish->besides.summary || wish->besides.depfile ? to : NULL;
  wish->request.wordless = besides_streams(&wish->besides);
  enum status status = STATUSES[verify_stream(&wish->request)];
  if (fclose(to) != 0)
    json_memory(NULL);
  status = give_out(wish, findings, summary, status);
  free(summary);
  sarif_free(findings);
  return status;
}

/* What is written overwrites nothing that is read, and mixes with nothing. */
static enum status check_places(const struct wish *wish) {
  const struct verify_request *request = &wish->request;
  const char *stream = strcmp(request->stream_path, "-") == 0 ? NULL : request->stream_path;
  const char *const others[] = {stream, request->job_path, request->json ? "-" : NULL};
  return besides_check(&wish->besides, "verify", others, sizeof others / sizeof others[0]);
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
