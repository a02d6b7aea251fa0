/* Touches, in the order in which they were made: the tip's point, or the head's point
 * with its angle. */
#include <string.h>

#include "resolve/key_value.h"
#include "resolve/read.h"

static bool touch_read(struct resolver *r, const struct flat_item *item, struct touch *touch) {
  touch->place = item->statement->at;
  if (item->block) {
    touch->has_head = true;
    struct reading reading = block_read(r, item->block, touch, false);
    return reading.is_whole;
  }
  struct key at = *item->key; /* the same row, landing in this touch */
  at.at = OFFSET(struct touch, at);
  struct flat_item here = *item;
  here.key = &at;
  touch->place = item->statement->value ? item->statement->value->at : item->statement->at;
  return key_value_read(r, &here, touch);
}

bool touches_read(struct reading *reading, struct touch **touches, size_t *count) {
  bool whole = true;
  *touches = NULL;
  *count = 0;
  for (size_t i = 0; i < reading->flat->item_count; i++) {
    const struct flat_item *item = &reading->flat->items[i];
    if (strcmp(item->statement->key, "touch") != 0)
      continue;
    struct touch touch = {0};
    whole = touch_read(reading->r, item, &touch) && whole;
    *touches = list_append(reading->r->arena, *touches, count, &touch, sizeof touch);
  }
  if (!whole)
    reading_fail(reading);
  return whole;
}
