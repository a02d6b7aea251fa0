/* Numbers in the values of options. */
#include <stdlib.h>
#include <string.h>

#include "borelay/token.h"
#include "command/command.h"
#include "resolve/units.h"

bool read_number(const char *text, double lo, double hi, double *value) {
  char *end;
  *value = strtod(text, &end);
  return *text >= '0' && *text <= '9' && *end == '\0' && *value >= lo && *value <= hi;
}

bool read_count(const char *text, uint64_t *count) {
  size_t length = strlen(text);
  *count = strtoull(text, NULL, 10);
  return length > 0 && length < 19 && strspn(text, "0123456789") == length;
}

static bool read_measure(const char *text, enum quantity quantity, double *inside) {
  char *end;
  const char *name = NULL;
  double written = strtod(text, &end);
  if (end == text || strspn(text, "0123456789.-+e") < (size_t)(end - text))
    return false;
  while (*end == ' ')
    end++;
  size_t length = unit_fit(end, &name);
  const struct unit *unit = length > 0 && end[length] == '\0' ? unit_find(name) : NULL;
  if (!unit || unit->quantity != quantity)
    return false;
  *inside = unit_to_inside(unit, written);
  return true;
}

bool read_length(const char *text, double *mm) {
  return read_measure(text, QUANTITY_LENGTH, mm);
}

bool read_time(const char *text, double *seconds) {
  return read_measure(text, QUANTITY_TIME, seconds) && *seconds >= 0;
}
