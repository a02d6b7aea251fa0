/* Lines and bends of an outline, in the order in which they were written: one follows on the
 * other. */
#include <string.h>

#include "resolve/key_value.h"
#include "resolve/read.h"

static bool line_read(struct resolver *r, const struct flat_item *item, struct outline_part *part) {
  struct key to = *item->key; /* the same row, landing in this part */
  to.at = OFFSET(struct outline_part, to);
  struct flat_item here = *item;
  here.key = &to;
  return key_value_read(r, &here, part);
}

static bool bend_read(struct resolver *r, const struct flat_item *item, struct outline_part *part) {
  part->is_bend = true;
  struct reading bend = block_read(r, item->block, part, false);
  return bend.is_whole;
}

bool outline_read(struct reading *reading, struct outline_part **parts, size_t *count) {
  bool whole = true;
  *parts = NULL;
  *count = 0;
  for (size_t i = 0; i < reading->flat->item_count; i++) {
    const struct flat_item *item = &reading->flat->items[i];
    bool is_line = item->key && strcmp(item->key->name, "line") == 0;
    if (!is_line && !item->block)
      continue;
    struct outline_part part = {.place =
                                    is_line ? item->statement->at : item->statement->block->head};
    bool sound = is_line ? line_read(reading->r, item, &part) : bend_read(reading->r, item, &part);
    whole = sound && whole;
    *parts = list_append(reading->r->arena, *parts, count, &part, sizeof part);
  }
  if (!whole)
    reading_fail(reading);
  return whole;
}
