/* Looking things up in the tables of keys. */
#include "resolve/keys.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

#include "borelay/num.h"

const char need_required[] = "required";

const struct bounds all_bounds[] = {
    [ALLOWED_ANY] = {"", -HUGE_VAL, HUGE_VAL, true, true},
    [ALLOWED_POSITIVE] = {"more than 0", 0, HUGE_VAL, true, true},
    [ALLOWED_NOT_NEGATIVE] = {"0 or more", 0, HUGE_VAL, false, true},
    [ALLOWED_SHARE] = {"0 or more, less than 1 (100 %)", 0, 1, false, true},
    [ALLOWED_RATIO] = {"0 to 1 (100 %)", 0, 1, false, false},
    [ALLOWED_TICK] = {"1 ms to 100 ms, in whole microseconds", 0.001, 0.1, false, false},
    [ALLOWED_LAYERS] = {"1 to 1000", 1, 1000, false, false},
    [ALLOWED_STRAIGHT] = {"1 or 2", 1, 2, false, false},
    [ALLOWED_TILT] = {"more than 0 deg, 45 deg at most", 0, NUM_PI / 4 + 1e-12, true, false},
    [ALLOWED_ABOVE_FREEZE] = {"no colder than -273.15 degC", -273.15, HUGE_VAL, false, true},
};

const struct block_kind *const all_blocks[] = {
    &job_block,       &cell_block,    &procedure_block, &round_block,   &racetrack_block,
    &rectangle_block, &outline_block, &envelope_block,  &overlay_block, NULL};

struct placed_key key_place(const struct block_kind *kind, const char *name) {
  size_t place = 0;
  for (size_t p = 0; p < KEY_PARTS && kind->parts[p].table; p++) {
    const struct key_table *table = kind->parts[p].table;
    for (size_t i = 0; i < table->count; i++, place++)
      if (*table->keys[i].name == *name && strcmp(table->keys[i].name, name) == 0)
        return (struct placed_key){&table->keys[i], place};
  }
  return (struct placed_key){NULL, 0};
}

const struct key *key_find(const struct block_kind *kind, const char *name) {
  return key_place(kind, name).key;
}

enum { FEWEST_KEY_BITS = 6, MOST_KEY_BITS = 10, UNITS_FEWER_BITS = 2, TEXT_PER_PLACE = 32 };

struct known *known_make(struct resolver *r) {
  struct known *known = arena_alloc(r->lasting, 1, sizeof *known);
  size_t text = 0;
  for (uint32_t file = 1; file <= source_count(r->sources); file++)
    text += source_get(r->sources, file)->length;
  known->key_bits = FEWEST_KEY_BITS;
  while (known->key_bits < MOST_KEY_BITS && text / TEXT_PER_PLACE >> known->key_bits > 0)
    known->key_bits++;
  known->unit_bits = known->key_bits - UNITS_FEWER_BITS;
  known->keys = arena_alloc(r->lasting, (size_t)1 << known->key_bits, sizeof *known->keys);
  known->units = arena_alloc(r->lasting, (size_t)1 << known->unit_bits, sizeof *known->units);
  return known;
}

size_t key_count(const struct block_kind *kind) {
  size_t count = 0;
  for (size_t p = 0; p < KEY_PARTS && kind->parts[p].table; p++)
    count += kind->parts[p].table->count;
  return count;
}

const struct block_kind *inner_find(const struct block_kind *kind, const char *word,
                                    const char *name) {
  for (size_t i = 0; kind->inner && kind->inner[i]; i++) {
    const struct block_kind *inner = kind->inner[i];
    if (strcmp(inner->word, word) != 0)
      continue;
    if (inner->naming != NAMING_FIXED || (name && word_place(inner->names, name) >= 0))
      return inner;
  }
  return NULL;
}

bool inner_word_exists(const struct block_kind *kind, const char *word) {
  for (size_t i = 0; kind->inner && kind->inner[i]; i++)
    if (strcmp(kind->inner[i]->word, word) == 0)
      return true;
  return false;
}

int word_place(const char *words, const char *word) {
  size_t length = strlen(word);
  int place = 0;
  for (const char *at = words; *at; place++) {
    size_t end = strcspn(at, " ");
    if (end == length && memcmp(at, word, length) == 0)
      return place;
    at += end;
    at += *at == ' ';
  }
  return -1;
}

size_t word_count(const char *words) {
  size_t count = *words != '\0';
  for (; *words; words++)
    count += *words == ' ';
  return count;
}

const char *word_get(struct arena *arena, const char *words, size_t index) {
  for (; index > 0; index--)
    words = strchr(words, ' ') + 1;
  return arena_text(arena, words, strcspn(words, " "));
}
