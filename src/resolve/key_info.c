/* The tables of keys as help and documentation read them: one row a key, one an inner
 * block. */
#include <string.h>

#include "borelay/resolve.h"
#include "resolve/keys.h"

static const char *type_name(const struct key *key) {
  switch (key->type) {
  case KEY_NUMBER:
    return quantity_get(key->quantity)->name;
  case KEY_WHOLE:
    return "whole number";
  case KEY_POINT2:
  case KEY_POINTS:
    return "point (x, y)";
  case KEY_POINT3:
    return "point (x, y, z)";
  case KEY_RANGE:
    return key->one_is_upper ? "range, or upper limit" : "range";
  case KEY_LENGTH_OR_ANGLE:
    return "length or angle";
  case KEY_WORD:
  case KEY_SWITCH:
    return "word";
  case KEY_STRING:
    return "string";
  case KEY_NAME:
    return "name";
  case KEY_NAMES:
    return "list of names";
  }
  return "";
}

/* A whole number, a ratio of nothing and the like have no usual unit. */
static bool has_quantity(const struct key *key) {
  switch (key->type) {
  case KEY_NUMBER:
  case KEY_POINT2:
  case KEY_POINTS:
  case KEY_POINT3:
  case KEY_RANGE:
  case KEY_LENGTH_OR_ANGLE:
    return true;
  case KEY_WHOLE:
  case KEY_WORD:
  case KEY_SWITCH:
  case KEY_STRING:
  case KEY_NAME:
  case KEY_NAMES:
    break;
  }
  return false;
}

static const char *naming_text(enum naming naming) {
  switch (naming) {
  case NAMING_OPTIONAL:
    return "[NAME]";
  case NAMING_REQUIRED:
    return "NAME";
  case NAMING_NUMBER:
    return "N";
  case NAMING_SHAPE:
    return "SHAPE";
  case NAMING_TITLE:
    return "\"title\"";
  case NAMING_NONE:
  case NAMING_FIXED:
    break;
  }
  return "";
}

static struct key_info key_row(const struct block_kind *block, const struct key *key) {
  bool one_layer = strcmp(block->name, "layer") == 0;
  bool refers = key->type == KEY_NAME || key->type == KEY_NAMES;
  const struct quantity_info *quantity = has_quantity(key) ? quantity_get(key->quantity) : NULL;
  return (struct key_info){.block = block->name,
                           .key = key->name,
                           .dimension = type_name(key),
                           .words = key->words,
                           .required = one_layer ? "optional" : key->need,
                           .allowed = bounds_get(key->allowed)->text,
                           .help = key->help,
                           .recurs = key->repeatable,
                           .measures = quantity ? quantity->name : NULL,
                           .unit = quantity ? quantity->unit : NULL,
                           .example = quantity ? quantity->example : NULL,
                           .refers = refers ? decl_kind_noun(key->refers) : NULL};
}

static struct key_info block_row(const char *outer, const struct block_kind *block) {
  bool is_named = block->naming == NAMING_FIXED || block->naming == NAMING_NUMBER;
  bool recurs = block->is_repeatable || is_named || (!*outer && block->naming == NAMING_REQUIRED);
  return (struct key_info){.block = outer,
                           .key = block->word,
                           .dimension = "block",
                           .words = block->names,
                           .required = block->is_required ? "required" : "optional",
                           .allowed = block->is_repeatable ? "repeatable" : "",
                           .help = block->help,
                           .refers =
                               block->naming == NAMING_SHAPE ? decl_kind_noun(DECL_SHAPE) : NULL,
                           .opens = block->name,
                           .recurs = recurs,
                           .named = naming_text(block->naming)};
}

/* A walk over all rows, that ends at one of them. */
struct rows {
  size_t left; /* rows before the one wanted */
  struct key_info row;
  bool touch_is_shown; /* its keys are the same wherever it stands */
};

static bool show(struct rows *rows, struct key_info row) {
  rows->row = row;
  return rows->left-- == 0;
}

static bool show_keys(struct rows *rows, const struct block_kind *block) {
  for (size_t p = 0; p < KEY_PARTS && block->parts[p].table; p++)
    for (size_t i = 0; i < block->parts[p].table->count; i++)
      if (show(rows, key_row(block, &block->parts[p].table->keys[i])))
        return true;
  return false;
}

/* A block and its inner blocks, which nest two deep at most. */
static bool show_block(struct rows *rows, const char *outer, const struct block_kind *block) {
  if (show(rows, block_row(outer, block)))
    return true;
  if (block == &touch_block) {
    if (rows->touch_is_shown)
      return false;
    rows->touch_is_shown = true;
  }
  if (show_keys(rows, block))
    return true;
  for (size_t i = 0; block->inner && block->inner[i]; i++)
    if (show_block(rows, block->name, block->inner[i]))
      return true;
  return false;
}

static bool show_all(struct rows *rows) {
  for (size_t i = 0; all_blocks[i]; i++)
    if (show_block(rows, "", all_blocks[i]))
      return true;
  return false;
}

struct key_info key_info_get(size_t index) {
  struct rows rows = {.left = index};
  return show_all(&rows) ? rows.row : (struct key_info){0};
}

size_t key_info_count(void) {
  struct rows rows = {.left = SIZE_MAX};
  show_all(&rows);
  return SIZE_MAX - rows.left;
}
