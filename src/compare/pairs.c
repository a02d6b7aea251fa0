/* Which block is which: by kind and name; where a name has gone and another has come, by what is
 * said under it.
 *
 * `use ... as NAME` makes the NAME part of a block's name: a block whose last part is the only one
 * left of its kind on both sides is the same block. */
#include <string.h>

#include "borelay/arena.h"
#include "compare/differences.h"

static bool same_text(const char *a, const char *b) {
  return a && b ? strcmp(a, b) == 0 : a == b;
}

const struct declared_key *declared_key_find(const struct declared_block *block, const char *name) {
  for (size_t i = 0; block && i < block->key_count; i++)
    if (strcmp(block->keys[i].name, name) == 0)
      return &block->keys[i];
  return NULL;
}

bool names_equal(const struct block_pairs *names, const char *refers, const char *before,
                 const char *after) {
  for (size_t i = 0; names && refers && i < names->count; i++) {
    const struct block_pair *pair = &names->items[i];
    if (pair->before && pair->after && strcmp(pair->before->word, refers) == 0 &&
        same_text(pair->before->name, before))
      return same_text(pair->after->name, after);
  }
  return same_text(before, after);
}

static bool values_equal(const struct block_pairs *names, const char *refers,
                         const struct declared_value *a, const struct declared_value *b) {
  if (a->kind != b->kind || a->count != b->count || a->name_count != b->name_count)
    return false;
  for (int i = 0; i < a->count; i++)
    if (!declared_figures_equal(a->x[i], b->x[i]))
      return false;
  for (size_t i = 0; i < a->name_count; i++)
    if (!names_equal(names, refers, a->names[i], b->names[i]))
      return false;
  return same_text(a->text, b->text) && a->is_angle == b->is_angle;
}

bool keys_equal(const struct block_pairs *names, const struct declared_key *before,
                const struct declared_key *after) {
  return before && after ? values_equal(names, after->refers, &before->value, &after->value)
                         : before == after;
}

static bool all_keys_equal(const struct block_pairs *names, const struct declared_block *before,
                           const struct declared_block *after) {
  for (size_t i = 0; i < before->key_count; i++)
    if (!keys_equal(names, &before->keys[i], declared_key_find(after, before->keys[i].name)))
      return false;
  for (size_t i = 0; i < after->key_count; i++)
    if (!declared_key_find(before, after->keys[i].name))
      return false;
  return true;
}

bool blocks_equal(struct arena *arena, const struct block_pairs *names,
                  const struct declared_block *before, const struct declared_block *after) {
  if (strcmp(before->word, after->word) != 0 || !same_text(before->variant, after->variant) ||
      !all_keys_equal(names, before, after))
    return false;
  struct block_pairs inner = block_pairs_inner(arena, names, before, after);
  for (size_t i = 0; i < inner.count; i++)
    if (!inner.items[i].before || !inner.items[i].after ||
        !blocks_equal(arena, names, inner.items[i].before, inner.items[i].after))
      return false;
  return true;
}

/* -- making pairs ------------------------------------------------------------------------------ */

/* Two lists of blocks, and which of the other list each was given to. */
struct matching {
  struct arena *arena;
  const struct block_pairs *names; /* of the top level; NULL: this is it */
  const struct declared_block *before, *after;
  size_t before_count, after_count;
  const struct declared_block **partner_before; /* of before[i] */
  const struct declared_block **partner_after;
};

static struct matching matching_make(struct arena *arena, const struct block_pairs *names,
                                     const struct declared_block *before, size_t before_count,
                                     const struct declared_block *after, size_t after_count) {
  struct matching made = {arena, names, before, after, before_count, after_count, NULL, NULL};
  made.partner_before = arena_alloc(arena, before_count + 1, sizeof *made.partner_before);
  made.partner_after = arena_alloc(arena, after_count + 1, sizeof *made.partner_after);
  return made;
}

static void join(struct matching *matching, size_t i, size_t k) {
  matching->partner_before[i] = &matching->after[k];
  matching->partner_after[k] = &matching->before[i];
}

