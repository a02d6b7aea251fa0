/* The value of --resume: overlay=NAME,layer=2,lap=17,along=120mm, in any order. */
#include "command/resume_option.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/token.h"
#include "resolve/units.h"

enum { PART_TEXT = 200 };

static bool is_whole(const char *text, int64_t *value) {
  char *end;
  long long read = strtoll(text, &end, 10);
  *value = read;
  return *text >= '0' && *text <= '9' && *end == '\0';
}

static bool is_length(const char *text, double *mm) {
  char *end;
  const char *name = NULL;
  double written = strtod(text, &end);
  if (end == text || strspn(text, "0123456789.-+e") < (size_t)(end - text))
    return false;
  while (*end == ' ')
    end++;
  size_t length = unit_fit(end, &name);
  const struct unit *unit = length > 0 && end[length] == '\0' ? unit_find(name) : NULL;
  if (!unit || unit->quantity != QUANTITY_LENGTH)
    return false;
  *mm = unit_to_inside(unit, written);
  return true;
}

/* One KEY=VALUE; false: *why is filled. */
static bool part_read(struct resume_option *option, char *part, char *why, size_t size) {
  char *value = strchr(part, '=');
  if (value) {
    *value++ = '\0';
    if (strcmp(part, "overlay") == 0 && *value) {
      snprintf(option->overlay, sizeof option->overlay, "%s", value);
      return true;
    }
    if (strcmp(part, "layer") == 0 && is_whole(value, &option->layer))
      return true;
    if (strcmp(part, "lap") == 0 && is_whole(value, &option->lap))
      return true;
    if (strcmp(part, "along") == 0 && is_length(value, &option->along)) {
      option->has_along = true;
      return true;
    }
  }
  snprintf(why, size, "--resume does not understand `%s%s%s`", part, value ? "=" : "",
           value ? value : "");
  return false;
}

bool resume_option_read(const char *text, struct resume_option *option, char *why, size_t size) {
  *option = (struct resume_option){.layer = 0};
  while (*text) {
    char part[PART_TEXT];
    size_t length = strcspn(text, ",");
    if (length >= sizeof part) {
      snprintf(why, size, "--resume has a part that is too long");
      return false;
    }
    memcpy(part, text, length);
    part[length] = '\0';
    if (!part_read(option, part, why, size))
      return false;
    text += length + (text[length] == ',');
  }
  if (option->overlay[0] && option->layer && option->lap && option->has_along)
    return true;
  snprintf(why, size, "--resume wants overlay, layer, lap and along");
  return false;
}
