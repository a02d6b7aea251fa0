/* Where a key was given, for messages of later stages. */
#include <string.h>

#include "borelay/job.h"

span origin_of_key(const struct origin *origin, const char *key) {
  for (size_t i = 0; i < origin->place_count; i++)
    if (strcmp(origin->places[i].key, key) == 0)
      return origin->places[i].value_at;
  return origin->head;
}
