/* Two views of what is declared, block beside block and key beside key. */
#include "compare/differences.h"

#include <math.h>
#include <string.h>

#include "borelay/arena.h"

const char *difference_kind_name(enum difference_kind kind) {
  static const char *const NAMES[] = {"changed", "added", "removed", "renamed"};
  return NAMES[kind];
}

struct finder {
  struct differences *found;
  const struct block_pairs *names;
  bool is_used;
};

static void add(struct finder *finder, struct difference difference) {
  struct differences *found = finder->found;
  if (found->count == found->room) {
    found->room = 2 * found->room + 16;
    found->items =
        arena_grow(found->arena, found->items, found->count, found->room, sizeof difference);
  }
  difference.is_used = finder->is_used;
  if (difference.change)
    difference.text = arena_format(found->arena, "%s, %s", difference.text, difference.change);
  found->used += difference.is_used;
  found->items[found->count++] = difference;
}

/* -- keys -------------------------------------------------------------------------------------- */

/* A block beside its counterpart, and the path that leads to both. */
struct place {
  const char *path;
  const struct declared_block *before, *after; /* NULL: not there */
  bool fills_up;                               /* what neither gives is told of the outer block */
};

static const char *path_of_key(struct arena *arena, const struct place *place, const char *key) {
  return *key ? arena_format(arena, "%s / %s", place->path, key) : place->path;
}

/* A default that changes to a given value, or the other way, is said to be one. */
static const char *marked(struct arena *arena, const struct place *place, const char *text,
                          const struct declared_key *key) {
  if (!text || key->is_given)
    return text;
  return arena_format(arena, place->fills_up ? "%s (as for all)" : "%s (default)", text);
}

/* Neither gives the key, or one side has nothing but a default.  What a default comes to follows
 * other keys, which are told; but for the order of welding. */
static bool says_nothing(const struct place *place, const struct declared_key *before,
                         const struct declared_key *after) {
  if (!before || !after)
    return !(before && before->is_given) && !(after && after->is_given);
  return !before->is_given && !after->is_given && (place->fills_up || !after->refers);
}

/* Both are there, and say different things. */
static void word_change(struct arena *arena, const struct place *place,
                        struct difference *difference, const struct declared_key *before,
                        const struct declared_key *after) {
  difference->kind = DIFFERENCE_CHANGED;
  difference_word(arena, difference, &before->value, &after->value);
  if (before->is_given != after->is_given) {
    difference->before = marked(arena, place, difference->before, before);
    difference->after = marked(arena, place, difference->after, after);
    difference->text = arena_format(arena, "%s -> %s", difference->before, difference->after);
  }
}

static void compare_key(struct finder *finder, const struct place *place,
                        const struct declared_key *before, const struct declared_key *after) {
  struct arena *arena = finder->found->arena;
  const struct declared_key *one = after ? after : before;
  if (!one || says_nothing(place, before, after) || keys_equal(finder->names, before, after))
    return;
  struct difference difference = {.path = path_of_key(arena, place, one->name)};
  if (before && after) {
    word_change(arena, place, &difference, before, after);
  } else if (after) {
    difference.kind = DIFFERENCE_ADDED;
    difference_word(arena, &difference, NULL, &after->value);
  } else {
    difference.kind = DIFFERENCE_REMOVED;
    difference_word(arena, &difference, &one->value, NULL);
  }
  if (before)
    difference.at_before = before->at;
  if (after)
    difference.at_after = after->at;
  add(finder, difference);
}

static void compare_keys(struct finder *finder, const struct place *place) {
  const struct declared_block *before = place->before, *after = place->after;
  for (size_t i = 0; after && i < after->key_count; i++)
    compare_key(finder, place, declared_key_find(before, after->keys[i].name), &after->keys[i]);
  for (size_t i = 0; before && i < before->key_count; i++)
    if (!declared_key_find(after, before->keys[i].name))
      compare_key(finder, place, &before->keys[i], NULL);
}

/* -- blocks ------------------------------------------------------------------------------------ */

static void compare_blocks(struct finder *finder, const struct place *place);

static bool is_like(const struct declared_block *a, const struct declared_block *b) {
  bool same_name = a->name && b->name ? strcmp(a->name, b->name) == 0 : a->name == b->name;
  return strcmp(a->word, b->word) == 0 && same_name;
}

/* From 1, where several have that kind and name; 0: it is the only one. */
static size_t number_among(const struct declared_block *outer, const struct declared_block *block) {
  size_t number = 0, count = 0;
  for (size_t i = 0; i < outer->inner_count; i++)
    if (is_like(&outer->inner[i], block)) {
      count++;
      if (&outer->inner[i] == block)
        number = count;
    }
  return count > 1 || block->is_ordered ? number : 0;
}

static const char *block_path(struct arena *arena, const struct place *outer,
                              const struct declared_block *block,
                              const struct declared_block *among) {
  const char *path = outer ? arena_format(arena, "%s / %s", outer->path, block->word) : block->word;
  if (block->name)
    path = arena_format(arena, "%s %s", path, block->name);
  size_t number = among ? number_among(among, block) : 0;
  return number > 0 ? arena_format(arena, "%s %zu", path, number) : path;
}

