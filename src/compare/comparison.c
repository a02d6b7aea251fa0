/* Two outcomes compared: what they declare, then what that does to the part, as far as both came.
 */
#include "compare/comparison.h"

#include <string.h>

#include "borelay/arena.h"
#include "borelay/declared.h"

/* A library has no job, which is its only fault. */
static bool lacks_only_job(const struct outcome *outcome) {
  static const char NO_JOB[] = "E0210";
  for (size_t i = 0; i < diag_count(outcome->diags); i++) {
    struct diag_view view = diag_view_get(outcome->diags, i);
    if (view.is_error && strcmp(view.code, NO_JOB) != 0)
      return false;
  }
  return true;
}

static bool is_whole(const struct outcome *outcome, const struct declared *declared) {
  return outcome->job || (!declared->has_job && lacks_only_job(outcome));
}

static bool texts_equal(const struct source *a, const struct source *b) {
  return a->length == b->length && memcmp(a->text, b->text, a->length) == 0;
}

static bool sources_equal(const struct outcome *a, const struct outcome *b) {
  if (source_count(a->sources) != source_count(b->sources))
    return false;
  for (uint32_t i = 1; i <= source_count(a->sources); i++)
    if (!texts_equal(source_get(a->sources, i), source_get(b->sources, i)))
      return false;
  return true;
}

static void find_effects(struct arena *arena, struct comparison *made) {
  const struct outcome *before = &made->sides[0].outcome, *after = &made->sides[1].outcome;
  made->has_effects = true;
  made->effects = effects_find(arena, before, after, &made->names);
  made->checks = check_pairs_make(arena, before->verdict, after->verdict, &made->check_count);
  zones_compare(arena, made);
  if (before->verdict && after->verdict) {
    tips_compare(arena, made);
    covers_compare(arena, made);
  }
}

const struct comparison *comparison_make(struct arena *arena, const struct compare_side sides[2],
                                         bool only_declared) {
  struct comparison *made = arena_alloc(arena, 1, sizeof *made);
  made->sides = sides;
  made->only_declared = only_declared;
  for (int i = 0; i < 2; i++) {
    made->declared[i] = declared_make(arena, sides[i].outcome.resolver);
    made->is_whole[i] = is_whole(&sides[i].outcome, made->declared[i]);
  }
  made->is_same_source = sources_equal(&sides[0].outcome, &sides[1].outcome);
  made->names = block_pairs_top(arena, made->declared[0], made->declared[1]);
  made->differences = differences_find(arena, made->declared[0], made->declared[1]);
  /* What is declared alike is laid alike. */
  if (!only_declared && made->differences.used > 0 && sides[0].outcome.plan &&
      sides[1].outcome.plan)
    find_effects(arena, made);
  return made;
}

enum comparison_result comparison_result(const struct comparison *comparison) {
  if (comparison->differences.count > 0)
    return COMPARISON_DIFFERENT;
  bool is_sure = comparison->is_same_source || (comparison->is_whole[0] && comparison->is_whole[1]);
  return is_sure ? COMPARISON_SAME : COMPARISON_OPEN;
}

const char *comparison_verdict(const struct comparison *comparison, int side) {
  const struct outcome *outcome = &comparison->sides[side].outcome;
  if (comparison->only_declared && outcome->job)
    return "not judged";
  if (outcome_passed(outcome))
    return "passed";
  bool is_library = !comparison->declared[side]->has_job && comparison->is_whole[side];
  return is_library ? "no job" : "refused";
}

const char *effects_missing(const struct comparison *comparison, struct arena *arena) {
  const char *missing = NULL;
  if (comparison->only_declared)
    return "only what is declared was asked for";
  for (int i = 0; i < 2; i++) {
    const struct outcome *outcome = &comparison->sides[i].outcome;
    if (outcome->verdict)
      continue;
    const char *why = strcmp(comparison_verdict(comparison, i), "no job") == 0
                          ? "holds no job, so nothing is laid by it"
                      : outcome->plan ? "was refused before its motion could be judged"
                      : outcome->job  ? "was refused before its laps could be planned"
                                      : "was refused for what it declares";
    missing = arena_format(arena, "%s%s%s %s", missing ? missing : "", missing ? "; " : "",
                           i == 0 ? "the first" : "the second", why);
  }
  return missing;
}
