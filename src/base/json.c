/* json.c - checked calls of the JSON library. */
#include "borelay/json.h"

#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static _Noreturn void end_without_memory(void) {
  fputs("borelay: out of memory\n", stderr);
  exit(3);
}

void *json_memory(void *memory) {
  if (!memory)
    end_without_memory();
  return memory;
}

json_t *json_number(double value) {
  return isfinite(value) ? json_real(value) : json_null();
}

/* Bytes of the UTF-8 sequence at p, or 0; the library is the judge. */
static size_t sequence_length(const char *p, size_t left) {
  for (size_t length = 1; length <= 4 && length <= left; length++) {
    json_t *probe = json_stringn(p, length);
    bool is_text = probe != NULL;
    json_decref(probe);
    if (is_text)
      return length;
  }
  return 0;
}

static json_t *mended_text(const char *text) {
  static const char REPLACEMENT[] = "\xEF\xBF\xBD";
  size_t left = strlen(text), used = 0;
  char *mended = malloc(3 * left + 1);
  if (!mended)
    end_without_memory();
  while (left > 0) {
    size_t length = sequence_length(text, left);
    size_t step = length ? length : 1, put = length ? length : 3;
    memcpy(mended + used, length ? text : REPLACEMENT, put);
    used += put;
    text += step;
    left -= step;
  }
  json_t *value = json_stringn(mended, used);
  free(mended);
  return value;
}

json_t *json_text(const char *text) {
  if (!text)
    return json_string("");
  json_t *value = json_string(text);
  return value ? value : mended_text(text);
}

void json_put(json_t *object, const char *key, json_t *value) {
  if (json_object_set_new(object, key, value) != 0)
    end_without_memory();
}

void json_append(json_t *array, json_t *value) {
  if (json_array_append_new(array, value) != 0)
    end_without_memory();
}

char *json_layout(const json_t *value) {
  char *text = json_dumps(value, JSON_INDENT(2) | JSON_REAL_PRECISION(12));
  size_t length = text ? strlen(text) : 0;
  char *line = text ? realloc(text, length + 2) : NULL;
  if (!line)
    end_without_memory();
  memcpy(line + length, "\n", 2);
  return line;
}
