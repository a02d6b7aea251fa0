/* play: a stream fed to a receiver at its own pace. */
#include <stdlib.h>
#include <string.h>

#include "borelay/play.h"
#include "command/command.h"

static const char HELP_PLAY[] =
    "borelay play STREAM --to PLACE [options]\n"
    "\n"
    "A rehearsal controller: checks the stream whole, then sends its rows as text, each at its\n"
    "time. PLACE is tcp:PORT (waits for one receiver at 127.0.0.1:PORT; 0: any free port), a "
    "named\n"
    "pipe, or a file that is not there yet. docs/play.md tells what goes over. Exit status: 0 all\n"
    "rows went; 1 it was refused, or ended early, which says how to go on; 2 wrong use; 3 a file "
    "or\n"
    "PLACE failed.\n"
    "\n"
    "On standard input, a word a line:\n"
    "  hold   slower, and stands in the next touch or wait; with the arc on it is a stop\n"
    "  go     goes on behind a hold, and behind a wait\n"
    "  stop   ends the play; so do SIGINT and SIGTERM\n"
    "\n"
    "  --times N           a rehearsal N times as fast; 0.1 to 1000\n"
    "  --release           do not stand at waits\n"
    "  --acknowledged      over tcp: the receiver answers each row with its number\n"
    "  --after-row N       go on behind row N; only where the arc is out\n"
    "  --weld              the stream may light an arc; over tcp its rows are acknowledged\n"
    "  --slack TIME        how late a row may be while the arc is on: 10ms to 10s, 0.2s where it\n"
    "                      is not given; a number alone is in s\n"
    "  -q, --quiet         no progress, and nothing on success\n"
    "  --help              this text\n"
    "  --version           the version of this program\n"
    "\n"
    "--weld is for rigs without a source. Arc, fume, gas in a bore, heat and a moving robot hurt:\n"
    "the qualified procedure, local codes and licensed practice decide.\n";

enum {
  OPTION_TO = 512,
  OPTION_RELEASE,
  OPTION_ACKNOWLEDGED,
  OPTION_AFTER_ROW,
  OPTION_WELD,
  OPTION_SLACK
};

static const struct option OPTIONS[] = {{"to", required_argument, NULL, OPTION_TO},
                                        {"times", required_argument, NULL, OPTION_TIMES},
                                        {"release", no_argument, NULL, OPTION_RELEASE},
                                        {"acknowledged", no_argument, NULL, OPTION_ACKNOWLEDGED},
                                        {"after-row", required_argument, NULL, OPTION_AFTER_ROW},
                                        {"weld", no_argument, NULL, OPTION_WELD},
                                        {"slack", required_argument, NULL, OPTION_SLACK},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

/* Takes an option that has a value over. */
static enum status take_value(struct play_request *request, int code) {
  switch (code) {
  case OPTION_TIMES:
    return read_number(optarg, 0.1, 1000, &request->times)
               ? STATUS_DONE
               : wrong_use("play", "--times wants a number from 0.1 to 1000; %s is none", optarg);
  case OPTION_SLACK:
    return read_number(optarg, 0.01, 10, &request->slack_s) ||
                   (read_time(optarg, &request->slack_s) && request->slack_s >= 0.01 &&
                    request->slack_s <= 10)
               ? STATUS_DONE
               : wrong_use("play", "--slack wants a time from 0.01s to 10s; %s is none", optarg);
  case OPTION_AFTER_ROW:
    request->has_after = true;
    return read_count(optarg, &request->after_row)
               ? STATUS_DONE
               : wrong_use("play", "--after-row wants a row's number; %s is none", optarg);
  default:
    request->to = optarg;
    return STATUS_DONE;
  }
}

/* Takes one option over.  False: *status ends the run. */
static bool take_option(struct play_request *request, int code, char **arguments,
                        enum status *status) {
  switch (code) {
  case OPTION_RELEASE:
    request->release = true;
    return true;
  case OPTION_ACKNOWLEDGED:
    request->acknowledged = true;
    return true;
  case OPTION_WELD:
    request->weld = true;
    return true;
  case 'q':
    request->quiet = true;
    return true;
  case OPTION_HELP:
    *status = print_and_end(HELP_PLAY, "");
    return false;
  case OPTION_VERSION:
    *status = print_version();
    return false;
  case OPTION_TO:
  case OPTION_TIMES:
  case OPTION_SLACK:
  case OPTION_AFTER_ROW:
    *status = take_value(request, code);
    return *status == STATUS_DONE;
  default:
    *status = option_fault("play", OPTIONS, code, arguments);
    return false;
  }
}

static enum status play(const struct play_request *request) {
  switch (play_stream(request)) {
  case PLAY_DONE:
    return STATUS_DONE;
  case PLAY_ENDED_EARLY:
    return STATUS_REFUSED;
  case PLAY_FILE_FAILED:
    break;
  }
  return STATUS_FILE_FAILED;
}

enum status play_command(int count, char **arguments, const char **settings) {
  (void)settings;
  struct play_request request = {.times = 1, .slack_s = 0.2};
  enum status status = STATUS_DONE;
  int code;
  while ((code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1)
    if (!take_option(&request, code, arguments, &status))
      return status;
  if (optind >= count)
    return wrong_use("play", "play wants a stream");
  if (optind + 1 < count)
    return wrong_use("play", "play takes one stream; %s is one too many", arguments[optind + 1]);
  request.stream = arguments[optind];
  if (strcmp(request.stream, "-") == 0)
    return wrong_use("play", "play reads the stream twice, and words from standard input: name "
                             "a file");
  if (!request.to)
    return wrong_use("play", "play wants --to PLACE, where the rows go");
  if (request.acknowledged && strncmp(request.to, "tcp:", 4) != 0)
    return wrong_use("play", "--acknowledged goes with --to tcp:PORT: nobody answers from %s",
                     request.to);
  return play(&request);
}
