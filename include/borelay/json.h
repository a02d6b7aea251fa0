/* json.h - a thin coat over the JSON library: figures and texts that cannot break the output. */
#ifndef BORELAY_JSON_H
#define BORELAY_JSON_H

#include <jansson.h>

/* A number; null where it is not finite, which JSON cannot say. */
json_t *json_number(double value);
/* A string; NULL gives "".  What is not UTF-8 becomes U+FFFD, byte by byte. */
json_t *json_text(const char *text);

/* Both take the value over.  Without memory they end the process with status 3, as an arena does.
 */
void json_put(json_t *object, const char *key, json_t *value);
void json_append(json_t *array, json_t *value);

/* Indented text with a last newline, twelve significant digits; the caller frees. */
char *json_layout(const json_t *value);

/* What was allocated, itself; NULL ends the process likewise. */
void *json_memory(void *memory);

#endif
