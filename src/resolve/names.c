/* Lets and params: worked out when first wanted, with the way there remembered so that a
 * circle can be shown. */
#include "resolve/resolver.h"

/* Named values that build on one another deeper than this would exhaust the stack. */
enum { DEEPEST_NAMES = 200 };

static const struct value broken = {.kind = VALUE_BROKEN};

void cycle_tell(struct resolver *r, const struct decl *decl, span wanted_at, const char *what) {
  struct diag *diag = diag_error(r->diags, DIAG_CYCLE, wanted_at, "`%s` %s", decl->name, what);
  for (const struct busy *busy = r->busy; busy && busy->decl != decl; busy = busy->outer)
    diag_note(diag, busy->wanted_at, "by way of `%s`, named here", busy->decl->name);
  if (r->busy && r->busy->decl == decl)
    diag_note(diag,
              decl->statement->kind == SYN_BLOCK ? decl->statement->block->head
                                                 : syn_key_at(decl->statement),
              "`%s` is declared here", decl->name);
}

/* Does what is set measure the same as the param's default? */
static bool setting_suits(struct resolver *r, const struct decl *decl, const struct value *base,
                          const struct value *set) {
  if (base->kind == VALUE_BROKEN)
    return true;
  if (set->kind == base->kind && set->count == base->count &&
      dimension_equal(set->dimension, base->dimension))
    return true;
  char wanted[VALUE_TEXT], found[VALUE_TEXT];
  bool by_count = set->kind == base->kind && set->count != base->count;
  struct diag *diag = diag_error(
      r->diags, DIAG_SETTING_DIMENSION, set->at, "%s wants %s; this is %s", decl->full_name,
      by_count ? value_kind_phrase(base->kind, base->count) : value_phrase(base, wanted),
      by_count ? value_kind_phrase(set->kind, set->count) : value_phrase(set, found));
  diag_note(diag, syn_key_at(decl->statement), "as its default here");
  bool lacks_unit = set->kind == VALUE_NUMBER && base->kind == VALUE_NUMBER &&
                    dimension_is(set->dimension, QUANTITY_NUMBER);
  if (lacks_unit)
    diag_help(diag, "write it with a unit, as its default of %s has one",
              figure_text(base->dimension, base->x[0], wanted));
  return false;
}

/* The range of a param, VALUE_BROKEN where there is none or it was told. */
static struct value allowed_range(struct resolver *r, const struct decl *decl,
                                  const struct value *base) {
  if (!decl->statement->block->range)
    return broken;
  struct value range = expr_value(r, decl->scope, decl->statement->block->range);
  if (range.kind != VALUE_RANGE || base->kind == VALUE_BROKEN)
    return range.kind == VALUE_RANGE ? range : broken;
  if (base->kind == VALUE_NUMBER && dimension_equal(range.dimension, base->dimension))
    return range;
  char wanted[VALUE_TEXT], found[VALUE_TEXT];
  diag_error(r->diags, DIAG_DIMENSION, range.at, "the range of %s is %s, but its default is %s",
             decl->name, value_phrase(&range, found), value_phrase(base, wanted));
  return broken;
}

static bool is_inside(struct resolver *r, const struct decl *decl, const struct value *range,
                      const struct value *value) {
  if (range->kind == VALUE_BROKEN || value->kind != VALUE_NUMBER)
    return true;
  if (value->x[0] >= range->x[0] && value->x[0] <= range->x[1])
    return true;
  char found[VALUE_TEXT], low[VALUE_TEXT], high[VALUE_TEXT];
  struct diag *diag = diag_error(r->diags, DIAG_PARAM_RANGE, value->at,
                                 "%s is %s here; it is allowed from %s to %s", decl->full_name,
                                 figure_text(value->dimension, value->x[0], found),
                                 figure_text(range->dimension, range->x[0], low),
                                 figure_text(range->dimension, range->x[1], high));
  diag_note(diag, range->at, "its range");
  return false;
}

static struct value setting_value(struct resolver *r, const struct decl *decl,
                                  const struct setting *setting, const struct value *base,
                                  const struct value *range) {
  struct value value = expr_value(r, setting->scope, setting->value);
  if (value.kind == VALUE_BROKEN)
    return value;
  bool suits = setting_suits(r, decl, base, &value) && is_inside(r, decl, range, &value);
  return suits ? value : broken;
}

static struct value param_value(struct resolver *r, const struct decl *decl) {
  struct value base = expr_value(r, decl->scope, decl->statement->value);
  struct value range = allowed_range(r, decl, &base);
  struct value result = base;
  if (!is_inside(r, decl, &range, &base))
    result = broken;
  const struct setting *first = decl->settings;
  for (const struct setting *s = first; s; s = s->next) {
    struct value value = setting_value(r, decl, s, &base, &range);
    if (s == first) {
      result = value;
    } else if (value.kind != VALUE_BROKEN && result.kind != VALUE_BROKEN &&
               !value_equal(&value, &result)) {
      struct diag *diag =
          diag_error(r->diags, DIAG_SETTING_CLASH, s->at,
                     "a file that joins twice has two different settings of `%s`", decl->name);
      diag_note(diag, first->at, "the first one stands here");
      diag_help(diag, "use the file under two names, with `as`");
    }
  }
  if (decl->command_line)
    result = setting_value(r, decl, decl->command_line, &base, &range);
  return result;
}

static bool is_too_deep(struct resolver *r, span at) {
  if (!r->busy || r->busy->depth < DEEPEST_NAMES)
    return false;
  diag_error(r->diags, DIAG_USE_TOO_DEEP, at, "named values build on one another more than %d deep",
             (int)DEEPEST_NAMES);
  return true;
}

static struct value decl_value(struct resolver *r, struct decl *decl, span at) {
  if (decl->value_progress == PROGRESS_BUSY) {
    cycle_tell(r, decl, at, "is worked out from itself");
    return broken;
  }
  if (decl->value_progress == PROGRESS_FRESH) {
    if (is_too_deep(r, at))
      return broken;
    struct busy busy = {
        .decl = decl, .wanted_at = at, .outer = r->busy, .depth = r->busy ? r->busy->depth + 1 : 0};
    struct arena *before = lasting_begin(r, decl);
    r->busy = &busy;
    decl->value_progress = PROGRESS_BUSY;
    struct value *value = arena_alloc(r->arena, 1, sizeof *value);
    *value = decl->statement->kind == SYN_PARAM
                 ? param_value(r, decl)
                 : expr_value(r, decl->scope, decl->statement->value);
    decl->value = value;
    decl->value_progress = PROGRESS_DONE;
    r->busy = busy.outer;
    r->arena = before;
  }
  return *decl->value;
}

struct value name_value(struct resolver *r, struct scope *scope, const char *name, span at) {
  struct decl *decl = scope_get(r, scope, DECL_VALUE, name, at);
  return decl ? decl_value(r, decl, at) : broken;
}

void names_evaluate_all(struct resolver *r) {
  for (size_t i = 0; i < r->scope_count; i++)
    for (size_t k = 0; k < r->scopes[i]->decl_count; k++) {
      struct decl *decl = r->scopes[i]->decls[k];
      if (decl->kind == DECL_VALUE)
        decl_value(r, decl, syn_key_at(decl->statement));
    }
}
