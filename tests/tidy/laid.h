/* laid.h - a text and its layout, for the tests of this room. */
#ifndef TESTS_TIDY_LAID_H
#define TESTS_TIDY_LAID_H

#include "borelay/syntax.h"
#include "borelay/tidy.h"
#include "support/told.h"

struct laid {
  struct told told;
  uint32_t file;
  bool is_sound;
  struct tidy_text text; /* with a NUL behind it */
};

static inline struct laid laid_make(const char *text, size_t length) {
  struct laid laid = {.told = told_begin()};
  laid.file = source_add_text(laid.told.sources, "a.lay", text, length);
  assert_int_not_equal(laid.file, 0);
  laid.is_sound =
      tidy_make(laid.told.arena, laid.told.sources, laid.file, laid.told.diags, &laid.text);
  if (laid.is_sound)
    laid.text.bytes =
        arena_text(laid.told.arena, laid.text.length ? laid.text.bytes : "", laid.text.length);
  return laid;
}

static inline void laid_end(struct laid *laid) {
  told_end(&laid->told);
}

/* A layout that there must be. */
static inline struct laid laid_soundly(const char *text, size_t length) {
  struct laid laid = laid_make(text, length);
  if (laid.is_sound)
    return laid;
  char *told = told_text(&laid.told);
  fail_msg("refused:\n%s\n%s", told, text);
  return laid;
}

/* The layout of the layout is itself. */
static inline void laid_stays(const struct tidy_text *text) {
  struct laid again = laid_soundly(text->bytes, text->length);
  assert_string_equal(again.text.bytes, text->bytes);
  assert_int_equal(again.text.length, text->length);
  assert_int_equal(tidy_difference(again.told.sources, again.file, &again.text), 0);
  laid_end(&again);
}

#endif
