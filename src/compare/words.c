/* Values, blocks and changes of them as text, in the author's units. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "borelay/arena.h"
#include "compare/differences.h"

/* Digits that a drawing or a procedure never fills; where two figures look alike with them, more.
 */
enum { DIGITS = 9, MORE_DIGITS = 15 };

static const char *figure(struct arena *arena, const char *unit, double inside, int digits) {
  double written = declared_written(unit, inside);
  return arena_format(arena, "%.*g", digits, fabs(written) > 0 ? written : 0);
}

static const char *figures_text(struct arena *arena, const struct declared_value *value,
                                const char *unit, int digits) {
  const char *x[3] = {"", "", ""};
  for (int i = 0; i < value->count; i++)
    x[i] = figure(arena, unit, value->x[i], digits);
  if (value->kind == DECLARED_RANGE && isinf(value->x[0]))
    return arena_format(arena, "up to %s", x[1]);
  if (value->kind == DECLARED_RANGE)
    return arena_format(arena, "%s .. %s", x[0], x[1]);
  if (value->kind == DECLARED_POINT)
    return arena_format(arena, value->count == 3 ? "(%s, %s, %s)" : "(%s, %s)", x[0], x[1], x[2]);
  return x[0];
}

static bool is_figures(const struct declared_value *value) {
  return value->kind == DECLARED_NUMBER || value->kind == DECLARED_POINT ||
         value->kind == DECLARED_RANGE;
}

static const char *with_unit(struct arena *arena, const char *figures, const char *unit) {
  return unit ? arena_format(arena, "%s %s", figures, unit) : figures;
}

static const char *names_text(struct arena *arena, const struct declared_value *value) {
  const char *text = value->name_count > 0 ? value->names[0] : "none";
  for (size_t i = 1; i < value->name_count; i++)
    text = arena_format(arena, "%s, %s", text, value->names[i]);
  return text;
}

const char *value_text(struct arena *arena, const struct declared_value *value) {
  switch (value->kind) {
  case DECLARED_NUMBER:
  case DECLARED_POINT:
  case DECLARED_RANGE:
    return with_unit(arena, figures_text(arena, value, value->unit, DIGITS), value->unit);
  case DECLARED_STRING:
    return arena_format(arena, "\"%s\"", value->text);
  case DECLARED_WORD:
    return value->text;
  case DECLARED_NAMES:
    return names_text(arena, value);
  case DECLARED_RULE:
    return value->text;
  case DECLARED_BROKEN:
    return *value->text ? arena_format(arena, "`%s`, which has an error", value->text)
                        : "something that has an error";
  }
  return "";
}

const char *block_text(struct arena *arena, const struct declared_block *block) {
  const char *text = "";
  for (size_t i = 0; i < block->key_count; i++) {
    const struct declared_key *key = &block->keys[i];
    if (key->is_given)
      text = arena_format(arena, "%s%s%s%s%s", text, *text ? "; " : "", key->name,
                          *key->name ? " " : "", value_text(arena, &key->value));
  }
  for (size_t i = 0; i < block->inner_count; i++) {
    const struct declared_block *inner = &block->inner[i];
    bool is_plain = inner->key_count == 1 && !*inner->keys[0].name;
    text = arena_format(arena, is_plain ? "%s%s%s%s%s %s" : "%s%s%s%s%s { %s }", text,
                        *text ? "; " : "", inner->word, inner->name ? " " : "",
                        inner->name ? inner->name : "", block_text(arena, inner));
  }
  return text;
}

/* -- changes ----------------------------------------------------------------------------------- */

static bool is_percent(const char *unit) {
  return unit && strcmp(unit, "%") == 0;
}

static const char *step_text(struct arena *arena, const char *unit, double step) {
  double written = declared_written_step(unit, step);
  return arena_format(arena, "%+.6g", fabs(written) > 0 ? written : 0);
}

static const char *share_text(struct arena *arena, double share) {
  double percent = 100 * share;
  return arena_format(arena, fabs(percent) >= 0.05 ? "%+.1f %%" : "%+.2g %%", percent);
}