static void add_whole(struct finder *finder, const char *path, const struct declared_block *before,
                      const struct declared_block *after) {
  struct arena *arena = finder->found->arena;
  struct difference difference = {.path = path, .relative = FIGURE_NONE};
  difference.kind = before ? DIFFERENCE_REMOVED : DIFFERENCE_ADDED;
  difference.text = block_text(arena, before ? before : after);
  if (before) {
    difference.before = difference.text;
    difference.at_before = before->head;
  } else {
    difference.after = difference.text;
    difference.at_after = after->head;
  }
  add(finder, difference);
}

/* A block that only one side has, of a kind that says for itself what else holds for all: what it
 * gives, beside what the other side says for all. */
static void compare_with_outer(struct finder *finder, const struct place *place,
                               const struct declared_block *outer) {
  const struct declared_block *one = place->after ? place->after : place->before;
  for (size_t i = 0; i < one->key_count; i++) {
    const struct declared_key *given = &one->keys[i];
    const struct declared_key *above = declared_key_find(outer, given->name);
    struct declared_key *for_all = arena_alloc(finder->found->arena, 1, sizeof *for_all);
    if (above)
      *for_all = *above;
    for_all->is_given = false;
    const struct declared_key *other = above ? for_all : NULL;
    if (given->is_given)
      compare_key(finder, place, place->after ? other : given, place->after ? given : other);
  }
}

static void compare_inner(struct finder *finder, const struct place *outer,
                          const struct block_pair *pair) {
  struct arena *arena = finder->found->arena;
  const struct declared_block *one = pair->after ? pair->after : pair->before;
  struct place place = {
      .path = block_path(arena, outer, one, pair->after ? outer->after : outer->before),
      .before = pair->before,
      .after = pair->after,
      .fills_up = one->fills_up};
  bool is_alone = !pair->before || !pair->after;
  if (is_alone && one->fills_up)
    compare_with_outer(finder, &place, pair->after ? outer->before : outer->after);
  else if (is_alone && !one->is_optional)
    add_whole(finder, place.path, pair->before, pair->after);
  else
    compare_blocks(finder, &place);
}

static void compare_variant(struct finder *finder, const struct place *place) {
  const struct declared_block *before = place->before, *after = place->after;
  if (!before || !after || !before->variant || strcmp(before->variant, after->variant) == 0)
    return;
  struct arena *arena = finder->found->arena;
  add(finder,
      (struct difference){.kind = DIFFERENCE_CHANGED,
                          .path = arena_format(arena, "%s / kind", place->path),
                          .before = before->variant,
                          .after = after->variant,
                          .text = arena_format(arena, "%s -> %s", before->variant, after->variant),
                          .relative = FIGURE_NONE,
                          .at_before = before->head,
                          .at_after = after->head});
}

static void compare_blocks(struct finder *finder, const struct place *place) {
  static const struct declared_block nothing = {.word = ""};
  compare_variant(finder, place);
  compare_keys(finder, place);
  struct block_pairs inner = block_pairs_inner(finder->found->arena, finder->names,
                                               place->before ? place->before : &nothing,
                                               place->after ? place->after : &nothing);
  for (size_t i = 0; i < inner.count; i++)
    compare_inner(finder, place, &inner.items[i]);
}

/* -- top level --------------------------------------------------------------------------------- */

static bool is_named_alike(const struct block_pair *pair) {
  const char *a = pair->before->name, *b = pair->after->name;
  return a && b ? strcmp(a, b) == 0 : a == b;
}

static void compare_top(struct finder *finder, const struct block_pair *pair) {
  const struct declared_block *before = pair->before, *after = pair->after;
  const struct declared_block *one = after ? after : before;
  struct arena *arena = finder->found->arena;
  if (!one)
    return;
  struct place place = {
      .path = block_path(arena, NULL, one, NULL), .before = before, .after = after};
  finder->is_used = (before && before->is_used) || (after && after->is_used);
  if (!before || !after) {
    /* A param is a way to write values: they are compared where they are used. */
    if (strcmp(one->word, "param") != 0)
      add_whole(finder, place.path, before, after);
    return;
  }
  if (!is_named_alike(pair))
    add(finder,
        (struct difference){.kind = DIFFERENCE_RENAMED,
                            .path = place.path,
                            .before = before->name,
                            .after = after->name,
                            .text = arena_format(arena, "%s -> %s", before->name, after->name),
                            .relative = FIGURE_NONE,
                            .at_before = before->head,
                            .at_after = after->head});
  compare_blocks(finder, &place);
}

/* The job, then what it says about the part, then what it takes from the shop. */
static int rank_of(const struct block_pair *pair) {
  static const char *const ORDER[] = {"job",  "overlay",  "procedure", "shape",
                                      "cell", "envelope", "param"};
  const char *word = pair->after ? pair->after->word : pair->before->word;
  enum { COUNT = sizeof ORDER / sizeof ORDER[0] };
  for (int i = 0; i < COUNT; i++)
    if (strcmp(ORDER[i], word) == 0)
      return i;
  return COUNT;
}
enum { RANKS = 8 };

struct differences differences_find(struct arena *arena, const struct declared *before,
                                    const struct declared *after) {
  struct differences found = {.arena = arena};
  struct block_pairs pairs = block_pairs_top(arena, before, after);
  struct finder finder = {.found = &found, .names = &pairs};
  for (int rank = 0; rank < RANKS; rank++)
    for (size_t i = 0; i < pairs.count; i++)
      if (rank_of(&pairs.items[i]) == rank)
        compare_top(&finder, &pairs.items[i]);
  return found;
}
