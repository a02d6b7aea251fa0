/* What a key wants, in words, and a value of another kind told with what would be right. */
#include "resolve/key_wanted.h"

#include <string.h>

#include "resolve/units.h"

static const char *value_wanted(struct resolver *r, const struct key *key) {
  const struct quantity_info *q = quantity_get(key->quantity);
  struct value sample = {.dimension = q->dimension, .count = 2};
  char text[VALUE_TEXT];
  switch (key->type) {
  case KEY_POINT2:
  case KEY_POINTS:
    return arena_format(r->arena, "a point (x, y) in lengths");
  case KEY_POINT3:
    return arena_format(r->arena, "a point (x, y, z) in lengths");
  case KEY_RANGE:
    sample.kind = VALUE_RANGE;
    return arena_format(r->arena, "%s", value_phrase(&sample, text));
  case KEY_LENGTH_OR_ANGLE:
    return "a length or an angle";
  case KEY_WHOLE:
    return "a whole number";
  case KEY_STRING:
    return "a string";
  case KEY_NUMBER:
  case KEY_WORD:
  case KEY_SWITCH:
  case KEY_NAME:
  case KEY_NAMES:
    return q->phrase;
  }
  return q->phrase;
}

const char *key_wanted(struct resolver *r, const struct key *key) {
  const char *value = value_wanted(r, key);
  bool is_word = key->type == KEY_WORD || key->type == KEY_SWITCH;
  return key->words && !is_word ? arena_format(r->arena, "%s, or the word %s", value, key->words)
                                : value;
}

/* A literal with the unit of the wrong kind keeps its figure: write `180 mm/min`. */
static const char *mended_number(struct resolver *r, const struct key *key,
                                 const struct syn_expr *expr) {
  const struct quantity_info *q = quantity_get(key->quantity);
  bool is_plain =
      expr->kind == SYN_NUMBER || (expr->kind == SYN_NEGATE && expr->items[0]->kind == SYN_NUMBER);
  bool is_one = key->type == KEY_NUMBER || key->type == KEY_LENGTH_OR_ANGLE;
  if (!is_plain || !is_one || !q->unit)
    return NULL;
  const struct syn_expr *number = expr->kind == SYN_NUMBER ? expr : expr->items[0];
  uint32_t end = syn_unit(number) ? syn_unit_at(number).begin : number->at.end;
  const char *text = (const char *)source_get(r->sources, expr->at.file)->text;
  while (end > expr->at.begin && text[end - 1] == ' ')
    end--;
  return arena_format(r->arena, "%.*s %s", (int)(end - expr->at.begin), text + expr->at.begin,
                      q->unit);
}

static bool is_bare_number(const struct syn_expr *expr) {
  return expr->kind == SYN_NUMBER && !syn_unit(expr);
}

/* A range of plain numbers gets a unit: write `40 .. 100 mm`. */
static const char *mended_range(struct resolver *r, const struct key *key,
                                const struct syn_expr *expr) {
  const struct quantity_info *q = quantity_get(key->quantity);
  if (expr->kind != SYN_RANGE || key->type != KEY_RANGE || !q->unit ||
      !is_bare_number(expr->items[0]) || !is_bare_number(expr->items[1]))
    return NULL;
  return arena_format(r->arena, "%.9g .. %.9g %s", expr->items[0]->number, expr->items[1]->number,
                      q->unit);
}

/* A point of plain numbers gets a unit: write `(160, -40) mm`. */
static const char *mended_point(struct resolver *r, const struct key *key,
                                const struct syn_expr *expr) {
  bool is_point = key->type == KEY_POINT2 || key->type == KEY_POINTS || key->type == KEY_POINT3;
  if (!is_point || expr->kind != SYN_POINT ||
      expr->item_count != (key->type == KEY_POINT3 ? 3 : 2) || syn_unit(expr))
    return NULL;
  for (size_t i = 0; i < expr->item_count; i++) {
    const struct syn_expr *number = expr->items[i];
    if (!is_bare_number(number->kind == SYN_NEGATE ? number->items[0] : number))
      return NULL;
  }
  const char *text = (const char *)source_get(r->sources, expr->at.file)->text + expr->at.begin;
  int length = (int)(expr->at.end - expr->at.begin);
  return memchr(text, '\n', (size_t)length) ? NULL
                                            : arena_format(r->arena, "%.*s mm", length, text);
}

/* `30 mm - 100 mm` is a difference, `30 mm, 100 mm` a list, not a range. */
static const char *mended_ends(struct resolver *r, const struct key *key,
                               const struct syn_expr *expr) {
  bool is_pair = expr->kind == SYN_SUBTRACT || (expr->kind == SYN_LIST && expr->item_count == 2);
  if (key->type != KEY_RANGE || !is_pair || expr->items[0]->kind != SYN_NUMBER ||
      expr->items[1]->kind != SYN_NUMBER)
    return NULL;
  const char *text = (const char *)source_get(r->sources, expr->at.file)->text;
  span from = expr->items[0]->at, to = expr->items[1]->at;
  return arena_format(r->arena, "%.*s .. %.*s", (int)(from.end - from.begin), text + from.begin,
                      (int)(to.end - to.begin), text + to.begin);
}

static const char *example(struct resolver *r, const struct key *key) {
  const char *one = quantity_get(key->quantity)->example;
  switch (key->type) {
  case KEY_POINT2:
  case KEY_POINTS:
    return "(10, -4) mm";
  case KEY_POINT3:
    return "(10, -4, 250) mm";
  case KEY_RANGE:
    return arena_format(r->arena, "0 .. %s", one);
  case KEY_STRING:
    return "\"...\"";
  case KEY_NUMBER:
  case KEY_WHOLE:
  case KEY_LENGTH_OR_ANGLE:
  case KEY_WORD:
  case KEY_SWITCH:
  case KEY_NAME:
  case KEY_NAMES:
    return one;
  }
  return one;
}

bool key_wrong(struct resolver *r, const struct flat_item *item, enum diag_code code,
               const struct value *value, const char *found) {
  const char *mended = mended_number(r, item->key, item->statement->value);
  if (!mended)
    mended = mended_range(r, item->key, item->statement->value);
  if (!mended)
    mended = mended_point(r, item->key, item->statement->value);
  if (!mended)
    mended = mended_ends(r, item->key, item->statement->value);
  struct diag *diag = diag_error(r->diags, code, value->at, "%s wants %s; this is %s",
                                 item->key->name, key_wanted(r, item->key), found);
  diag_help(diag, "write `%s`%s", mended ? mended : example(r, item->key),
            mended ? "" : ", for instance");
  return false;
}
