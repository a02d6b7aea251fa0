/* Expressions: every operation works on numbers and dimensions at once.  Points add up
 * and scale coordinate by coordinate; ranges and strings are only named and handed on. */
#include <math.h>
#include <string.h>

#include "borelay/num.h"
#include "resolve/resolver.h"
#include "resolve/units.h"

static const struct value broken = {.kind = VALUE_BROKEN};

static bool is_finite(struct resolver *r, const struct value *value) {
  for (int i = 0; i < value->count; i++)
    if (!isfinite(value->x[i])) {
      diag_error(r->diags, DIAG_NOT_FINITE, value->at, "this comes to no finite number");
      return false;
    }
  return true;
}

static struct value finite_value(struct resolver *r, struct value value) {
  return is_finite(r, &value) ? value : broken;
}

static struct value number_value(struct resolver *r, const struct syn_expr *expr, double written) {
  struct value value = {.kind = VALUE_NUMBER, .count = 1, .x = {written}, .at = expr->at};
  if (!expr->unit)
    return value;
  const struct unit *unit = unit_get(r, expr->unit);
  if (!unit)
    return broken;
  value.dimension = quantity_get(unit->quantity)->dimension;
  value.x[0] = unit_to_inside(unit, written);
  if (!is_finite(r, &value))
    return broken;
  return value;
}

const char *quoted_text(struct resolver *r, span at) {
  const char *text = (const char *)source_get(r->sources, at.file)->text;
  uint32_t begin = at.begin + 1, end = at.end - 1;
  return arena_text(r->arena, text + begin, end > begin ? end - begin : 0);
}

static struct value string_value(struct resolver *r, const struct syn_expr *expr) {
  return (struct value){
      .kind = VALUE_STRING, .text = expr->text, .raw = quoted_text(r, expr->at), .at = expr->at};
}

/* Minus before a reading belongs to its number: -40 degF is a temperature. */
static bool is_reading(struct resolver *r, const struct syn_expr *expr) {
  const struct unit *unit = expr->kind == SYN_NUMBER && expr->unit ? unit_get(r, expr->unit) : NULL;
  return unit && unit->quantity == QUANTITY_TEMPERATURE;
}

static bool is_arithmetic(struct value value) {
  return value.kind == VALUE_NUMBER || value.kind == VALUE_POINT;
}

static struct value reading_refused(struct resolver *r, span at) {
  struct diag *diag = diag_error(r->diags, DIAG_READING, at,
                                 "a temperature is a reading: it is compared, not calculated with");
  diag_help(diag, "give the temperature itself");
  return broken;
}

static struct value negated(struct resolver *r, struct scope *scope, const struct syn_expr *expr) {
  if (is_reading(r, expr->items[0])) {
    struct value value = number_value(r, expr->items[0], -expr->items[0]->number);
    value.at = expr->at;
    return value;
  }
  struct value value = expr_value(r, scope, expr->items[0]);
  if (value.kind == VALUE_BROKEN)
    return value;
  value.at = expr->at;
  if (!is_arithmetic(value)) {
    diag_error(r->diags, DIAG_OPERANDS, expr->at, "%s has no negative",
               value_kind_phrase(value.kind, value.count));
    return broken;
  }
  if (dimension_is_temperature(value.dimension))
    return reading_refused(r, expr->at);
  for (int i = 0; i < value.count; i++)
    value.x[i] = -value.x[i];
  return value;
}

static struct value operands_refused(struct resolver *r, const struct syn_expr *expr,
                                     struct value a, struct value b) {
  char first[VALUE_TEXT], second[VALUE_TEXT];
  value_phrase(&a, first);
  value_phrase(&b, second);
  struct diag *diag = NULL;
  switch ((int)expr->kind) {
  case SYN_ADD:
    diag = diag_error(r->diags, DIAG_OPERANDS, syn_op_at(expr), "%s cannot be added to %s", second,
                      first);
    break;
  case SYN_SUBTRACT:
    diag = diag_error(r->diags, DIAG_OPERANDS, syn_op_at(expr), "%s cannot be taken from %s",
                      second, first);
    break;
  case SYN_MULTIPLY:
    diag = diag_error(r->diags, DIAG_OPERANDS, syn_op_at(expr), "%s cannot be multiplied by %s",
                      first, second);
    break;
  default:
    diag = diag_error(r->diags, DIAG_OPERANDS, syn_op_at(expr), "%s cannot be divided by %s", first,
                      second);
    break;
  }
  const struct syn_expr *first_part = expr->items[0], *second_part = expr->items[1];
  if (expr->kind == SYN_SUBTRACT && first_part->kind == SYN_NUMBER && !first_part->unit &&
      second_part->kind == SYN_NUMBER)
    diag_help(diag, "a range is written `%.9g .. %.9g %s`", first_part->number, second_part->number,
              second_part->unit ? second_part->unit : "");
  else if (a.dimension.angle != 0 || b.dimension.angle != 0)
    diag_help(diag, "an angle goes with a pure number, a time or a length");
  return broken;
}

