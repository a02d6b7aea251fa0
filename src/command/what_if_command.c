/* what-if: what a job comes to over a grid of its params. */
#include <errno.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "borelay/arena.h"
#include "borelay/crew.h"
#include "borelay/grid.h"
#include "borelay/json.h"
#include "borelay/resolve.h"
#include "command/besides.h"

static const char HELP_WHAT_IF[] =
    "borelay what-if JOB.lay --vary NAME=lo..hi:n [--vary ...] [options]\n"
    "\n"
    "Judges the job at every point of a grid of its params and prints a row for each: verdict,\n"
    "what failed first, layers, laps, thickness, iron, heat, time, wire. No stream is written.\n"
    "A point that is refused does not stop the others. Exit status: 0 when every point was\n"
    "judged, refused ones too; 1 a param that is not there; 2 wrong use; 3 a file could not be\n"
    "read or written.\n"
    "\n"
    "  --vary NAME=lo..hi:n   n values of a param, from lo to hi, as size=160mm..200mm:5; or some\n"
    "                         by name, as pattern_pitch=4mm,4.5mm,6mm. Repeated: every\n"
    "                         combination, the last one changing from row to row\n"
    "  --set NAME=VALUE       give a param another value at every point; may be repeated\n"
    "  --csv                  print CSV instead of the table\n"
    "  --json                 print JSON instead of the table, with the summary of every point\n"
    "  --summary FILE         write that JSON to FILE, besides the table\n"
    "  --sarif FILE           write the messages of all points as SARIF 2.1.0 to FILE\n"
    "  --depfile FILE         write the files read as a rule for make\n"
    "  --jobs N               so many points at once; default: one for each processor\n"
    "  -q, --quiet            print no table\n"
    "  --help                 this text\n"
    "  --version              the version of this program\n";

static const struct option OPTIONS[] = {{"vary", required_argument, NULL, OPTION_VARY},
                                        {"set", required_argument, NULL, OPTION_SET},
                                        {"csv", no_argument, NULL, OPTION_CSV},
                                        {"json", no_argument, NULL, OPTION_JSON},
                                        {"summary", required_argument, NULL, OPTION_SUMMARY},
                                        {"sarif", required_argument, NULL, OPTION_SARIF},
                                        {"depfile", required_argument, NULL, OPTION_DEPFILE},
                                        {"jobs", required_argument, NULL, OPTION_JOBS},
                                        {"quiet", no_argument, NULL, 'q'},
                                        {"help", no_argument, NULL, OPTION_HELP},
                                        {"version", no_argument, NULL, OPTION_VERSION},
                                        {NULL, 0, NULL, 0}};

struct wish {
  struct arena *arena;
  const char *job_path;
  const char **settings; /* of every point */
  size_t setting_count;
  struct vary *varies;
  size_t vary_count;
  bool csv, json, quiet;
  struct besides besides;
  size_t hands;
};

/* -- the points ----------------------------------------------------------------------------------
 */

/* What the threads share.  Each writes to the places of its own point. */
struct judging {
  const struct wish *wish;
  const struct grid *grid;
  struct arena **arenas; /* of the texts of each point */
  struct grid_point *points;
  struct sarif **findings; /* of each point; NULL where nobody asks */
  atomic_size_t done, unread;
  FILE *progress;
};

/* The texts of --set at one point: those of every point, then the grid's. */
static const char **settings_at(struct arena *arena, const struct wish *wish,
                                const struct grid *grid, size_t point) {
  const char **settings =
      arena_alloc(arena, wish->setting_count + grid->vary_count, sizeof *settings);
  for (size_t i = 0; i < wish->setting_count; i++)
    settings[i] = wish->settings[i];
  for (size_t i = 0; i < grid->vary_count; i++)
    settings[wish->setting_count + i] =
        arena_format(arena, "%s=%s", grid->varies[i].name, grid_value(grid, point, i));
  return settings;
}

/* "size=160mm, layers=2" */
static const char *where_of(struct arena *arena, const struct grid *grid, size_t point) {
  const char *where = "";
  for (size_t i = 0; i < grid->vary_count; i++)
    where = arena_format(arena, "%s%s%s=%s", where, i > 0 ? ", " : "", grid->varies[i].name,
                         grid_value(grid, point, i));
  return where;
}

static const char *summary_of(struct arena *arena, const struct outcome *outcome) {
  char *text = summary_text(outcome);
  const char *kept = arena_text(arena, text, strlen(text));
  free(text);
  return kept;
}

