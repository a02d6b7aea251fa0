/* compare: what changed between two jobs, and what that changes on the part. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/compare.h"
#include "borelay/json.h"
#include "borelay/resolve.h"
#include "command/besides.h"

static const char HELP_COMPARE[] =
    "borelay compare BEFORE AFTER [options]\n"
    "\n"
    "What changed between two jobs, with whatever files they use, and what that changes on the\n"
    "part. Layout, comments, order, units and names of files do not count. Two streams (.csv,\n"
    ".spt) are compared by their header, their rows and the way of the tip. Exit status: 0 the\n"
    "same; 1 different; 2 wrong use; 3 a file could not be read or written.\n"
    "\n"
    "  --set NAME=VALUE         a param of both jobs, value with unit; may be repeated\n"
    "  --set-before NAME=VALUE  of the first job only; --set-after: of the second only\n"
    "  --declared               compare what is declared, not what that changes on the part\n"
    "  --driver                 take the words that git gives to a diff driver (docs/compare.md)\n"
    "  --json                   print the comparison (JSON) instead of the text\n"
    "  --page OUT.html          besides, one page with both drawn over each other, to be printed;\n"
    "                           - with -q for standard output\n"
    "  --summary FILE           write the comparison (JSON) to FILE besides the text\n"
    "  --sarif FILE             write the messages of both jobs as SARIF 2.1.0 to FILE\n"
    "  --depfile FILE           write the files read as a rule for make\n"
    "  -q, --quiet              print nothing; the exit status tells\n"
    "  --help                   this text\n"
    "  --version                the version of this program\n"
    "\n"
    "docs/compare.md tells how it serves as a driver of `git diff`. The qualified procedure, "
    "local\n"
    "codes and licensed practice decide.\n";

static const struct option OPTIONS[] = {{"set", required_argument, NULL, OPTION_SET},
                                        {"set-before", required_argument, NULL, OPTION_SET_BEFORE},
                                        {"set-after", required_argument, NULL, OPTION_SET_AFTER},
                                        {"declared", no_argument, NULL, OPTION_DECLARED},
                                        {"driver", no_argument, NULL, OPTION_DRIVER},
                                        {"json", no_argument, NULL, OPTION_JSON},
                                        {"page", required_argument, NULL, OPTION_PAGE},
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  const char *paths[2];
  const char **settings[2]; /* of each job */
  size_t setting_count[2];
  const char *stand_in[2]; /* files read for the paths; NULL: the paths themselves */
  const char *page;        /* NULL: none */
  struct besides besides;
  struct sarif *findings;
  bool only_declared, json, quiet, drives;
};

static void take_setting(struct wish *wish, int side, const char *text) {
  wish->settings[side][wish->setting_count[side]++] = text;
}

/* False: *status ends the run. */
static bool take_option(struct wish *wish, int code, char **arguments, enum status *status) {
  switch (code) {
  case OPTION_SET:
    take_setting(wish, 0, optarg);
    take_setting(wish, 1, optarg);
    return true;
  case OPTION_SET_BEFORE:
    take_setting(wish, 0, optarg);
    return true;
  case OPTION_SET_AFTER:
    take_setting(wish, 1, optarg);
    return true;
  case OPTION_DECLARED:
    wish->only_declared = true;
    return true;
  case OPTION_DRIVER:
    wish->drives = true;
    return true;
  case OPTION_JSON:
    wish->json = true;
    return true;
  case OPTION_PAGE:
    wish->page = optarg;
    return true;
  case OPTION_SUMMARY:
  case OPTION_SARIF:
  case OPTION_DEPFILE:
    return besides_take(&wish->besides, code);
  case 'q':
    wish->quiet = true;
    return true;
  default:
    *status = option_end("compare", HELP_COMPARE, OPTIONS, code, arguments);
    return false;
  }
}

/* -- what is given out ------------------------------------------------------------------------- */

/* Texts that are whole before anything is written. */
struct said {
  char *words, *json, *page; /* NULL: not asked for */
  size_t words_length, json_length, page_length;
};

static FILE *said_open(bool is_wanted, char **text, size_t *length) {
  return is_wanted ? json_memory(open_memstream(text, length)) : NULL;
}

static void said_close(FILE *to) {
  if (to && fclose(to) != 0)
    json_memory(NULL);
}

static bool wants_words(const struct wish *wish) {
  return !wish->json && !wish->quiet && !besides_streams(&wish->besides);
}

static bool wants_json(const struct wish *wish) {
  return wish->json || wish->besides.summary;
}

