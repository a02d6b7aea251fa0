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
  case KEY_TOUCH:
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

static struct key_info key_row(const struct block_kind *block, const struct key *key) {
  bool one_layer = strcmp(block->name, "layer") == 0;
  return (struct key_info){.block = block->name,
                           .key = key->name,
                           .dimension = type_name(key),
                           .words = key->words,
                           .required = one_layer ? "optional" : key->need,
                           .allowed = bounds_get(key->allowed)->text,
                           .help = key->help};
}

static struct key_info block_row(const char *outer, const struct block_kind *block) {
  return (struct key_info){.block = outer,
                           .key = block->word,
                           .dimension = "block",
                           .words = block->names,
                           .required = block->is_required ? "required" : "optional",
                           .allowed = block->is_repeatable ? "repeatable" : "",
                           .help = block->help};
}

/* Walks a block and its inner blocks; *left counts down to the row wanted. */
static bool walk(const struct block_kind *block, const char *outer, size_t *left,
                 struct key_info *row) {
  *row = block_row(outer, block);
  if ((*left)-- == 0)
    return true;
  for (size_t p = 0; p < KEY_PARTS && block->parts[p].table; p++)
    for (size_t i = 0; i < block->parts[p].table->count; i++) {
      *row = key_row(block, &block->parts[p].table->keys[i]);
      if ((*left)-- == 0)
        return true;
    }
  for (size_t i = 0; block->inner && block->inner[i]; i++)
    if (walk(block->inner[i], block->name, left, row))
      return true;
  return false;
}

struct key_info key_info_get(size_t index) {
  struct key_info row = {0};
  size_t left = index;
  for (size_t i = 0; all_blocks[i]; i++)
    if (walk(all_blocks[i], "", &left, &row))
      return row;
  return (struct key_info){0};
}

size_t key_info_count(void) {
  size_t left = SIZE_MAX;
  struct key_info row;
  for (size_t i = 0; all_blocks[i]; i++)
    walk(all_blocks[i], "", &left, &row);
  return SIZE_MAX - left;
}
