/* Checking a value against its key's row of the table, and landing it. */
#include "resolve/key_value.h"

#include <math.h>
#include <string.h>

#include "borelay/suggest.h"
#include "resolve/build.h"
#include "resolve/key_wanted.h"
#include "resolve/units.h"

static void *field(void *target, size_t at) {
  return (char *)target + at - 1;
}

static void land_bool(void *target, size_t at, bool flag) {
  if (at)
    *(bool *)field(target, at) = flag;
}

/* -- bounds ------------------------------------------------------------------- */

static bool is_inside(const struct bounds *bounds, double x) {
  bool above = bounds->low_open ? x > bounds->low : x >= bounds->low;
  bool below = bounds->high_open ? x < bounds->high : x <= bounds->high;
  return above && below;
}

/* Written in figures alone: a share of 40 was meant as a percentage. */
static bool is_plain_number(struct resolver *r, span at) {
  const char *text = (const char *)source_get(r->sources, at.file)->text + at.begin;
  return strspn(text, "0123456789.") >= at.end - at.begin;
}

static bool bounds_hold(struct resolver *r, const struct key *key, const struct value *value) {
  const struct bounds *bounds = bounds_get(key->allowed);
  for (int i = 0; i < value->count; i++)
    if (!is_inside(bounds, value->x[i])) {
      char found[VALUE_TEXT];
      const char *unit = key->quantity == QUANTITY_RATIO ? "%" : quantity_get(key->quantity)->unit;
      bool by_dimension = key->type == KEY_LENGTH_OR_ANGLE;
      struct diag *diag = diag_error(
          r->diags, DIAG_VALUE_RANGE, value->at, "%s is %s here; it must be %s", key->name,
          by_dimension ? figure_text(value->dimension, value->x[i], found)
                       : figure_text_in(unit, value->x[i], found),
          bounds->text);
      if (key->quantity == QUANTITY_RATIO && value->x[i] > 1 &&
          is_inside(bounds, value->x[i] / 100) && is_plain_number(r, value->at))
        diag_help(diag, "write `%.9g %%`", value->x[i]);
      return false;
    }
  return true;
}

/* -- one function a type -------------------------------------------------------- */

static bool is_of(const struct value *value, enum quantity quantity) {
  return dimension_equal(value->dimension, quantity_get(quantity)->dimension);
}

/* The least of the limits below. */
static const double NEAR = 1e5;

/* Farther than any shop reaches.  Within it every row's figures fit the stream's whole numbers, and
 * num_sincos keeps its accuracy. */
static bool extent_holds(struct resolver *r, const struct flat_item *item,
                         const struct value *value) {
  bool is_near = true;
  for (int k = 0; k < value->count; k++)
    is_near = is_near && fabs(value->x[k]) <= NEAR;
  if (is_near)
    return true;
  static const struct {
    enum quantity quantity;
    double most;
    const char *text;
    const char *key; /* NULL: every key of that quantity */
  } EXTENTS[] = {{QUANTITY_LENGTH, 1e6, "lengths up to 1 km", NULL},
                 {QUANTITY_ANGLE, 1e6, "angles up to a million radians", NULL},
                 {QUANTITY_TIME, 1e6, "times up to a million seconds", NULL},
                 {QUANTITY_CURRENT, 1e6, "currents up to a million amperes", NULL},
                 {QUANTITY_VOLTAGE, 1e5, "voltages up to 100 kV", NULL},
                 {QUANTITY_SPEED, 1e6, "wire up to 1 km/s", "wire_feed_speed"}};
  for (size_t i = 0; i < sizeof EXTENTS / sizeof EXTENTS[0]; i++)
    for (int k = 0; k < value->count && is_of(value, EXTENTS[i].quantity); k++)
      if (fabs(value->x[k]) > EXTENTS[i].most &&
          (!EXTENTS[i].key || strcmp(EXTENTS[i].key, item->key->name) == 0)) {
        char found[VALUE_TEXT];
        diag_error(r->diags, DIAG_VALUE_RANGE, value->at, "%s is %s here; borelay handles %s",
                   item->key->name, figure_text(value->dimension, value->x[k], found),
                   EXTENTS[i].text);
        return false;
      }
  return true;
}

/* What is smaller is a slip of the pen, and too small to be divided by: mm, mm/s. */
static const double SPECK = 1e-6;

static bool is_speck(const struct key *key, double x) {
  bool is_sized = key->quantity == QUANTITY_LENGTH || key->quantity == QUANTITY_SPEED;
  return key->allowed == ALLOWED_POSITIVE && is_sized && x < SPECK;
}

static bool is_no_speck(struct resolver *r, const struct key *key, const struct value *value) {
  char found[VALUE_TEXT];
  if (!is_speck(key, value->x[0]))
    return true;
  diag_error(r->diags, DIAG_VALUE_RANGE, value->at, "%s is %s here; borelay handles %s", key->name,
             figure_text(value->dimension, value->x[0], found),
             key->quantity == QUANTITY_LENGTH ? "lengths from 1e-6 mm on"
                                              : "speeds from 1e-6 mm/s on");
  return false;
}

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
  bool either = item->key->type == KEY_LENGTH_OR_ANGLE && is_of(value, QUANTITY_ANGLE);
  if (!is_of(value, item->key->quantity) && !either)
    return key_wrong(r, item, DIAG_DIMENSION, value, value_phrase(value, found));
  if (value->count != count)
    return key_wrong(r, item, DIAG_VALUE_KIND, value, value_kind_phrase(value->kind, value->count));
  return bounds_hold(r, item->key, value) && extent_holds(r, item, value) &&
         is_no_speck(r, item->key, value);
}