static void judge_point(void *context, size_t index) {
  struct judging *all = context;
  const struct wish *wish = all->wish;
  struct arena *arena = arena_new(), *kept = arena_new();
  struct outcome outcome;
  const char **settings = settings_at(arena, wish, all->grid, index);
  const char *unread = pipeline_outcome(
      arena, wish->job_path, settings, wish->setting_count + all->grid->vary_count, NULL, &outcome);
  int error = errno;
  struct grid_point point =
      unread ? grid_point_unread(kept, unread, error) : grid_point_of(kept, &outcome);
  if ((wish->json || wish->besides.summary) && !unread)
    point.summary = summary_of(kept, &outcome);
  if (all->findings[index] && unread)
    sarif_fail(all->findings[index], point.why);
  if (all->findings[index])
    sarif_add_diags(all->findings[index], outcome.sources, outcome.diags,
                    where_of(arena, all->grid, index));
  all->arenas[index] = kept;
  all->points[index] = point;
  arena_free(arena);
  atomic_fetch_add(&all->unread, unread != NULL);
  size_t done = atomic_fetch_add(&all->done, 1) + 1;
  if (all->progress)
    fprintf(all->progress, "\r%zu of %zu points", done, grid_points(all->grid));
}

/* A name that is no param is one at no point: told once.  So is a file that cannot be read.
 * sources: gets the files of the job, which are the same at every point. */
static enum status check_names(const struct wish *wish, const struct grid *grid,
                               struct source_set *sources, struct sarif *findings) {
  struct arena *arena = wish->arena;
  struct diag_list *diags = diag_list_new(arena, sources);
  const char *unread = NULL;
  enum status status = STATUS_DONE;
  job_resolve(arena, sources, diags, wish->job_path, settings_at(arena, wish, grid, 0),
              wish->setting_count + grid->vary_count, &unread);
  if (unread)
    status = tell_failure(findings, "read", unread, errno);
  for (size_t i = 0; i < diag_count(diags) && status == STATUS_DONE; i++)
    if (diag_view_get(diags, i).what == DIAG_SETTING_UNKNOWN)
      status = STATUS_REFUSED;
  if (status == STATUS_REFUSED) {
    diag_print(diags, stderr);
    sarif_add_diags(findings, sources, diags, NULL);
  }
  return status;
}

static enum status give_out(const struct wish *wish, const struct judging *all,
                            struct sarif *findings) {
  if (wish->json)
    grid_json(all->grid, all->points, stdout);
  else if (wish->csv)
    grid_csv(all->grid, all->points, stdout);
  else if (!wish->quiet && !besides_streams(&wish->besides))
    grid_print(all->grid, all->points, stdout);
  if (fflush(stdout) == 0 && !ferror(stdout))
    return atomic_load(&all->unread) > 0 ? STATUS_FILE_FAILED : STATUS_DONE;
  return tell_failure(findings, "write", "-", errno ? errno : EIO);
}

static char *summary_of_all(const struct judging *all) {
  char *text = NULL;
  size_t length;
  FILE *to = json_memory(open_memstream(&text, &length));
  grid_json(all->grid, all->points, to);
  return fclose(to) == 0 ? text : json_memory(NULL);
}

/* *summary: JSON of all points, where it is to be written besides; the caller frees. */
static enum status judge_all(const struct wish *wish, const struct grid *grid,
                             struct sarif *findings, char **summary) {
  size_t count = grid_points(grid);
  struct judging all = {.wish = wish,
                        .grid = grid,
                        .arenas = arena_alloc(wish->arena, count, sizeof *all.arenas),
                        .points = arena_alloc(wish->arena, count, sizeof *all.points),
                        .findings = arena_alloc(wish->arena, count, sizeof *all.findings),
                        .progress = isatty(STDERR_FILENO) && !wish->quiet ? stderr : NULL};
  bool gathers = wish->besides.sarif != NULL;
  for (size_t i = 0; i < count && gathers; i++)
    all.findings[i] = sarif_new();
  crew_run(wish->hands, count, judge_point, &all);
  if (all.progress)
    fprintf(all.progress, "\r%-40s\r", "");
  for (size_t i = 0; i < count && gathers; i++)
    sarif_join(findings, all.findings[i]);
  enum status status = give_out(wish, &all, findings);
  if (wish->besides.summary)
    *summary = summary_of_all(&all);
  for (size_t i = 0; i < count; i++)
    arena_free(all.arenas[i]);
  return status;
}

