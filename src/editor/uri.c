/* file:///a%20b/c.lay and /a b/c.lay. */
#include "editor/uri.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "editor/memory.h"

static int digit(char c) {
  if (c >= '0' && c <= '9')
    return c - '0';
  if (c >= 'a' && c <= 'f')
    return c - 'a' + 10;
  return c >= 'A' && c <= 'F' ? c - 'A' + 10 : -1;
}

/* A code of 00, or one that is cut off, stands as it is written. */
static char *decoded(const char *text) {
  char *path = memory_text(text, strlen(text));
  size_t used = 0;
  for (const char *at = text; *at; at++) {
    int high = *at == '%' ? digit(at[1]) : -1;
    int low = high >= 0 ? digit(at[2]) : -1;
    bool is_code = low >= 0 && (high > 0 || low > 0);
    path[used++] = is_code ? (char)(16 * high + low) : *at;
    at += is_code ? 2 : 0;
  }
  path[used] = '\0';
  return path;
}

char *uri_path(const char *uri) {
  static const char SCHEME[] = "file://", HERE[] = "localhost";
  if (strncasecmp(uri, SCHEME, sizeof SCHEME - 1) != 0)
    return memory_text(uri, strlen(uri));
  const char *path = uri + sizeof SCHEME - 1;
  if (strncasecmp(path, HERE, sizeof HERE - 1) == 0)
    path += sizeof HERE - 1;
  return *path == '/' ? decoded(path) : memory_text(uri, strlen(uri));
}

char *uri_of_path(const char *path) {
  static const char PLAIN[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-._~/";
  if (*path != '/')
    return memory_text(path, strlen(path));
  char *uri = memory_grow(NULL, 3 * strlen(path) + 8);
  size_t used = (size_t)sprintf(uri, "file://");
  for (const char *at = path; *at; at++) {
    if (strchr(PLAIN, *at))
      uri[used++] = *at;
    else
      used += (size_t)sprintf(uri + used, "%%%02X", (unsigned)(unsigned char)*at);
  }
  uri[used] = '\0';
  return uri;
}
