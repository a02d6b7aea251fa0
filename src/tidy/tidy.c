/* From a file to its layout, on one page.
 *
 * The result is read again before it is given out: if a word or a comment were lost, the author
 * would be left with a file that says something else. */
#include "borelay/tidy.h"

#include <assert.h>
#include <string.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/syntax.h"
#include "job_parse.h"
#include "tidy/layout.h"

/* Words and comments one by one, passing over what the layout may change. */
struct walk {
  struct words words;
  size_t at;
  bool comment_is_due; /* the comment before the word at `at` */
};

struct piece {
  const uint8_t *begin;
  size_t length; /* 0: the end of the file */
};

static struct piece walk_next(struct walk *walk) {
  const uint8_t *text = walk->words.source->text;
  for (;;) {
    span at = walk->words.tokens[walk->at].at;
    if (walk->comment_is_due) {
      walk->comment_is_due = false;
      at = comment_before(&walk->words, walk->at);
      if (at.begin == at.end)
        continue;
    } else if (word_kind(&walk->words, walk->at) != TOKEN_YYEOF) {
      bool separates = word_separates(&walk->words, walk->at++);
      walk->comment_is_due = true;
      if (separates)
        continue;
    }
    return (struct piece){.begin = text + at.begin, .length = at.end - at.begin};
  }
}

static bool says_the_same(const struct words *a, const struct words *b) {
  struct walk from = {.words = *a, .comment_is_due = true};
  struct walk to = {.words = *b, .comment_is_due = true};
  for (;;) {
    struct piece x = walk_next(&from), y = walk_next(&to);
    if (x.length != y.length)
      return false;
    if (x.length == 0)
      return true;
    if (memcmp(x.begin, y.begin, x.length) != 0)
      return false;
  }
}

static struct words words_read(struct arena *arena, const struct source_set *sources,
                               uint32_t file) {
  struct diag_list *told_before = diag_list_new(arena, sources);
  return (struct words){.source = source_get(sources, file),
                        .tokens = tokens_read(arena, sources, file, told_before).items};
}

static bool is_sound(const struct words *from, const struct tidy_text *made) {
  struct arena *arena = arena_new();
  struct source_set *sources = source_set_new(arena);
  struct diag_list *diags = diag_list_new(arena, sources);
  uint32_t file =
      source_add_text(sources, "tidy", made->length > 0 ? made->bytes : "", made->length);
  bool sound = file != 0;
  if (sound) {
    syntax_parse(arena, sources, file, diags);
    struct words words = words_read(arena, sources, file);
    sound = diag_error_count(diags) == 0 && says_the_same(from, &words);
  }
  arena_free(arena);
  return sound;
}

bool tidy_make(struct arena *arena, const struct source_set *sources, uint32_t file,
               struct diag_list *diags, struct tidy_text *made) {
  size_t errors = diag_error_count(diags);
  syntax_parse(arena, sources, file, diags);
  if (diag_error_count(diags) > errors)
    return false;
  struct words words = words_read(arena, sources, file);
  struct lines lines = {.arena = arena, .source = words.source, .code = {.arena = arena}};
  layout_make(&words, &lines);
  *made = lines_text(&lines);
  bool sound = is_sound(&words, made);
  assert(sound);
  return sound;
}

uint32_t tidy_difference(const struct source_set *sources, uint32_t file,
                         const struct tidy_text *made) {
  const struct source *source = source_get(sources, file);
  uint32_t line = 1;
  for (size_t i = 0; i < source->length && i < made->length; i++) {
    if (source->text[i] != (uint8_t)made->bytes[i])
      return line;
    line += made->bytes[i] == '\n';
  }
  return source->length == made->length ? 0 : line;
}
