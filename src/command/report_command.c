/* report: one page for the reviewer, and the drawings alone. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/draw.h"
#include "borelay/report.h"
#include "command/besides.h"

static const char HELP_REPORT[] =
    "borelay report JOB.lay -o OUT.html [options]\n"
    "\n"
    "Runs all checks and writes one page that holds everything it shows: verdict, checks with "
    "what\n"
    "is left of each limit, drawings, the moving head, charts, quantities. It opens from a disk,\n"
    "without a network, and prints to A4. A job that a check refuses gets its page too, which "
    "says\n"
    "so, and exit status 1; a job that does not get as far as its checks gets none. Page and\n"
    "drawings appear together, or none of them.\n"
    "\n"
    "  -o OUT.html         where the page goes, or - for standard output\n"
    "  --svg FOLDER        the drawings alone, a file each; with -o or without\n"
    "  --set NAME=VALUE    give a param another value, with its unit; may be repeated\n"
    "  --summary FILE      write the summary (JSON) to FILE, also where the job is refused\n"
    "  --sarif FILE        write the messages as SARIF 2.1.0 to FILE, also where the job is "
    "refused\n"
    "  --depfile FILE      write the files read as a rule for make, where the page is written\n"
    "  -q, --quiet         print nothing on success\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"svg", required_argument, NULL, OPTION_SVG},
                                        {"set", required_argument, NULL, OPTION_SET},
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  const char *job_path, *page, *folder;
  struct besides besides;
  const char **settings;
  size_t setting_count;
  bool quiet;
};

/* The page and the drawings, of a job that got as far as its checks. */
struct made {
  struct output *outputs;
  size_t count;
  char *page; /* freed afterwards */
};

static struct made make_all(struct arena *arena, const struct wish *wish,
                            const struct outcome *outcome) {
  size_t drawings = 0, length;
  const struct output *sheets =
      wish->folder ? draw_sheets(arena, outcome, wish->folder, &drawings) : NULL;
  struct made made = {.outputs = arena_alloc(arena, drawings + 1, sizeof *made.outputs)};
  if (wish->page) {
    made.page = report_page(arena, outcome, &length);
    made.outputs[made.count++] = (struct output){wish->page, made.page, length};
  }
  for (size_t i = 0; i < drawings; i++)
    made.outputs[made.count++] = sheets[i];
  return made;
}

static enum status fail(const struct wish *wish, struct sarif *findings, const char *doing,
                        const char *path, int error) {
  tell_failure(findings, doing, path, error);
  return findings_give(findings, wish->besides.sarif, NULL, 0, STATUS_FILE_FAILED);
}

/* Everything that is asked for, or none of it but the findings. */
static enum status write_all(struct arena *arena, const struct wish *wish,
                             const struct outcome *outcome, struct sarif *findings) {
  bool is_judged = outcome->verdict != NULL;
  bool makes_folder = is_judged && wish->folder && mkdir(wish->folder, 0777) == 0;
  if (is_judged && wish->folder && !makes_folder && errno != EEXIST)
    return fail(wish, findings, "make folder", wish->folder, errno);
  struct made made = {.page = NULL};
  struct depfile rule = {.sources = {outcome->sources}};
  if (is_judged)
    made = make_all(arena, wish, outcome);
  char *summary = wish->besides.summary ? summary_text(outcome) : NULL;
  enum status status = besides_give(&wish->besides, findings, made.outputs, made.count, summary,
                                    is_judged ? &rule : NULL,
                                    outcome_passed(outcome) ? STATUS_DONE : STATUS_REFUSED);
  free(made.page);
  free(summary);
  if (status == STATUS_FILE_FAILED && makes_folder)
    rmdir(wish->folder);
  return status;
}

static enum status report_in(struct arena *arena, const struct wish *wish) {
  FILE *progress = isatty(STDERR_FILENO) && !wish->quiet ? stderr : NULL;
  struct outcome outcome;
  const char *unreadable = pipeline_outcome(arena, wish->job_path, wish->settings,
                                            wish->setting_count, progress, &outcome);
  int read_error = errno;
  if (!wish->quiet || !outcome_passed(&outcome))
    diag_print(outcome.diags, stderr);
  struct sarif *findings = sarif_new();
  sarif_add_diags(findings, outcome.sources, outcome.diags, NULL);
  enum status status = unreadable ? fail(wish, findings, "read", unreadable, read_error)
                                  : write_all(arena, wish, &outcome, findings);
  sarif_free(findings);
  return status;
}

static enum status check_wish(const struct wish *wish) {
  if (!wish->page && !wish->folder)
    return wrong_use("report", "report wants -o OUT.html, or --svg FOLDER, or both");
  if (wish->page && strcmp(wish->page, "-") != 0 && !is_page_name(wish->page))
    return wrong_use("report", "%s: OUT ends in .html, or is - for standard output", wish->page);
  const char *const paths[] = {wish->job_path, wish->page};
  enum status status = named_once("report", paths, 2);
  return status == STATUS_DONE ? besides_check(&wish->besides, "report", paths, 2) : status;
}

/* Takes one option over; STATUS_DONE, or what ends the run. */
static enum status take_option(struct wish *wish, int code, char **arguments) {
  if (code == 'o')
    wish->page = optarg;
  else if (code == OPTION_SVG)
    wish->folder = optarg;
  else if (code == OPTION_SET)
    wish->settings[wish->setting_count++] = optarg;
  else if (code == 'q')
    wish->quiet = true;
  else if (!besides_take(&wish->besides, code))
    return option_fault("report", OPTIONS, code, arguments);
  return STATUS_DONE;
}

static enum status take_job(struct wish *wish, int count, char **arguments) {
  if (optind >= count)
    return wrong_use("report", "report wants a job file");
  if (optind + 1 < count)
    return wrong_use("report", "report takes one job file; %s is one too many",
                     arguments[optind + 1]);
  wish->job_path = arguments[optind];
  return check_wish(wish);
}

enum status report_command(int count, char **arguments, const char **settings) {
  struct wish wish = {.settings = settings};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":o:q", OPTIONS, NULL)) != -1) {
    if (code == OPTION_HELP)
      return print_and_end(HELP_REPORT, "");
    if (code == OPTION_VERSION)
      return print_version();
    status = take_option(&wish, code, arguments);
    if (status != STATUS_DONE)
      return status;
  }
  status = take_job(&wish, count, arguments);
  if (status != STATUS_DONE)
    return status;
  struct arena *arena = arena_new();
  status = report_in(arena, &wish);
  arena_free(arena);
  return status;
}
