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
  struct diag *diag = diag_error(reading->r->diags, DIAG_KEY_MISSING, flat->statement->block->head,
                                 "%s lacks %s%s%s", block_title(flat, title, sizeof title), name,
                                 alternative ? " or " : "", alternative ? alternative : "");
  if (flat->replaced && item_of(flat->replaced, key))
    diag_note(diag, flat->replaced->statement->block->head,
              "it replaces this one, of which nothing is kept: `like` goes key by key only into "
              "blocks with a name");
  diag_help(diag, "%s: %s", name, key->help);
}

static span value_place(const struct flat_item *item) {
  const struct syn_statement *statement = item->statement;
  return statement->value ? statement->value->at : statement->block->head;
}

static const struct flat_item *item_read(const struct reading *reading,
                                         const struct key_reading *key) {
  return key->item > 0 ? &reading->flat->items[key->item - 1] : NULL;
}

/* What of the reading the item belongs to; NULL: it is an inner block and no key besides. */
static struct key_reading *reading_of(const struct reading *reading, const struct flat_item *item) {
  if (item->key)
    return &reading->keys[item->place];
  struct placed_key as = key_get(reading->r, reading->flat->kind, item->block->kind->word);
  return as.key && as.key->type == KEY_POINTS ? &reading->keys[as.place] : NULL;
}

/* Gives each key its item: of several the first.  Whether any belongs to a group. */
static bool items_spread(struct reading *reading) {
  const struct flat *flat = reading->flat;
  bool has_groups = false;
  for (uint32_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    struct key_reading *key = reading_of(reading, item);
    if (!key || key->item > 0)
      continue;
    key->item = i + 1;
    reading->given_count++;
    has_groups = has_groups || !item->key || item->key->group != GROUP_NONE;
  }
  return has_groups;
}

static void read_given(struct reading *reading, struct key_reading *out, const struct key *key,
                       void *target) {
  bool sound = key->type == KEY_POINTS ||
               key_value_read(reading->r, &reading->flat->items[out->item - 1], target);
  out->state = sound ? KEY_GIVEN : KEY_BROKEN;
  reading->is_whole = reading->is_whole && sound;
}

static void read_absent(struct reading *reading, struct key_reading *out, const struct key *key,
                        void *target, bool only_given) {
  if (reading->flat->misspelt_count > 0 && flat_is_misspelt(reading->flat, key->name)) {
    out->state = KEY_BROKEN;
    reading->is_whole = false;
  } else if (!only_given && key->need == need_required && key->type != KEY_POINTS) {
    out->state = KEY_BROKEN;
    key_missing(reading, key->name, NULL);
  } else if (!only_given && key_has_default(key)) {
    out->state = KEY_DEFAULT;
    key_default_land(reading->r, key, target);
  }
}

static void clash_tell(struct reading *reading, const struct flat_item *a,
                       const struct flat_item *b) {
  span a_at = syn_key_at(a->statement), b_at = syn_key_at(b->statement);
  bool in_order = a_at.file != b_at.file || a_at.begin <= b_at.begin;
  const struct flat_item *earlier = in_order ? a : b, *later = in_order ? b : a;
  struct diag *diag =
      diag_error(reading->r->diags, DIAG_KEY_CLASH, syn_key_at(later->statement),
                 "%s and %s exclude each other", later->key->name, earlier->key->name);
  diag_note(diag, syn_key_at(earlier->statement), "%s is given here", earlier->key->name);
  reading->is_whole = false;
}

/* Two of one group, both given in the block itself. */
static void check_clashes(struct reading *reading, enum group group) {
  const struct flat_item *first = NULL;
  struct key_reading *key = reading->keys;
  for (size_t p = 0; p < KEY_PARTS && reading->flat->kind->parts[p].table; p++) {
    const struct key_table *table = reading->flat->kind->parts[p].table;
    for (size_t i = 0; i < table->count; i++, key++) {
      const struct flat_item *item = item_read(reading, key);
      if (table->keys[i].group != group || !item)
        continue;
      if (first) {
        clash_tell(reading, first, item);
        key->state = KEY_BROKEN;
      } else {
        first = item;
      }
    }
  }
}

