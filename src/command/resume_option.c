/* The value of --resume: overlay=NAME,layer=2,lap=17,along=120mm, in any order. */
#include "command/resume_option.h"
#include "command/command.h"

#include <stdio.h>
#include <string.h>

enum { PART_TEXT = 200 };

static bool is_whole(const char *text, int64_t *value) {
  uint64_t count;
  if (!read_count(text, &count))
    return false;
  *value = (int64_t)count; /* 18 digits at most */
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
    if (strcmp(part, "along") == 0 && read_length(value, &option->along)) {
      option->has_along = true;
      return true;
    }
  }
  bool is_number = strcmp(part, "layer") == 0 || strcmp(part, "lap") == 0;
  if (value && (is_number || strcmp(part, "along") == 0))
    snprintf(why, size, "--resume wants %s as %s; `%s` is none", part,
             is_number ? "a whole number" : "a length with its unit", value);
  else
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
  snprintf(why, size,
           "--resume wants overlay, layer, lap and along, as `borelay locate` tells them");
  return false;
}