static struct value sum(struct resolver *r, const struct syn_expr *expr, struct value a,
                        struct value b) {
  if (a.kind != b.kind || a.count != b.count || !dimension_equal(a.dimension, b.dimension))
    return operands_refused(r, expr, a, b);
  double sign = expr->kind == SYN_ADD ? 1 : -1;
  for (int i = 0; i < a.count; i++)
    a.x[i] += sign * b.x[i];
  return a;
}

static struct value product(struct resolver *r, const struct syn_expr *expr, struct value a,
                            struct value b) {
  struct value result = a.kind == VALUE_POINT ? a : b;
  double factor = a.kind == VALUE_POINT ? b.x[0] : a.x[0];
  if (a.kind == VALUE_POINT && b.kind == VALUE_POINT)
    return operands_refused(r, expr, a, b);
  if (dimension_multiply(a.dimension, b.dimension, &result.dimension) != DIMENSION_OK)
    return operands_refused(r, expr, a, b);
  for (int i = 0; i < result.count; i++)
    result.x[i] *= factor;
  return result;
}

static struct value quotient(struct resolver *r, const struct syn_expr *expr, struct value a,
                             struct value b) {
  if (b.kind == VALUE_POINT)
    return operands_refused(r, expr, a, b);
  struct value result = a;
  if (dimension_divide(a.dimension, b.dimension, &result.dimension) != DIMENSION_OK)
    return operands_refused(r, expr, a, b);
  if (fabs(b.x[0]) <= 0) {
    diag_error(r->diags, DIAG_DIVIDE_BY_ZERO, b.at, "division by zero");
    return broken;
  }
  for (int i = 0; i < result.count; i++)
    result.x[i] /= b.x[0];
  return result;
}

static struct value operation(struct resolver *r, struct scope *scope,
                              const struct syn_expr *expr) {
  struct value a = expr_value(r, scope, expr->items[0]);
  struct value b = expr_value(r, scope, expr->items[1]);
  if (a.kind == VALUE_BROKEN || b.kind == VALUE_BROKEN)
    return broken;
  if (!is_arithmetic(a) || !is_arithmetic(b))
    return operands_refused(r, expr, a, b);
  if (dimension_is_temperature(a.dimension) || dimension_is_temperature(b.dimension))
    return reading_refused(r, syn_op_at(expr));
  struct value result;
  if (expr->kind == SYN_ADD || expr->kind == SYN_SUBTRACT)
    result = sum(r, expr, a, b);
  else if (expr->kind == SYN_MULTIPLY)
    result = product(r, expr, a, b);
  else
    result = quotient(r, expr, a, b);
  if (result.kind == VALUE_BROKEN)
    return result;
  result.at = expr->at;
  return finite_value(r, result);
}

static struct value called(struct resolver *r, struct scope *scope, const struct syn_expr *expr) {
  struct value *args = arena_alloc(r->arena, expr->item_count + 1, sizeof *args);
  bool whole = true;
  for (size_t i = 0; i < expr->item_count; i++) {
    args[i] = expr_value(r, scope, expr->items[i]);
    whole = whole && args[i].kind != VALUE_BROKEN;
  }
  if (!whole)
    return broken;
  struct value value = call_value(r, expr, args);
  value.at = expr->at;
  return finite_value(r, value);
}

static struct value point_refused(struct resolver *r, span at, const char *message,
                                  const char *help) {
  struct diag *diag = diag_error(r->diags, DIAG_POINT_UNIT, at, "%s", message);
  diag_help(diag, "%s", help);
  return broken;
}

static struct value point_value(struct resolver *r, struct scope *scope,
                                const struct syn_expr *expr) {
  struct value point = {.kind = VALUE_POINT, .at = expr->at, .count = (int)expr->item_count};
  const struct unit *unit = expr->unit ? unit_get(r, expr->unit) : NULL;
  bool whole = expr->item_count == 2 || expr->item_count == 3;
  for (size_t i = 0; i < expr->item_count && i < 3; i++) {
    struct value x = expr_value(r, scope, expr->items[i]);
    whole = whole && x.kind != VALUE_BROKEN;
    if (!whole)
      continue;
    if (x.kind != VALUE_NUMBER)
      return point_refused(r, x.at, "a coordinate is a single value",
                           "write a point as `(x, y) mm`");
    if (unit && !dimension_is_number(x.dimension))
      return point_refused(r, syn_unit_at(expr),
                           "the coordinates of this point have their dimension already",
                           "leave out the unit after the parenthesis");
    if (i > 0 && !dimension_equal(x.dimension, point.dimension))
      return point_refused(r, x.at, "the coordinates of a point must measure the same",
                           "give each coordinate its unit, as in `(width / 2, 0 mm)`");
    point.dimension = x.dimension;
    point.x[i] = unit ? unit_to_inside(unit, x.x[0]) : x.x[0];
  }
  if (!whole)
    return broken;
  if (unit)
    point.dimension = quantity_get(unit->quantity)->dimension;
  return finite_value(r, point);
}

