/* locate: where in the work a row of a stream is. */
#include <stdio.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/locate.h"
#include "command/command.h"

static const char HELP_LOCATE[] =
    "borelay locate STREAM --row N | --time T [options]\n"
    "\n"
    "Tells where a row of a stream is: overlay, layer, lap, depth, and where along the wall; with\n"
    "the arc on also what --resume of compile takes. Exit status: 0 told, also where no job "
    "beside\n"
    "the stream tells the wall; 1 the stream is none, breaks off before the row or ends before "
    "it,\n"
    "or was not compiled from JOB.lay; 2 wrong use; 3 a file could not be read.\n"
    "\n"
    "  --row N             the row, from 0\n"
    "  --time T            the last row at or before that time, with its unit: 4711.5s\n"
    "  --job JOB.lay       the job that the stream was compiled from; without it the stream's\n"
    "                      first file is looked for beside the stream\n"
    "  --set NAME=VALUE    as the stream was compiled; may be repeated\n"
    "  --help              this text\n"
    "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"row", required_argument, NULL, OPTION_ROW},
                                        {"time", required_argument, NULL, OPTION_TIME},
                                        {"job", required_argument, NULL, OPTION_JOB},
                                        {"set", required_argument, NULL, OPTION_SET},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct question {
  const char *stream, *job;
  struct locate_wish wish;
  int wishes;
  const char **settings;
  size_t setting_count;
};

/* A row's time is a whole number of microseconds; half of one forgives the unit's rounding. */
static bool read_row_time(const char *text, uint64_t *us) {
  double seconds;
  if (!read_time(text, &seconds) || seconds > 1e12)
    return false;
  *us = (uint64_t)(seconds * 1e6 + 0.5);
  return true;
}

/* False: *status ends the run. */
static bool take_option(struct question *question, int code, char **arguments,
                        enum status *status) {
  switch (code) {
  case OPTION_ROW:
    question->wishes++;
    if (read_count(optarg, &question->wish.row))
      return true;
    *status = wrong_use("locate", "--row wants a whole number; %s is none", optarg);
    return false;
  case OPTION_TIME:
    question->wishes++;
    question->wish.by_time = true;
    if (read_row_time(optarg, &question->wish.t_us))
      return true;
    *status = wrong_use("locate", "--time wants a time with its unit; %s is none", optarg);
    return false;
  case OPTION_JOB:
    question->job = optarg;
    return true;
  case OPTION_SET:
    question->settings[question->setting_count++] = optarg;
    return true;
  default:
    *status = option_end("locate", HELP_LOCATE, OPTIONS, code, arguments);
    return false;
  }
}

/* The stream's first file, beside the stream. */
static const char *job_beside(struct arena *arena, const char *stream,
                              const struct located *located) {
  const char *slash = strrchr(stream, '/');
  int folder = slash ? (int)(slash + 1 - stream) : 0;
  return arena_format(arena, "%.*s%s", folder, stream, located->job_file);
}

static enum status answer(const struct question *question) {
  struct located located;
  switch (locate_row(question->stream, question->wish, &located)) {
  case LOCATED:
    break;
  case LOCATE_UNREADABLE:
    return STATUS_FILE_FAILED;
  case LOCATE_WRONG_STREAM:
  case LOCATE_NO_ROW:
    return STATUS_REFUSED;
  }
  struct arena *arena = arena_new();
  const struct contour *wall = NULL;
  double turned = 0;
  const char *job = question->job ? question->job : job_beside(arena, question->stream, &located);
  bool is_asked = located.row.overlay > 0, is_readable = true;
  if (is_asked)
    wall = locate_wall(arena, job, question->settings, question->setting_count, &located, &turned,
                       &is_readable);
  struct wall_place place = wall_place_find(&located, wall, turned);
  locate_print(&located, &place, stdout);
  arena_free(arena);
  if (end_of_words() != STATUS_DONE)
    return STATUS_FILE_FAILED;
  if (wall || !is_asked || !question->job)
    return STATUS_DONE;
  return is_readable ? STATUS_REFUSED : STATUS_FILE_FAILED;
}

enum status locate_command(int count, char **arguments, const char **settings) {
  struct question question = {.settings = settings};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":", OPTIONS, NULL)) != -1)
    if (!take_option(&question, code, arguments, &status))
      return status;
  if (optind >= count)
    return wrong_use("locate", "locate wants a stream");
  if (optind + 1 < count)
    return wrong_use("locate", "locate takes one stream; %s is one too many",
                     arguments[optind + 1]);
  if (question.wishes != 1)
    return wrong_use("locate", "locate wants --row or --time, one of them");
  question.stream = arguments[optind];
  return answer(&question);
}
