/* Checking a value against its key's row of the table, and landing it. */
#include "resolve/key_value.h"

#include <math.h>

#include "resolve/key_bounds.h"
#include "resolve/key_field.h"
#include "resolve/key_wanted.h"
#include "resolve/key_word.h"
#include "resolve/units.h"

/* Units of job.h where they differ from the base units. */
static double landed(struct resolver *r, const struct key *key, double x) {
  bool differs = key->quantity == QUANTITY_FLOW || key->quantity == QUANTITY_ENERGY_PER_LENGTH;
  return differs ? unit_from_inside(unit_get(r, quantity_get(key->quantity)->unit), x) : x;
}

static bool suits(struct resolver *r, const struct flat_item *item, const struct value *value,
                  enum value_kind kind, int count) {
  char found[VALUE_TEXT];
  if (value->kind != kind)
    return key_wrong(r, item, DIAG_VALUE_KIND, value, value_phrase(value, found));
  bool either =
      item->key->type == KEY_LENGTH_OR_ANGLE && dimension_is(value->dimension, QUANTITY_ANGLE);
  if (!dimension_is(value->dimension, item->key->quantity) && !either)
    return key_wrong(r, item, DIAG_DIMENSION, value, value_phrase(value, found));
  if (value->count != count)
    return key_wrong(r, item, DIAG_VALUE_KIND, value, value_kind_phrase(value->kind, value->count));
  return key_allows(r, item->key, value);
}

static bool read_number(struct resolver *r, const struct flat_item *item, const struct value *value,
                        void *target) {
  const struct key *key = item->key;
  if (!suits(r, item, value, VALUE_NUMBER, 1))
    return false;
  if (target && key->at)
    *(double *)field(target, key->at) = landed(r, key, value->x[0]);
  if (target && key->type == KEY_LENGTH_OR_ANGLE)
    land_bool(target, key->flag, dimension_is(value->dimension, QUANTITY_ANGLE));
  return true;
}

static bool read_whole(struct resolver *r, const struct flat_item *item, const struct value *value,
                       void *target) {
  if (value->kind == VALUE_NUMBER && dimension_is(value->dimension, QUANTITY_NUMBER) &&
      (value->x[0] < floor(value->x[0]) || value->x[0] > floor(value->x[0])))
    return key_wrong(r, item, DIAG_VALUE_KIND, value, "not whole");
  if (!suits(r, item, value, VALUE_NUMBER, 1))
    return false;
  if (target)
    *(size_t *)field(target, item->key->at) = (size_t)value->x[0];
  return true;
}

static bool read_point(struct resolver *r, const struct flat_item *item, const struct value *value,
                       void *target) {
  bool three = item->key->type == KEY_POINT3;
  if (!suits(r, item, value, VALUE_POINT, three ? 3 : 2))
    return false;
  if (target && three)
    *(vec3 *)field(target, item->key->at) = (vec3){value->x[0], value->x[1], value->x[2]};
  else if (target && item->key->at)
    *(vec2 *)field(target, item->key->at) = (vec2){value->x[0], value->x[1]};
  return true;
}

static bool read_range(struct resolver *r, const struct flat_item *item, const struct value *value,
                       void *target) {
  const struct key *key = item->key;
  bool one = key->one_is_upper && value->kind == VALUE_NUMBER;
  if (one ? !suits(r, item, value, VALUE_NUMBER, 1) : !suits(r, item, value, VALUE_RANGE, 2))
    return false;
  double low = one ? -HUGE_VAL : landed(r, key, value->x[0]);
  double high = landed(r, key, value->x[one ? 0 : 1]);
  if (target)
    *(struct range *)field(target, key->at) = (struct range){low, high};
  return true;
}

static bool read_string(struct resolver *r, const struct flat_item *item, const struct value *value,
                        void *target) {
  char found[VALUE_TEXT];
  if (value->kind != VALUE_STRING)
    return key_wrong(r, item, DIAG_VALUE_KIND, value, value_phrase(value, found));
  if (target)
    *(const char **)field(target, item->key->at) = value->raw;
  if (target && item->key->text)
    *(const char **)field(target, item->key->text) = value->text;
  return true;
}

/* `30, 100 mm` where a range is wanted; but for `1,8 mm`, which has a decimal comma. */
static bool is_list_for_range(const struct flat_item *item) {
  const struct syn_expr *expr = item->statement->value;
  return item->key->type == KEY_RANGE && expr->kind == SYN_LIST && expr->item_count == 2 &&
         expr->items[1]->at.begin > expr->items[0]->at.end + 1;
}