struct reading block_read(struct resolver *r, const struct flat *flat, void *draft,
                          bool only_given) {
  struct reading reading = {.r = r, .flat = flat, .is_whole = !flat->is_broken};
  reading.keys = arena_alloc(r->arena, key_count(flat->kind), sizeof *reading.keys);
  bool has_groups = items_spread(&reading);
  struct key_reading *out = reading.keys;
  for (size_t p = 0; p < KEY_PARTS && flat->kind->parts[p].table; p++) {
    const struct key_part *part = &flat->kind->parts[p];
    const struct key *key = part->table->keys, *end = key + part->table->count;
    for (; key < end; key++, out++) {
      if (out->item > 0)
        read_given(&reading, out, key, (char *)draft + part->target);
      else if (key->is_missed || flat->misspelt_count > 0)
        read_absent(&reading, out, key, (char *)draft + part->target, only_given);
    }
  }
  if (has_groups) {
    check_clashes(&reading, GROUP_STEP);
    check_clashes(&reading, GROUP_START);
    check_clashes(&reading, GROUP_PLACE);
  }
  return reading;
}

static const struct key_reading *reading_find(const struct reading *reading, const char *name) {
  struct placed_key found = key_get(reading->r, reading->flat->kind, name);
  return found.key ? &reading->keys[found.place] : NULL;
}

enum key_state reading_state(const struct reading *reading, const char *key) {
  const struct key_reading *found = reading_find(reading, key);
  return found ? found->state : KEY_ABSENT;
}

bool reading_is_given(const struct reading *reading, const char *key) {
  return reading_state(reading, key) == KEY_GIVEN;
}

bool reading_has(const struct reading *reading, const char *const *keys) {
  for (; *keys; keys++) {
    enum key_state state = reading_state(reading, *keys);
    if (state != KEY_GIVEN && state != KEY_DEFAULT)
      return false;
  }
  return true;
}

span reading_at(const struct reading *reading, const char *key) {
  const struct key_reading *found = reading_find(reading, key);
  const struct flat_item *item = found ? item_read(reading, found) : NULL;
  return item ? value_place(item) : reading->flat->statement->block->head;
}

void reading_fail(struct reading *reading) {
  reading->is_whole = false;
}

static void places_add(const struct reading *reading, struct key_place *places, size_t *count) {
  const struct flat *flat = reading->flat;
  for (size_t i = 0; i < flat->item_count; i++) {
    const struct flat_item *item = &flat->items[i];
    const struct key_reading *key = reading_of(reading, item);
    if (key && key->item == i + 1)
      places[(*count)++] =
          (struct key_place){.key = item->key ? item->key->name : item->block->kind->word,
                             .key_at = syn_key_at(item->statement),
                             .value_at = value_place(item)};
  }
}

struct origin origin_make(struct resolver *r, const struct reading *reading,
                          const struct reading *further) {
  struct origin origin = {.head = reading->flat->statement->block->head};
  if (r->arena != r->lasting)
    return origin; /* what is passed goes before anybody asks */
  size_t room = reading->given_count + (further ? further->given_count : 0), count = 0;
  struct key_place *places = arena_alloc(r->arena, room, sizeof *places);
  places_add(reading, places, &count);
  if (further)
    places_add(further, places, &count);
  origin.places = places;
  origin.place_count = count;
  return origin;
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
      diag_error(reading->r->diags, DIAG_KEY_MISSING, reading->flat->statement->block->head,
                 "%s lacks the block `%s%s%s`", block_title(reading->flat, title, sizeof title),
                 word, name ? " " : "", name ? name : "");
  const struct block_kind *inner = inner_find(reading->flat->kind, word, name);
  if (inner)
    diag_help(diag, "%s: %s", word, inner->help);
}