static bool read_number(struct resolver *r, const struct flat_item *item, const struct value *value,
                        void *target) {
  const struct key *key = item->key;
  if (!suits(r, item, value, VALUE_NUMBER, 1))
    return false;
  if (target && key->at)
    *(double *)field(target, key->at) = landed(r, key, value->x[0]);
  if (target && key->type == KEY_LENGTH_OR_ANGLE)
    land_bool(target, key->flag, is_of(value, QUANTITY_ANGLE));
  return true;
}

static bool read_whole(struct resolver *r, const struct flat_item *item, const struct value *value,
                       void *target) {
  if (value->kind == VALUE_NUMBER && is_of(value, QUANTITY_NUMBER) &&
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

/* -- words and names -------------------------------------------------------------- */

static bool word_unknown(struct resolver *r, const struct key *key, const struct syn_expr *expr) {
  struct diag *diag;
  if (expr->kind == SYN_NAME) {
    diag = diag_error(r->diags, DIAG_WORD_UNKNOWN, expr->at, "%s is not a word for %s", expr->text,
                      key->name);
    struct suggest near = suggest_begin(expr->text);
    for (size_t i = 0; i < word_count(key->words); i++)
      suggest_offer(&near, word_get(r->arena, key->words, i));
    if (near.best) {
      diag_help(diag, "did you mean `%s`?  words: %s", near.best, key->words);
      return false;
    }
  } else {
    diag = diag_error(r->diags, DIAG_VALUE_KIND, expr->at, "%s wants a word", key->name);
  }
  diag_help(diag, "words: %s", key->words);
  return false;
}

/* A bare name that is no value: where a key takes a word besides, that may be meant. */
static bool is_unknown_word(const struct flat_item *item) {
  const struct syn_expr *expr = item->statement->value;
  return expr->kind == SYN_NAME && !strchr(expr->text, '.') && !item->scope->incomplete &&
         !scope_find(item->scope, DECL_VALUE, expr->text);
}

static bool word_or_value_unknown(struct resolver *r, const struct key *key,
                                  const struct syn_expr *expr) {
  struct suggest near = suggest_begin(expr->text);
  suggest_offer(&near, key->words);
  struct diag *diag =
      diag_error(r->diags, DIAG_WORD_UNKNOWN, expr->at, "%s wants %s; nothing is named `%s`",
                 key->name, key_wanted(r, key), expr->text);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  return false;
}

static void land_word(const struct key *key, int place, void *target) {
  if (key->type == KEY_SWITCH)
    land_bool(target, key->at, place == 1);
  else
    *(int *)field(target, key->at) = key->first_word + place;
}

static bool read_word(struct resolver *r, const struct key *key, const struct syn_expr *expr,
                      void *target) {
  if (expr->kind == SYN_BROKEN)
    return false;
  int place = expr->kind == SYN_NAME ? word_place(key->words, expr->text) : -1;
  if (place < 0)
    return word_unknown(r, key, expr);
  if (target)
    land_word(key, place, target);
  return true;
}

static bool read_name(struct resolver *r, const struct flat_item *item, void *target) {
  const struct syn_expr *expr = item->statement->value;
  if (expr->kind == SYN_BROKEN)
    return false;
  if (expr->kind != SYN_NAME) {
    diag_error(r->diags, DIAG_VALUE_KIND, expr->at, "%s wants the name of %s", item->key->name,
               decl_kind_article(item->key->refers));
    return false;
  }
  struct decl *decl = scope_get(r, item->scope, item->key->refers, expr->text, expr->at);
  const void *built = decl ? build_get(r, decl, expr->at) : NULL;
  if (built && target)
    *(const void **)field(target, item->key->at) = built;
  return built != NULL;
}

/* -- all ------------------------------------------------------------------------------ */

static bool read_value(struct resolver *r, const struct flat_item *item, void *target) {
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
  bool is_near = fabs(*x) <= NEAR || key->quantity == QUANTITY_FLOW; /* which may be any */
  return is_inside(bounds_get(key->allowed), *x) && is_near && !is_speck(key, *x);
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
    sound = read_word(r, key, expr, target);
  } else if (key->type == KEY_NAME) {
    sound = read_name(r, item, target);
  } else if (key->type == KEY_NAMES) {
    sound = true;
  } else if (key->words && expr->kind == SYN_NAME && word_place(key->words, expr->text) == 0) {
    if (target) {
      land_bool(target, key->flag, true);
      land_bool(target, key->has, true);
    }
    return true;
  } else if (key->words && is_unknown_word(item)) {
    sound = word_or_value_unknown(r, key, expr);
  } else {
    sound = read_value(r, item, target);
  }
  if (sound && target)
    land_bool(target, key->has, true);
  return sound;
}

void key_default_land(struct resolver *r, const struct key *key, void *target) {
  if (key->has_default_word)
    land_word(key, key->default_word, target);
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