/* Joins in order what is free on both sides and suits. */
typedef bool suits(const struct matching *matching, const struct declared_block *before,
                   const struct declared_block *after);

static void join_all(struct matching *matching, suits *suit) {
  for (size_t k = 0; k < matching->after_count; k++)
    for (size_t i = 0; i < matching->before_count && !matching->partner_after[k]; i++)
      if (!matching->partner_before[i] && suit(matching, &matching->before[i], &matching->after[k]))
        join(matching, i, k);
}

static bool suit_name(const struct matching *matching, const struct declared_block *before,
                      const struct declared_block *after) {
  return strcmp(before->word, after->word) == 0 &&
         (after->refers ? names_equal(matching->names, after->refers, before->name, after->name)
                        : same_text(before->name, after->name));
}

static bool suit_whole(const struct matching *matching, const struct declared_block *before,
                       const struct declared_block *after) {
  return suit_name(matching, before, after) &&
         blocks_equal(matching->arena, matching->names, before, after);
}

static struct block_pairs pairs_of(const struct matching *matching,
                                   const struct block_pairs *names) {
  struct block_pairs pairs = {.names = names};
  pairs.items = arena_alloc(matching->arena, matching->before_count + matching->after_count + 1,
                            sizeof *pairs.items);
  for (size_t k = 0; k < matching->after_count; k++)
    pairs.items[pairs.count++] =
        (struct block_pair){matching->partner_after[k], &matching->after[k]};
  for (size_t i = 0; i < matching->before_count; i++)
    if (!matching->partner_before[i])
      pairs.items[pairs.count++] = (struct block_pair){&matching->before[i], NULL};
  return pairs;
}

/* -- top level --------------------------------------------------------------------------------- */

static const char *last_part(const char *name) {
  const char *dot = name ? strrchr(name, '.') : NULL;
  return dot ? dot + 1 : name;
}

/* How many free blocks of that kind end in that name. */
static size_t free_alike(const struct declared_block *blocks, size_t count,
                         const struct declared_block *const *partners,
                         const struct declared_block *like) {
  size_t alike = 0;
  for (size_t i = 0; i < count; i++)
    alike += !partners[i] && strcmp(blocks[i].word, like->word) == 0 &&
             same_text(last_part(blocks[i].name), last_part(like->name));
  return alike;
}

static bool suit_last_part(const struct matching *m, const struct declared_block *before,
                           const struct declared_block *after) {
  return strcmp(before->word, after->word) == 0 &&
         same_text(last_part(before->name), last_part(after->name)) &&
         free_alike(m->before, m->before_count, m->partner_before, before) == 1 &&
         free_alike(m->after, m->after_count, m->partner_after, after) == 1;
}

static bool suit_content(const struct matching *matching, const struct declared_block *before,
                         const struct declared_block *after) {
  if (strcmp(before->word, after->word) != 0 || strcmp(before->word, "param") == 0)
    return false;
  struct block_pairs names = pairs_of(matching, NULL);
  return blocks_equal(matching->arena, &names, before, after);
}

struct block_pairs block_pairs_top(struct arena *arena, const struct declared *before,
                                   const struct declared *after) {
  struct matching matching =
      matching_make(arena, NULL, before->blocks, before->count, after->blocks, after->count);
  join_all(&matching, suit_name);
  join_all(&matching, suit_last_part);
  /* Twice: a block that names a renamed one is equal once that one has its partner. */
  join_all(&matching, suit_content);
  join_all(&matching, suit_content);
  return pairs_of(&matching, NULL);
}

/* -- inner blocks ------------------------------------------------------------------------------ */

static bool is_loose(const struct declared_block *block) {
  return !block->is_ordered;
}

/* Blocks whose place has a meaning: the longest row of pairs that say the same, in order; what lies
 * between two of them is paired in order where the kinds agree. */
