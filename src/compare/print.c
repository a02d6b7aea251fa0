/* The comparison for people: the answer first, then what is declared differently, then what that
 * does to the part. */
#include <string.h>

#include "borelay/arena.h"
#include "borelay/wrap.h"
#include "compare/print_parts.h"

enum { PATH_MOST = 46 };

/* -- the answer -------------------------------------------------------------------------------- */

static const char *loud(const char *verdict) {
  return strcmp(verdict, "passed") == 0    ? "PASSED"
         : strcmp(verdict, "refused") == 0 ? "REFUSED"
                                           : verdict;
}

static void print_answer(const struct comparison *comparison, FILE *to) {
  const struct differences *differences = &comparison->differences;
  const char *before = comparison_verdict(comparison, 0),
             *after = comparison_verdict(comparison, 1);
  switch (comparison_result(comparison)) {
  case COMPARISON_SAME:
    fputs("SAME", to);
    break;
  case COMPARISON_OPEN:
    fputs("NOT KNOWN: nothing differs in what could be read, but faults hide the rest", to);
    break;
  case COMPARISON_DIFFERENT:
    fprintf(to, "DIFFERENT: %zu difference%s in what is declared", differences->count,
            differences->count == 1 ? "" : "s");
    if (differences->used == 0)
      fputs(", none that a job uses", to);
    else if (differences->used < differences->count)
      fprintf(to, ", %zu that a job uses", differences->used);
    break;
  }
  if (strcmp(before, "no job") == 0 && strcmp(after, "no job") == 0)
    fputs("; no job in either\n", to);
  else if (strcmp(before, "not judged") == 0 && strcmp(after, "not judged") == 0)
    fputc('\n', to);
  else
    fprintf(to, "; before: %s, after: %s\n", loud(before), loud(after));
}

static void print_side(const char *name, const struct compare_side *side, FILE *to) {
  fprintf(to, "  %-7s %s", name, side->path);
  const struct job *job = side->outcome.job;
  if (job) {
    fprintf(to, "  \"%s\"", job->title_text);
    if (*job->part_text)
      fprintf(to, ", part %s", job->part_text);
    if (*job->revision_text)
      fprintf(to, ", revision %s", job->revision_text);
    for (size_t i = 0; i < job->setting_count; i++)
      fprintf(to, "%s %s", i == 0 ? ", set" : ",", job->settings[i]);
  }
  fputc('\n', to);
}

/* -- what is declared -------------------------------------------------------------------------- */

/* What the path column holds: the path, and whether it came or went. */
static const char *head_of(struct arena *arena, const struct difference *difference) {
  if (difference->kind == DIFFERENCE_CHANGED)
    return difference->path;
  return arena_format(arena, "%s  %s", difference->path, difference_kind_name(difference->kind));
}

static int path_width(struct arena *arena, const struct differences *differences) {
  int width = 0;
  for (size_t i = 0; i < differences->count; i++) {
    int length = (int)strlen(head_of(arena, &differences->items[i]));
    if (length > width)
      width = length;
  }
  return width > PATH_MOST ? PATH_MOST : width;
}

static void print_difference(struct arena *arena, const struct difference *difference, int width,
                             FILE *to) {
  const char *head = head_of(arena, difference);
  int length = fprintf(to, "  %-*s", width, head) - 2;
  if (length > width)
    fprintf(to, "\n  %*s", width, "");
  fputs("  ", to);
  wrap_go_on(difference->text, width + 4, width + 4, PRINT_WIDTH, to);
}

static void print_differences(struct arena *arena, const struct differences *differences,
                              bool is_used, FILE *to) {
  int width = path_width(arena, differences);
  bool is_first = true;
  for (size_t i = 0; i < differences->count; i++) {
    if (differences->items[i].is_used != is_used)
      continue;
    if (is_first)
      fputs(is_used ? "\nDeclared differently\n"
                    : "\nDeclared differently, but used by neither job\n",
            to);
    is_first = false;
    print_difference(arena, &differences->items[i], width, to);
  }
}

/* -- all --------------------------------------------------------------------------------------- */

static const char CAUTION[] =
    "\nThese figures are estimates from the geometry and the procedures as stated; nothing has "
    "been "
    "run\non any machine.  The qualified procedure, local codes and licensed practice decide.\n";

void comparison_print(const struct comparison *comparison, FILE *to) {
  struct arena *arena = arena_new();
  print_answer(comparison, to);
  print_side("before", &comparison->sides[0], to);
  print_side("after", &comparison->sides[1], to);
  print_differences(arena, &comparison->differences, true, to);
  print_differences(arena, &comparison->differences, false, to);
  const char *missing = effects_missing(comparison, arena);
  if (comparison->has_effects) {
    print_effects(&comparison->effects, to);
    print_checks(comparison, to);
    print_zones(comparison, to);
    print_covers(arena, comparison, to);
    print_tips(comparison, to);
  }
  if (missing && comparison->differences.used > 0 && !comparison->only_declared) {
    fputs("\nNot compared\n  ", to);
    wrap_go_on(missing, 2, 2, PRINT_WIDTH, to);
  }
  if (comparison->has_effects)
    fputs(CAUTION, to);
  arena_free(arena);
}