static const char *number_change(struct arena *arena, struct difference *difference,
                                 const struct declared_value *before,
                                 const struct declared_value *after) {
  double a = before->x[before->count - 1], b = after->x[after->count - 1];
  bool is_share = !before->is_angle && !before->is_reading && fabs(a) > 0;
  if (is_share)
    difference->relative = (b - a) / fabs(a);
  if (is_percent(before->unit) && is_percent(after->unit))
    return arena_format(arena, "%s percentage points", step_text(arena, "%", b - a));
  if (is_share)
    return share_text(arena, difference->relative);
  return with_unit(arena, step_text(arena, after->unit, b - a), after->unit);
}

static const char *point_change(struct arena *arena, const struct declared_value *before,
                                const struct declared_value *after) {
  double sum = 0;
  for (int i = 0; i < after->count; i++)
    sum += (after->x[i] - before->x[i]) * (after->x[i] - before->x[i]);
  const char *far =
      arena_format(arena, "moved by %.6g", declared_written_step(after->unit, sqrt(sum)));
  return with_unit(arena, far, after->unit);
}

static const char *range_change(struct arena *arena, const struct declared_value *before,
                                const struct declared_value *after) {
  if (isinf(before->x[0]) || isinf(after->x[0]))
    return NULL;
  const char *both = arena_format(arena, "ends %s and %s",
                                  step_text(arena, after->unit, after->x[0] - before->x[0]),
                                  step_text(arena, after->unit, after->x[1] - before->x[1]));
  return with_unit(arena, both, after->unit);
}

static const char *change_text(struct arena *arena, struct difference *difference,
                               const struct declared_value *before,
                               const struct declared_value *after) {
  if (before->kind != after->kind || before->count != after->count ||
      before->is_angle != after->is_angle || before->is_reading != after->is_reading)
    return NULL;
  bool is_upper = before->kind == DECLARED_RANGE && isinf(before->x[0]) && isinf(after->x[0]);
  if (before->kind == DECLARED_NUMBER || is_upper)
    return number_change(arena, difference, before, after);
  if (before->kind == DECLARED_POINT)
    return point_change(arena, before, after);
  return before->kind == DECLARED_RANGE ? range_change(arena, before, after) : NULL;
}

static bool same_unit(const struct declared_value *a, const struct declared_value *b) {
  return a->unit && b->unit ? strcmp(a->unit, b->unit) == 0 : a->unit == b->unit;
}

/* "180 -> 165 mm/min"; "1 in (25.4 mm) -> 26 mm" */
static const char *figures_change(struct arena *arena, const struct declared_value *before,
                                  const struct declared_value *after) {
  for (int digits = DIGITS;; digits = MORE_DIGITS) {
    const char *a = figures_text(arena, before, before->unit, digits);
    const char *b = figures_text(arena, after, after->unit, digits);
    bool is_one = same_unit(before, after), looks_alike = strcmp(a, b) == 0;
    const char *in_after =
        with_unit(arena, figures_text(arena, before, after->unit, digits), after->unit);
    b = with_unit(arena, b, after->unit);
    if (looks_alike && is_one && digits < MORE_DIGITS)
      continue;
    if (is_one)
      return arena_format(arena, "%s -> %s", a, b);
    return arena_format(arena, "%s (%s) -> %s", with_unit(arena, a, before->unit), in_after, b);
  }
}

void difference_word(struct arena *arena, struct difference *difference,
                     const struct declared_value *before, const struct declared_value *after) {
  difference->relative = FIGURE_NONE;
  difference->before = before ? value_text(arena, before) : NULL;
  difference->after = after ? value_text(arena, after) : NULL;
  difference->value_before = before;
  difference->value_after = after;
  if (!before || !after) {
    difference->text = before ? difference->before : difference->after;
    return;
  }
  difference->change = change_text(arena, difference, before, after);
  bool both = is_figures(before) && is_figures(after) && before->is_angle == after->is_angle &&
              before->is_reading == after->is_reading;
  difference->text = both ? figures_change(arena, before, after)
                          : arena_format(arena, "%s -> %s", difference->before, difference->after);
}