struct row {
  struct matching *matching;
  const size_t *before, *after; /* places of the blocks in the lists */
  size_t before_count, after_count;
  uint32_t *longest; /* [i][k]: pairs among before[i..] and after[k..] */
};
enum { MOST_CELLS = 4000000 };

static bool row_equal(const struct row *row, size_t i, size_t k) {
  const struct matching *matching = row->matching;
  return suit_whole(matching, &matching->before[row->before[i]], &matching->after[row->after[k]]);
}

static uint32_t *row_cell(const struct row *row, size_t i, size_t k) {
  return &row->longest[i * (row->after_count + 1) + k];
}

static void row_measure(struct row *row) {
  row->longest = arena_alloc(row->matching->arena, (row->before_count + 1) * (row->after_count + 1),
                             sizeof(uint32_t));
  for (size_t i = row->before_count; i-- > 0;)
    for (size_t k = row->after_count; k-- > 0;) {
      uint32_t skip_one = *row_cell(row, i + 1, k), skip_other = *row_cell(row, i, k + 1);
      uint32_t most = skip_one > skip_other ? skip_one : skip_other;
      uint32_t both = row_equal(row, i, k) ? *row_cell(row, i + 1, k + 1) + 1 : 0;
      *row_cell(row, i, k) = both > most ? both : most;
    }
}

static void row_join_between(struct row *row, size_t i, size_t i_end, size_t k, size_t k_end) {
  struct matching *matching = row->matching;
  for (; i < i_end && k < k_end; i++, k++)
    if (strcmp(matching->before[row->before[i]].word, matching->after[row->after[k]].word) == 0)
      join(matching, row->before[i], row->after[k]);
}

static void row_join(struct row *row) {
  size_t i = 0, k = 0, i_from = 0, k_from = 0;
  while (i < row->before_count && k < row->after_count) {
    if (row_equal(row, i, k) && *row_cell(row, i, k) == *row_cell(row, i + 1, k + 1) + 1) {
      row_join_between(row, i_from, i, k_from, k);
      join(row->matching, row->before[i], row->after[k]);
      i_from = ++i;
      k_from = ++k;
    } else if (*row_cell(row, i + 1, k) >= *row_cell(row, i, k + 1)) {
      i++;
    } else {
      k++;
    }
  }
  row_join_between(row, i_from, row->before_count, k_from, row->after_count);
}

static size_t ordered_places(struct arena *arena, const struct declared_block *blocks, size_t count,
                             const size_t **places) {
  size_t found = 0, *list = arena_alloc(arena, count + 1, sizeof *list);
  for (size_t i = 0; i < count; i++)
    if (!is_loose(&blocks[i]))
      list[found++] = i;
  *places = list;
  return found;
}

static void join_ordered(struct matching *matching) {
  struct row row = {.matching = matching};
  row.before_count =
      ordered_places(matching->arena, matching->before, matching->before_count, &row.before);
  row.after_count =
      ordered_places(matching->arena, matching->after, matching->after_count, &row.after);
  if (row.before_count == 0 || row.after_count == 0)
    return;
  if (row.before_count * row.after_count > MOST_CELLS) {
    row_join_between(&row, 0, row.before_count, 0, row.after_count);
    return;
  }
  row_measure(&row);
  row_join(&row);
}

static bool suit_loose_whole(const struct matching *matching, const struct declared_block *before,
                             const struct declared_block *after) {
  return is_loose(before) && is_loose(after) && suit_whole(matching, before, after);
}

static bool suit_loose_name(const struct matching *matching, const struct declared_block *before,
                            const struct declared_block *after) {
  return is_loose(before) && is_loose(after) && suit_name(matching, before, after);
}

struct block_pairs block_pairs_inner(struct arena *arena, const struct block_pairs *names,
                                     const struct declared_block *before,
                                     const struct declared_block *after) {
  struct matching matching = matching_make(arena, names, before->inner, before->inner_count,
                                           after->inner, after->inner_count);
  join_ordered(&matching);
  join_all(&matching, suit_loose_whole);
  join_all(&matching, suit_loose_name);
  return pairs_of(&matching, names);
}
