/* explain: what a word of the language or of a message means. */
#include <stdio.h>

#include "borelay/explain.h"
#include "command/command.h"

static const char HELP_EXPLAIN[] = "borelay explain WORD\n"
                                   "\n"
                                   "Tells what a word means: a key (travel_speed), a block "
                                   "(overlay), a kind of shape (racetrack),\n"
                                   "a word that a key takes (spiral), a unit (in/min), a function "
                                   "(atan2), a check (tip-path), or\n"
                                   "the code of a message (E0312). Exit status 2: nothing is "
                                   "known of the word.\n"
                                   "\n"
                                   "  --help              this text\n"
                                   "  --version           the version of this program\n";

static const struct option OPTIONS[] = {{"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

static enum status explain(const char *word) {
  if (explain_word(word, stdout))
    return end_of_words();
  const char *near = explain_suggest(word);
  return near ? wrong_use("explain", "nothing is known of %s; did you mean %s?", word, near)
              : wrong_use("explain", "nothing is known of %s", word);
}

enum status explain_command(int count, char **arguments, const char **settings) {
  (void)settings;
  int code = getopt_long(count, arguments, ":", OPTIONS, NULL);
  if (code != -1)
    return option_end("explain", HELP_EXPLAIN, OPTIONS, code, arguments);
  if (optind >= count)
    return wrong_use("explain", "explain wants a word");
  if (optind + 1 < count)
    return wrong_use("explain", "explain takes one word; %s is one too many",
                     arguments[optind + 1]);
  return explain(arguments[optind]);
}