static enum status print(const struct wish *wish, const struct said *said, enum status status) {
  if (wish->json)
    fputs(said->json, stdout);
  else if (said->words)
    fputs(said->words, stdout);
  if (fflush(stdout) == 0 && !ferror(stdout))
    return status;
  tell_failure(wish->findings, "write", "-", errno ? errno : EIO);
  return findings_give(wish->findings, wish->besides.sarif, NULL, 0, STATUS_FILE_FAILED);
}

/* Files first: a text that was printed cannot be taken back. */
static enum status give_out(const struct wish *wish, struct said *said, struct depfile *rule,
                            enum status status) {
  struct output page = {wish->page, said->page, said->page_length};
  status = besides_give(&wish->besides, wish->findings, &page, said->page ? 1 : 0, said->json, rule,
                        status);
  if (status != STATUS_FILE_FAILED)
    status = print(wish, said, status);
  free(said->words);
  free(said->json);
  free(said->page);
  return status;
}

/* -- jobs -------------------------------------------------------------------------------------- */

/* As far as the job, which is all that what is declared asks for. */
static const char *declared_outcome(struct arena *arena, const struct wish *wish, int side,
                                    struct outcome *outcome) {
  struct source_set *sources = source_set_new(arena);
  const char *unreadable = NULL;
  *outcome = (struct outcome){.sources = sources, .diags = diag_list_new(arena, sources)};
  if (wish->stand_in[side])
    source_stand_in(sources, wish->paths[side], wish->stand_in[side]);
  outcome->job =
      job_resolve_kept(arena, sources, outcome->diags, wish->paths[side], wish->settings[side],
                       wish->setting_count[side], &unreadable, &outcome->resolver);
  return unreadable;
}

static bool read_side(struct arena *arena, const struct wish *wish, int side,
                      struct compare_side *out, enum status *status) {
  FILE *progress = isatty(STDERR_FILENO) && !wish->quiet ? stderr : NULL;
  out->path = wish->paths[side];
  const char *unreadable =
      wish->only_declared ? declared_outcome(arena, wish, side, &out->outcome)
                          : pipeline_outcome(arena, out->path, wish->settings[side],
                                             wish->setting_count[side], progress, &out->outcome);
  if (unreadable)
    *status = tell_failure(wish->findings, "read", unreadable, errno);
  sarif_add_diags(wish->findings, out->outcome.sources, out->outcome.diags, NULL);
  return !unreadable;
}

/* Why a job was refused; what is only warned of is told by `check`. */
static void tell_refusal(const struct compare_side *side, const char *verdict) {
  if (strcmp(verdict, "refused") == 0)
    diag_print(side->outcome.diags, stderr);
}

static struct said say_jobs(const struct wish *wish, const struct comparison *comparison) {
  struct said said = {0};
  FILE *words = said_open(wants_words(wish), &said.words, &said.words_length);
  if (words)
    comparison_print(comparison, words);
  said_close(words);
  if (wants_json(wish))
    said.json = comparison_json(comparison);
  if (wish->page)
    said.page = json_memory(comparison_page(comparison, &said.page_length));
  return said;
}

static enum status compare_jobs(const struct wish *wish) {
  struct arena *arena = arena_new();
  struct compare_side sides[2];
  enum status status = STATUS_DONE;
  bool is_read = read_side(arena, wish, 0, &sides[0], &status) &&
                 read_side(arena, wish, 1, &sides[1], &status);
  if (is_read) {
    struct depfile rule = {.sources = {sides[0].outcome.sources, sides[1].outcome.sources}};
    const struct comparison *comparison = comparison_make(arena, sides, wish->only_declared);
    bool tells = !wish->quiet && comparison_result(comparison) != COMPARISON_SAME;
    for (int i = 0; i < 2 && tells; i++)
      tell_refusal(&sides[i], comparison_verdict(comparison, i));
    struct said said = say_jobs(wish, comparison);
    bool is_same = comparison_result(comparison) == COMPARISON_SAME;
    status = give_out(wish, &said, &rule, is_same ? STATUS_DONE : STATUS_REFUSED);
  } else {
    status = findings_give(wish->findings, wish->besides.sarif, NULL, 0, status);
  }
  arena_free(arena);
  return status;
}

/* -- all --------------------------------------------------------------------------------------- */

static bool is_stream(const char *path) {
  return strcmp(path, "-") != 0 && is_stream_name(path);
}

