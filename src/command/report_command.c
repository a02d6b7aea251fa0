/* report: one page for the reviewer, and the drawings alone. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/draw.h"
#include "borelay/report.h"
#include "command/command.h"

static const char HELP_REPORT[] =
    "borelay report JOB.lay -o OUT.html [options]\n"
    "\n"
    "Runs all checks and writes one page that holds everything it shows: verdict, checks with "
    "what\n"
    "is left of each limit, drawings, the moving head, charts, quantities. It opens from a disk,\n"
    "without a network, and prints to A4. A job that a check refuses gets its page too, which "
    "says\n"
    "so, and exit status 1; a job that does not get as far as its checks gets none.\n"
    "\n"
    "  -o OUT.html         where the page goes, or - for standard output\n"
    "  --svg FOLDER        the drawings alone, a file each; with -o or without\n"
    "  --set NAME=VALUE    give a param another value, with its unit; may be repeated\n"
    "  -q, --quiet         print nothing on success\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"svg", required_argument, NULL, OPTION_SVG},
                                        {"set", required_argument, NULL, OPTION_SET},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  const char *job_path, *page, *folder;
  const char **settings;
  size_t setting_count;
  bool quiet;
};

static enum status tell_failure(const char *doing, const char *path, int error) {
  fprintf(stderr, "borelay: cannot %s %s: %s\n", doing,
          strcmp(path, "-") == 0 ? "standard output" : path, strerror(error));
  return STATUS_FILE_FAILED;
}

static enum status write_page(struct arena *arena, const struct outcome *outcome,
                              const char *path) {
  size_t length;
  char *page = report_page(arena, outcome, &length);
  struct outfile file;
  if (outfile_open(&file, path))
    outfile_put(&file, page, length);
  free(page);
  return outfile_commit(&file) ? STATUS_DONE : tell_failure("write", path, file.error);
}

static enum status write_drawings(struct arena *arena, const struct outcome *outcome,
                                  const char *folder) {
  const char *failed = folder;
  int error = draw_folder(arena, outcome, folder, &failed);
  return error ? tell_failure("write", failed, error) : STATUS_DONE;
}

static enum status write_all(struct arena *arena, const struct wish *wish,
                             const struct outcome *outcome) {
  enum status status = STATUS_DONE;
  if (outcome->verdict && wish->folder)
    status = write_drawings(arena, outcome, wish->folder);
  if (outcome->verdict && wish->page && status == STATUS_DONE)
    status = write_page(arena, outcome, wish->page);
  if (status == STATUS_DONE && !outcome_passed(outcome))
    return STATUS_REFUSED;
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
  return unreadable ? tell_failure("read", unreadable, read_error)
                    : write_all(arena, wish, &outcome);
}

static bool ends_in(const char *text, const char *end) {
  size_t length = strlen(text), tail = strlen(end);
  return length > tail && strcmp(text + length - tail, end) == 0;
}

static enum status check_wish(const struct wish *wish) {
  if (!wish->page && !wish->folder)
    return wrong_use("report", "report wants -o OUT.html, or --svg FOLDER, or both");
  if (wish->page && strcmp(wish->page, "-") != 0 && !ends_in(wish->page, ".html"))
    return wrong_use("report", "%s: OUT ends in .html, or is - for standard output", wish->page);
  return STATUS_DONE;
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
  else
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
