/* File URIs (RFC 8089, RFC 3986) and paths. */
#include "editor/uri.h"
#include "support/close.h"

#include <stdlib.h>

static const struct row {
  const char *name, *uri, *path, *back; /* back NULL: the URI again */
} ROWS[] = {
    {"a plain one", "file:///a/b.lay", "/a/b.lay", NULL},
    {"a blank and a hash", "file:///a%20b/%23c.lay", "/a b/#c.lay", NULL},
    {"beyond ASCII", "file:///%C3%A9.lay", "/\xC3\xA9.lay", NULL},
    {"codes in small letters", "file:///a%2fb%c3%a9", "/a/b\xC3\xA9", "file:///a/b%C3%A9"},
    {"of this machine", "file://localhost/a.lay", "/a.lay", "file:///a.lay"},
    {"of another machine", "file://there/a.lay", "file://there/a.lay", NULL},
    {"no file", "untitled:One", "untitled:One", NULL},
    {"a code that is cut off", "file:///a%2", "/a%2", "file:///a%252"},
    {"a code that is none", "file:///a%zz", "/a%zz", "file:///a%25zz"},
    {"a NUL stays a code", "file:///a%00b", "/a%00b", "file:///a%2500b"},
    {"nothing", "", "", NULL},
};
enum { ROW_COUNT = sizeof ROWS / sizeof ROWS[0] };

static void the_path_is(void **state) {
  const struct row *row = *state;
  char *path = uri_path(row->uri), *back = uri_of_path(path);
  assert_string_equal(path, row->path);
  assert_string_equal(back, row->back ? row->back : row->uri);
  free(path);
  free(back);
}

int main(void) {
  struct CMUnitTest tests[ROW_COUNT];
  for (size_t i = 0; i < ROW_COUNT; i++)
    tests[i] =
        (struct CMUnitTest){ROWS[i].name, the_path_is, NULL, NULL, (void *)(uintptr_t)&ROWS[i]};
  return cmocka_run_group_tests(tests, NULL, NULL);
}