static enum status compare_two_streams(const struct wish *wish) {
  static const enum status STATUSES[] = {[STREAMS_SAME] = STATUS_DONE,
                                         [STREAMS_DIFFERENT] = STATUS_REFUSED,
                                         [STREAMS_FAILED] = STATUS_FILE_FAILED};
  if (wish->setting_count[0] + wish->setting_count[1] > 0 || wish->only_declared || wish->page)
    return wrong_use("compare", "streams take no settings, declare nothing and have no page");
  struct said said = {0};
  struct depfile rule = {.streams = {wish->paths[0], wish->paths[1]}};
  FILE *words = said_open(wants_words(wish), &said.words, &said.words_length);
  FILE *json = said_open(wants_json(wish), &said.json, &said.json_length);
  enum status status =
      STATUSES[compare_streams(wish->paths[0], wish->paths[1], words, json, wish->findings)];
  said_close(words);
  said_close(json);
  if (status != STATUS_FILE_FAILED)
    return give_out(wish, &said, &rule, status);
  free(said.words);
  free(said.json);
  return findings_give(wish->findings, wish->besides.sarif, NULL, 0, status);
}

/* What is written stands in no job's place, and not among the text. */
static enum status check_places(const struct wish *wish) {
  const struct besides *besides = &wish->besides;
  if (wish->page && strcmp(wish->page, "-") != 0 && !is_page_name(wish->page))
    return wrong_use("compare", "%s: OUT ends in .html, or is - for standard output", wish->page);
  const char *const own[] = {wish->page,
                             wish->json || (wish->page && wants_words(wish)) ? "-" : NULL};
  const char *const others[] = {wish->paths[0], wish->paths[1], own[0], own[1]};
  enum status status = named_once("compare", own, 2);
  return status == STATUS_DONE ? besides_check(besides, "compare", others, 4) : status;
}

static enum status compare(const struct wish *wish) {
  enum status status = check_places(wish);
  if (status != STATUS_DONE)
    return status;
  if (is_stream(wish->paths[0]) != is_stream(wish->paths[1])) {
    int stream = is_stream(wish->paths[0]) ? 0 : 1;
    return wrong_use("compare",
                     "%s is a stream and %s is none: two jobs can be compared, or two streams",
                     wish->paths[stream], wish->paths[1 - stream]);
  }
  return is_stream(wish->paths[0]) ? compare_two_streams(wish) : compare_jobs(wish);
}

/* What git gives to a diff driver: PATH OLD HEX MODE NEW HEX MODE, and for a renamed file its new
 * path and how alike the two are; of an unmerged file PATH alone.  Old and new lie in files of no
 * meaning of their own: each is read as if it lay at its path, so that what it uses is found.  To
 * git a status other than 0 is a driver that has died. */
static enum status drive(struct wish *wish, int count, char **words) {
  if (count != 1 && count != 7 && count != 9)
    return wrong_use("compare", "git gives a driver 7 words, of a renamed file 9; here are %d",
                     count);
  const struct besides *besides = &wish->besides;
  if (wish->json || wish->page || besides->summary || besides->sarif || besides->depfile)
    return wrong_use("compare", "--driver prints the text that git shows; %s does not go with it",
                     wish->json         ? "--json"
                     : wish->page       ? "--page"
                     : besides->summary ? "--summary"
                     : besides->sarif   ? "--sarif"
                                        : "--depfile");
  wish->paths[0] = words[0];
  wish->paths[1] = count == 9 ? words[7] : words[0];
  printf("borelay compare %s%s%s\n", words[0], count == 9 ? " -> " : "",
         count == 9 ? words[7] : "");
  if (count == 1) {
    puts("  not merged");
    return STATUS_DONE;
  }
  wish->stand_in[0] = words[1];
  wish->stand_in[1] = words[4];
  wish->only_declared = true;
  enum status status = compare_jobs(wish);
  return status == STATUS_REFUSED ? STATUS_DONE : status;
}

static enum status run(struct wish *wish, char **paths, int count) {
  if (wish->drives)
    return drive(wish, count, paths);
  if (count < 2)
    return wrong_use("compare", "compare wants two jobs, or two streams");
  if (count > 2)
    return wrong_use("compare", "compare takes two files; %s is one too many", paths[2]);
  wish->paths[0] = paths[0];
  wish->paths[1] = paths[1];
  return compare(wish);
}

enum status compare_command(int count, char **arguments, const char **settings) {
  (void)settings;
  const char **both = json_memory(calloc(2 * (size_t)count + 2, sizeof *both));
  struct wish wish = {.settings = {both, both + count}, .findings = sarif_new()};
  enum status status = STATUS_DONE;
  int code;
  bool goes_on = true;
  while (goes_on && (code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1)
    goes_on = take_option(&wish, code, arguments, &status);
  if (goes_on)
    status = run(&wish, arguments + optind, count - optind);
  sarif_free(wish.findings);
  free(both);
  return status;
}
