/* Reading a block: every key of its tables is given, defaulted, missing or broken. */
#include "resolve/read.h"

#include <string.h>

#include "resolve/key_value.h"

static const struct flat_item *item_of(const struct flat *flat, const struct key *key) {
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    if (item->key == key ||
        (key->type == KEY_POINTS && item->block && strcmp(item->block->kind->word, key->name) == 0))
      return item;
  }
  return NULL;
}

static const char *block_title(const struct flat *flat, char *text, size_t size) {
  const char *word = flat->kind->word;
  if (flat->name)
    snprintf(text, size, "%s `%.80s`", word, flat->name);
  else
    snprintf(text, size, "%s", word);
  return text;
}

void key_missing(struct reading *reading, const char *name, const char *alternative) {
  const struct flat *flat = reading->flat;
  const struct key *key = key_find(flat->kind, name);
  reading->is_whole = false;
  /* What the block that was copied lacks too was told there. */
  if (flat->is_broken || (flat->copied && !item_of(flat->copied, key)))
    return;
  char title[128];
  struct diag *diag = diag_error(reading->r->diags, DIAG_KEY_MISSING, flat->statement->head,
                                 "%s lacks %s%s%s", block_title(flat, title, sizeof title), name,
                                 alternative ? " or " : "", alternative ? alternative : "");
  diag_help(diag, "%s: %s", name, key->help);
}

static void read_key(struct reading *reading, const struct key_part *part, const struct key *key,
                     void *draft, bool only_given) {
  struct key_reading *out = &reading->keys[reading->key_count++];
  void *target = (char *)draft + part->target;
  const struct flat_item *item = item_of(reading->flat, key);
  out->key = key;
  if (item) {
    const struct syn_statement *statement = item->statement;
    out->key_at = statement->key.at;
    out->value_at = statement->value ? statement->value->at : statement->head;
    bool sound = key->type == KEY_POINTS || key_value_read(reading->r, item, target);
    out->state = sound ? KEY_GIVEN : KEY_BROKEN;
  } else if (flat_is_misspelt(reading->flat, key->name)) {
    out->state = KEY_BROKEN;
  } else if (!only_given && strcmp(key->need, "required") == 0 && key->type != KEY_POINTS) {
    out->state = KEY_BROKEN;
    key_missing(reading, key->name, NULL);
  } else if (!only_given) {
    bool has_default = key->default_unit || key->has_default_word || key->type == KEY_STRING;
    out->state = has_default ? KEY_DEFAULT : KEY_ABSENT;
    key_default_land(key, target);
  }
  if (out->state == KEY_BROKEN)
    reading->is_whole = false;
}

static void clash_tell(struct reading *reading, const struct key_reading *a,
                       const struct key_reading *b) {
  bool in_order = a->key_at.file != b->key_at.file || a->key_at.begin <= b->key_at.begin;
  const struct key_reading *earlier = in_order ? a : b, *later = in_order ? b : a;
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_KEY_CLASH, later->key_at, "%s and %s exclude each other",
                 later->key->name, earlier->key->name);
  diag_note(diag, earlier->key_at, "%s is given here", earlier->key->name);
  reading->is_whole = false;
}

/* Two of one group, both given in the block itself. */
static void check_clashes(struct reading *reading, enum group group) {
  const struct key_reading *first = NULL;
  for (size_t i = 0; i < reading->key_count; i++) {
    struct key_reading *key = &reading->keys[i];
    if (key->key->group != group || key->key_at.file == 0)
      continue;
    if (first) {
      clash_tell(reading, first, key);
      key->state = KEY_BROKEN;
    } else {
      first = key;
    }
  }
}

struct reading block_read(struct resolver *r, const struct flat *flat, void *draft,
                          bool only_given) {
  struct reading reading = {.r = r, .flat = flat, .is_whole = !flat->is_broken};
  size_t count = 0;
  for (size_t p = 0; p < KEY_PARTS && flat->kind->parts[p].table; p++)
    count += flat->kind->parts[p].table->count;
  reading.keys = arena_alloc(r->arena, count + 1, sizeof *reading.keys);
  for (size_t p = 0; p < KEY_PARTS && flat->kind->parts[p].table; p++) {
    const struct key_part *part = &flat->kind->parts[p];
    for (size_t i = 0; i < part->table->count; i++)
      read_key(&reading, part, &part->table->keys[i], draft, only_given);
  }
  check_clashes(&reading, GROUP_STEP);
  check_clashes(&reading, GROUP_START);
  check_clashes(&reading, GROUP_PLACE);
  return reading;
}

static const struct key_reading *reading_find(const struct reading *reading, const char *key) {
  for (size_t i = 0; i < reading->key_count; i++)
    if (strcmp(reading->keys[i].key->name, key) == 0)
      return &reading->keys[i];
  return NULL;
}

enum key_state reading_state(const struct reading *reading, const char *key) {
  const struct key_reading *found = reading_find(reading, key);
  return found ? found->state : KEY_ABSENT;
}

bool reading_is_given(const struct reading *reading, const char *key) {
  return reading_state(reading, key) == KEY_GIVEN;
}

bool reading_has(const struct reading *reading, const char *keys) {
  for (size_t i = 0; i < word_count(keys); i++) {
    enum key_state state = reading_state(reading, word_get(reading->r->arena, keys, i));
    if (state != KEY_GIVEN && state != KEY_DEFAULT)
      return false;
  }
  return true;
}

span reading_at(const struct reading *reading, const char *key) {
  const struct key_reading *found = reading_find(reading, key);
  return found && found->key_at.file != 0 ? found->value_at : reading->flat->statement->head;
}

void reading_fail(struct reading *reading) {
  reading->is_whole = false;
}

struct origin origin_make(struct resolver *r, const struct reading *reading,
                          const struct reading *further) {
  const struct reading *both[] = {reading, further};
  struct key_place *places = NULL;
  size_t count = 0;
  for (size_t b = 0; b < (further ? 2u : 1u); b++)
    for (size_t i = 0; i < both[b]->key_count; i++) {
      const struct key_reading *key = &both[b]->keys[i];
      struct key_place place = {
          .key = key->key->name, .key_at = key->key_at, .value_at = key->value_at};
      if (key->key_at.file != 0)
        places = list_append(r->arena, places, &count, &place, sizeof place);
    }
  return (struct origin){
      .head = reading->flat->statement->head, .places = places, .place_count = count};
}

const struct flat *inner_get(const struct flat *flat, const char *word, const char *name) {
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat *block = flat->items[i].block;
    if (block && strcmp(block->kind->word, word) == 0 &&
        (!name || (block->name && strcmp(block->name, name) == 0)))
      return block;
  }
  return NULL;
}

void inner_missing(struct reading *reading, const char *word, const char *name) {
  reading->is_whole = false;
  const struct flat *copied = reading->flat->copied;
  if (reading->flat->is_broken || flat_is_misspelt(reading->flat, word) ||
      (copied && !inner_get(copied, word, name)))
    return;
  char title[128];
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_KEY_MISSING, reading->flat->statement->head,
                 "%s lacks the block `%s%s%s`", block_title(reading->flat, title, sizeof title),
                 word, name ? " " : "", name ? name : "");
  const struct block_kind *inner = inner_find(reading->flat->kind, word, name);
  if (inner)
    diag_help(diag, "%s: %s", word, inner->help);
}