static bool read_value(struct resolver *r, const struct flat_item *item, void *target) {
  if (is_list_for_range(item))
    return key_wrong(r, item, DIAG_VALUE_KIND, &(struct value){.at = item->statement->value->at},
                     "a list");
  struct value value = expr_value(r, item->scope, item->statement->value);
  if (value.kind == VALUE_BROKEN)
    return false;
  switch (item->key->type) {
  case KEY_NUMBER:
  case KEY_LENGTH_OR_ANGLE:
    return read_number(r, item, &value, target);
  case KEY_WHOLE:
    return read_whole(r, item, &value, target);
  case KEY_POINT2:
  case KEY_POINT3:
  case KEY_POINTS:
    return read_point(r, item, &value, target);
  case KEY_RANGE:
    return read_range(r, item, &value, target);
  case KEY_STRING:
    return read_string(r, item, &value, target);
  case KEY_WORD:
  case KEY_SWITCH:
  case KEY_NAME:
  case KEY_NAMES:
    break;
  }
  return false;
}

/* A number in a unit of the key's very quantity, within all bounds. */
static bool is_plain(struct resolver *r, const struct key *key, const struct syn_expr *number,
                     const char *unit_name, double *x) {
  if (number->kind != SYN_NUMBER || !unit_name)
    return false;
  const struct unit *unit = unit_get(r, unit_name);
  if (!unit || unit->quantity != key->quantity)
    return false;
  *x = unit_to_inside(unit, number->number);
  return key_allows_plain(key, *x);
}

/* Most values are such a number, or a range of two, of which the lower may lack the unit.  They
 * land at once; of any other the long way tells what is wrong with it. */
static bool plain_lands(struct resolver *r, const struct key *key, const struct syn_expr *expr,
                        void *target) {
  double low, high;
  if (key->type == KEY_NUMBER && expr->kind == SYN_NUMBER) {
    if (!is_plain(r, key, expr, expr->unit, &low))
      return false;
    if (target && key->at)
      *(double *)field(target, key->at) = landed(r, key, low);
    return true;
  }
  if (key->type != KEY_RANGE || expr->kind != SYN_RANGE)
    return false;
  const struct syn_expr *from = expr->items[0], *to = expr->items[1];
  if (!is_plain(r, key, to, syn_unit(to), &high) ||
      !is_plain(r, key, from, syn_unit(from) ? syn_unit(from) : to->unit, &low) || low > high)
    return false;
  if (target)
    *(struct range *)field(target, key->at) =
        (struct range){landed(r, key, low), landed(r, key, high)};
  return true;
}

bool key_value_read(struct resolver *r, const struct flat_item *item, void *target) {
  const struct key *key = item->key;
  const struct syn_expr *expr = item->statement->value;
  if (!expr)
    return false;
  bool sound;
  if (plain_lands(r, key, expr, target)) {
    sound = true;
  } else if (key->type == KEY_WORD || key->type == KEY_SWITCH) {
    sound = key_word_read(r, key, expr, target);
  } else if (key->type == KEY_NAME) {
    sound = key_name_read(r, item, target);
  } else if (key->type == KEY_NAMES) {
    sound = true;
  } else if (key->words && expr->kind == SYN_NAME && word_place(key->words, expr->text) == 0) {
    if (target) {
      land_bool(target, key->flag, true);
      land_bool(target, key->has, true);
    }
    return true;
  } else if (key->words && key_word_is_unknown(item)) {
    sound = key_word_or_value_unknown(r, key, expr);
  } else {
    sound = read_value(r, item, target);
  }
  if (sound && target)
    land_bool(target, key->has, true);
  return sound;
}

void key_default_land(struct resolver *r, const struct key *key, void *target) {
  if (key->has_default_word)
    key_word_land(key, key->default_word, target);
  else if (key->type == KEY_STRING) {
    *(const char **)field(target, key->at) = "";
    if (key->text)
      *(const char **)field(target, key->text) = "";
  }
  if (!key->default_unit || fabs(key->default_number) <= 0)
    return; /* a draft starts zeroed, and no default is a reading */
  const struct unit *unit = unit_get(r, key->default_unit);
  double inside = unit ? unit_to_inside(unit, key->default_number) : key->default_number;
  if (key->type == KEY_WHOLE)
    *(size_t *)field(target, key->at) = (size_t)inside;
  else
    *(double *)field(target, key->at) = landed(r, key, inside);
}
