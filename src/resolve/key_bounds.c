/* What a key allows: bounds of its own, and how large and small anything may be. */
#include "resolve/key_bounds.h"

#include <math.h>
#include <string.h>

#include "resolve/units.h"

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

/* The least of the limits below. */
static const double NEAR = 1e5;

/* Farther than any shop reaches.  Within it every row's figures fit the stream's whole numbers, and
 * num_sincos keeps its accuracy. */
static bool extent_holds(struct resolver *r, const struct key *key, const struct value *value) {
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
    for (int k = 0; k < value->count && dimension_is(value->dimension, EXTENTS[i].quantity); k++)
      if (fabs(value->x[k]) > EXTENTS[i].most &&
          (!EXTENTS[i].key || strcmp(EXTENTS[i].key, key->name) == 0)) {
        char found[VALUE_TEXT];
        diag_error(r->diags, DIAG_VALUE_RANGE, value->at, "%s is %s here; borelay handles %s",
                   key->name, figure_text(value->dimension, value->x[k], found), EXTENTS[i].text);
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

bool key_allows(struct resolver *r, const struct key *key, const struct value *value) {
  return bounds_hold(r, key, value) && extent_holds(r, key, value) && is_no_speck(r, key, value);
}

bool key_allows_plain(const struct key *key, double x) {
  bool is_near = fabs(x) <= NEAR || key->quantity == QUANTITY_FLOW; /* which may be any */
  return is_inside(bounds_get(key->allowed), x) && is_near && !is_speck(key, x);
}
