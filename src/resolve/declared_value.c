/* Values as they were declared: worked out, and with the unit that the author wrote.
 *
 * An expression may hold several units, `2 in + bead`, or none, `bore_radius`: the first one that
 * measures what the value measures is its author's, looked for in what its names stand for too. */
#include <math.h>
#include <string.h>

#include "resolve/declared.h"
#include "resolve/units.h"

double declared_written(const char *unit, double inside) {
  const struct unit *found = unit ? unit_find(unit) : NULL;
  return found ? unit_from_inside(found, inside) : inside;
}

double declared_written_step(const char *unit, double inside) {
  const struct unit *found = unit ? unit_find(unit) : NULL;
  return found ? inside * found->denominator / found->numerator : inside;
}

/* Far below what any drawing or procedure tells apart, far above what some roundings add up to. */
bool declared_figures_equal(double a, double b) {
  double largest = fmax(fabs(a), fabs(b));
  return (isinf(a) && isinf(b)) || fabs(a - b) <= 1e-12 * fmax(largest, 1);
}

const struct syn_expr *declared_param_source(const struct decl *decl, struct scope **scope) {
  const struct setting *setting = decl->command_line ? decl->command_line : decl->settings;
  *scope = setting ? setting->scope : decl->scope;
  return setting ? setting->value : decl->statement->value;
}

/* -- the unit ---------------------------------------------------------------------------------- */

enum { DEEPEST = 100 }; /* a circle of names was told, and ends here */

static const char *suiting_unit(const char *name, struct dimension wanted) {
  const struct unit *unit = name ? unit_find(name) : NULL;
  bool suits = unit && dimension_equal(quantity_get(unit->quantity)->dimension, wanted);
  return suits ? unit->name : NULL;
}

static const char *written_unit(struct resolver *r, struct scope *scope,
                                const struct syn_expr *expr, struct dimension wanted, int depth) {
  if (!expr || depth > DEEPEST)
    return NULL;
  const char *found = suiting_unit(syn_unit(expr), wanted);
  if (!found && expr->kind == SYN_NAME) {
    const struct decl *decl = scope_get(r, scope, DECL_VALUE, expr->text, expr->at);
    struct scope *inner = NULL;
    const struct syn_expr *source = decl ? declared_param_source(decl, &inner) : NULL;
    found = source ? written_unit(r, inner, source, wanted, depth + 1) : NULL;
  }
  for (size_t i = 0; i < expr->item_count && !found; i++)
    found = written_unit(r, scope, expr->items[i], wanted, depth + 1);
  return found;
}

static const char *usual_unit(struct dimension dimension, enum quantity usual) {
  if (dimension_is_number(dimension))
    return NULL;
  if (dimension_is(dimension, usual))
    return quantity_get(usual)->unit;
  for (int i = 0; i < QUANTITY_COUNT; i++)
    if (dimension_is(dimension, (enum quantity)i))
      return quantity_get((enum quantity)i)->unit;
  return NULL;
}

/* -- the value --------------------------------------------------------------------------------- */

static struct declared_value text_value(enum declared_kind kind, const char *text) {
  return (struct declared_value){.kind = kind, .text = text};
}

static struct declared_value broken_value(struct resolver *r, const struct syn_expr *expr) {
  if (!expr)
    return text_value(DECLARED_BROKEN, "");
  const char *text = (const char *)source_get(r->sources, expr->at.file)->text;
  return text_value(DECLARED_BROKEN,
                    arena_text(r->arena, text + expr->at.begin, expr->at.end - expr->at.begin));
}

struct declared_value declared_value_from(struct resolver *r, struct scope *scope,
                                          const struct syn_expr *expr, const struct value *value,
                                          enum quantity usual) {
  static const enum declared_kind KINDS[] = {[VALUE_BROKEN] = DECLARED_BROKEN,
                                             [VALUE_NUMBER] = DECLARED_NUMBER,
                                             [VALUE_POINT] = DECLARED_POINT,
                                             [VALUE_RANGE] = DECLARED_RANGE,
                                             [VALUE_STRING] = DECLARED_STRING};
  if (value->kind == VALUE_BROKEN)
    return broken_value(r, expr);
  struct declared_value out = {.kind = KINDS[value->kind], .count = value->count};
  if (value->kind == VALUE_STRING) {
    out.text = value->raw;
    out.count = 0;
    return out;
  }
  memcpy(out.x, value->x, sizeof out.x);
  out.is_angle = dimension_is(value->dimension, QUANTITY_ANGLE);
  out.is_reading = dimension_is_temperature(value->dimension);
  out.unit = written_unit(r, scope, expr, value->dimension, 0);
  if (!out.unit)
    out.unit = usual_unit(value->dimension, usual);
  return out;
}

/* Names of blocks, one or a list; *broken: one of them leads nowhere. */
static struct declared_value names_value(struct resolver *r, const struct flat_item *item) {
  const struct syn_expr *expr = item->statement->value;
  bool is_list = expr->kind == SYN_LIST;
  size_t count = is_list ? expr->item_count : 1;
  const char **names = arena_alloc(r->arena, count + 1, sizeof *names);
  for (size_t i = 0; i < count; i++) {
    const struct syn_expr *name = is_list ? expr->items[i] : expr;
    const struct decl *decl =
        name->kind == SYN_NAME ? scope_get(r, item->scope, item->key->refers, name->text, name->at)
                               : NULL;
    if (!decl)
      return broken_value(r, expr);
    names[i] = decl->full_name;
  }
  return (struct declared_value){.kind = DECLARED_NAMES, .names = names, .name_count = count};
}

static bool measures_rightly(const struct key *key, const struct value *value) {
  bool may_be_angle = key->type == KEY_LENGTH_OR_ANGLE;
  return value->kind == VALUE_STRING || dimension_is(value->dimension, key->quantity) ||
         (may_be_angle && dimension_is(value->dimension, QUANTITY_ANGLE));
}

struct declared_value declared_value_of(struct resolver *r, const struct flat_item *item) {
  const struct key *key = item->key;
  const struct syn_expr *expr = item->statement->value;
  if (!expr || expr->kind == SYN_BROKEN)
    return broken_value(r, expr);
  if (key->type == KEY_NAME || key->type == KEY_NAMES)
    return names_value(r, item);
  if (key->words && expr->kind == SYN_NAME && word_place(key->words, expr->text) >= 0)
    return text_value(DECLARED_WORD, expr->text);
  if (key->type == KEY_WORD || key->type == KEY_SWITCH)
    return broken_value(r, expr);
  struct value value = expr_value(r, item->scope, expr);
  if (!measures_rightly(key, &value))
    return broken_value(r, expr);
  struct declared_value out = declared_value_from(r, item->scope, expr, &value, key->quantity);
  if (key->one_is_upper && out.kind == DECLARED_NUMBER) {
    out.kind = DECLARED_RANGE;
    out.count = 2;
    out.x[1] = out.x[0];
    out.x[0] = -HUGE_VAL;
  }
  return out;
}