/* The unit that stands last in an expression's text, NULL when there is none. */
static const struct syn_expr *last_unit(const struct syn_expr *expr) {
  const struct syn_expr *last = syn_unit(expr) ? expr : NULL;
  for (size_t i = 0; i < expr->item_count; i++) {
    const struct syn_expr *inner = last_unit(expr->items[i]);
    if (inner && (!last || inner->at.end > last->at.end))
      last = inner;
  }
  return last;
}

static bool uses_names(const struct syn_expr *expr) {
  bool uses = expr->kind == SYN_NAME;
  for (size_t i = 0; i < expr->item_count && !uses; i++)
    uses = uses_names(expr->items[i]);
  return uses;
}

/* `12 .. 140 mm`: the pure number takes the unit.  A named ratio keeps its value before
 * a percentage: it may have been written with its own `%`. */
static void take_unit(struct resolver *r, const struct syn_expr *expr, struct value *low) {
  const struct syn_expr *written = last_unit(expr->items[1]);
  if (!written || !dimension_is_number(low->dimension) || last_unit(expr->items[0]))
    return;
  const struct unit *unit = unit_get(r, written->unit);
  if (!unit || (unit->quantity == QUANTITY_RATIO && uses_names(expr->items[0])))
    return;
  low->dimension = quantity_get(unit->quantity)->dimension;
  low->x[0] = unit_to_inside(unit, low->x[0]);
}

static struct value range_value(struct resolver *r, struct scope *scope,
                                const struct syn_expr *expr) {
  struct value low = expr_value(r, scope, expr->items[0]);
  struct value high = expr_value(r, scope, expr->items[1]);
  if (low.kind == VALUE_BROKEN || high.kind == VALUE_BROKEN)
    return broken;
  if (low.kind != VALUE_NUMBER || high.kind != VALUE_NUMBER) {
    diag_error(r->diags, DIAG_VALUE_KIND, low.kind != VALUE_NUMBER ? low.at : high.at,
               "an end of a range is a single value");
    return broken;
  }
  take_unit(r, expr, &low);
  char first[VALUE_TEXT], second[VALUE_TEXT];
  if (!dimension_equal(low.dimension, high.dimension)) {
    value_phrase(&low, first);
    value_phrase(&high, second);
    struct diag *diag = diag_error(r->diags, DIAG_OPERANDS, expr->at,
                                   "this range goes from %s to %s", first, second);
    diag_help(diag, "give both ends their unit, as in `12 mm .. 140 mm`");
    return broken;
  }
  if (low.x[0] > high.x[0]) {
    struct diag *diag = diag_error(r->diags, DIAG_RANGE_ORDER, expr->at,
                                   "this range begins above its end: %s .. %s",
                                   figure_text(low.dimension, low.x[0], first),
                                   figure_text(high.dimension, high.x[0], second));
    diag_help(diag, "write the lower end first");
    return broken;
  }
  return finite_value(r, (struct value){.kind = VALUE_RANGE,
                                        .dimension = high.dimension,
                                        .count = 2,
                                        .x = {low.x[0], high.x[0]},
                                        .at = expr->at});
}

/* `4,72 in` is a list of two. */
static void list_refuse(struct resolver *r, const struct syn_expr *expr) {
  const char *text = (const char *)source_get(r->sources, expr->at.file)->text;
  struct diag *diag =
      diag_error(r->diags, DIAG_VALUE_KIND, expr->at, "a list does not belong here");
  if (expr->item_count != 2 || expr->items[0]->kind != SYN_NUMBER ||
      expr->items[1]->kind != SYN_NUMBER || expr->items[1]->at.begin != expr->items[0]->at.end + 1)
    return;
  span whole = expr->items[0]->at, rest = expr->items[1]->at;
  diag_help(diag, "the decimal sign is a point: write `%.*s.%.*s`", (int)(whole.end - whole.begin),
            text + whole.begin, (int)(rest.end - rest.begin), text + rest.begin);
}

struct value expr_value(struct resolver *r, struct scope *scope, const struct syn_expr *expr) {
  if (!expr)
    return broken;
  struct value value = broken;
  switch (expr->kind) {
  case SYN_BROKEN:
    return broken;
  case SYN_NUMBER:
    return number_value(r, expr, expr->number);
  case SYN_STRING:
    return string_value(r, expr);
  case SYN_NAME:
    value = name_value(r, scope, expr->text, expr->at);
    value.at = expr->at;
    return value;
  case SYN_NEGATE:
    return negated(r, scope, expr);
  case SYN_ADD:
  case SYN_SUBTRACT:
  case SYN_MULTIPLY:
  case SYN_DIVIDE:
    return operation(r, scope, expr);
  case SYN_CALL:
    return called(r, scope, expr);
  case SYN_POINT:
    return point_value(r, scope, expr);
  case SYN_RANGE:
    return range_value(r, scope, expr);
  case SYN_PARENTHESES:
    value = expr_value(r, scope, expr->items[0]);
    value.at = expr->at;
    return value;
  case SYN_LIST:
    list_refuse(r, expr);
    return broken;
  }
  return broken;
}