static enum status judge(const struct wish *wish) {
  struct grid grid = {wish->job_path, wish->varies, wish->vary_count};
  if (grid_points(&grid) > GRID_POINTS_MOST)
    return wrong_use("what-if", "the grid has more than %d points", GRID_POINTS_MOST);
  struct sarif *findings = sarif_new();
  struct source_set *sources = source_set_new(wish->arena);
  struct depfile rule = {.sources = {sources}};
  char *summary = NULL;
  enum status status = check_names(wish, &grid, sources, findings);
  if (status == STATUS_DONE)
    status = judge_all(wish, &grid, findings, &summary);
  bool is_judged = status == STATUS_DONE;
  status = besides_give(&wish->besides, findings, NULL, 0, is_judged ? summary : NULL,
                        is_judged ? &rule : NULL, status);
  free(summary);
  sarif_free(findings);
  return status;
}

/* -- the words of the command --------------------------------------------------------------------
 */

static bool take_vary(struct wish *wish, enum status *status) {
  const char *why;
  struct vary *vary = &wish->varies[wish->vary_count];
  if (!vary_read(wish->arena, optarg, vary, &why)) {
    *status = wrong_use("what-if", "--vary %s: %s", optarg, why);
    return false;
  }
  wish->vary_count++;
  return true;
}

static bool take_hands(struct wish *wish, enum status *status) {
  uint64_t hands = 0;
  if (read_count(optarg, &hands) && hands >= 1 && hands <= 256) {
    wish->hands = (size_t)hands;
    return true;
  }
  *status = wrong_use("what-if", "--jobs wants a whole number from 1 to 256; %s is none", optarg);
  return false;
}

/* False: *status ends the run. */
static bool take_option(struct wish *wish, int code, char **arguments, enum status *status) {
  switch (code) {
  case OPTION_VARY:
    return take_vary(wish, status);
  case OPTION_SET:
    wish->settings[wish->setting_count++] = optarg;
    return true;
  case OPTION_CSV:
    wish->csv = true;
    return true;
  case OPTION_JSON:
    wish->json = true;
    return true;
  case 'q':
    return wish->quiet = true;
  case OPTION_SUMMARY:
  case OPTION_SARIF:
  case OPTION_DEPFILE:
    return besides_take(&wish->besides, code);
  case OPTION_JOBS:
    return take_hands(wish, status);
  default:
    *status = option_end("what-if", HELP_WHAT_IF, OPTIONS, code, arguments);
    return false;
  }
}

static bool sets(const char *setting, const char *name) {
  size_t length = strlen(name);
  return strncmp(setting, name, length) == 0 && setting[length] == '=';
}

/* A param has one value at a point. */
static const char *named_twice(const struct wish *wish) {
  for (size_t i = 0; i < wish->vary_count; i++) {
    for (size_t k = 0; k < i; k++)
      if (strcmp(wish->varies[i].name, wish->varies[k].name) == 0)
        return wish->varies[i].name;
    for (size_t k = 0; k < wish->setting_count; k++)
      if (sets(wish->settings[k], wish->varies[i].name))
        return wish->varies[i].name;
  }
  return NULL;
}

static enum status check_wish(const struct wish *wish, char **paths, int count) {
  if (count < 1)
    return wrong_use("what-if", "what-if wants a job file");
  if (count > 1)
    return wrong_use("what-if", "what-if takes one job file; %s is one too many", paths[1]);
  if (wish->vary_count == 0)
    return wrong_use("what-if", "what-if wants --vary NAME=lo..hi:n, what is to vary");
  if (wish->csv && wish->json)
    return wrong_use("what-if", "--csv and --json exclude each other");
  if (named_twice(wish))
    return wrong_use("what-if", "%s is given twice", named_twice(wish));
  const char *const others[] = {paths[0], wish->csv || wish->json ? "-" : NULL};
  return besides_check(&wish->besides, "what-if", others, 2);
}

enum status what_if_command(int count, char **arguments, const char **settings) {
  struct arena *arena = arena_new();
  struct wish wish = {.arena = arena, .settings = settings, .hands = crew_hands()};
  wish.varies = arena_alloc(arena, (size_t)count, sizeof *wish.varies);
  enum status status = STATUS_DONE;
  bool goes_on = true;
  int code;
  while (goes_on && (code = getopt_long(count, arguments, ":q", OPTIONS, NULL)) != -1)
    goes_on = take_option(&wish, code, arguments, &status);
  if (goes_on) {
    status = check_wish(&wish, arguments + optind, count - optind);
    wish.job_path = arguments[optind];
    if (status == STATUS_DONE)
      status = judge(&wish);
  }
  arena_free(arena);
  return status;
}
