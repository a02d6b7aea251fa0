/* Names and keywords.  A file has few different words beside the names that it gives: each is
 * looked at letter by letter and copied once, and found again by its bytes. */
#include <assert.h>
#include <string.h>

#include "borelay/arena.h"
#include "job_parse.h"
#include "lex/lex_state.h"

static const struct keyword {
  const char *text;
  int kind;
} keywords[] = {
    {"use", TOKEN_USE}, {"param", TOKEN_PARAM}, {"let", TOKEN_LET}, {"like", TOKEN_LIKE},
    {"as", TOKEN_AS},   {"range", TOKEN_RANGE}, {"job", TOKEN_JOB},
};

enum { LONGEST = 5 };

static int kind_of(const char *text, size_t length) {
  for (size_t i = 0; length <= LONGEST && i < sizeof keywords / sizeof *keywords; i++)
    if (*keywords[i].text == *text && strcmp(keywords[i].text, text) == 0)
      return keywords[i].kind;
  return TOKEN_NAME;
}

/* What is wrong with the name, or NULL: each of its parts begins with a letter, and
 * none has capitals. */
static const char *name_fault(const char *text) {
  for (const char *p = text; *p; p++) {
    if (*p == '_' && (p == text || p[-1] == '.'))
      return "begins with a letter";
    if (*p >= 'A' && *p <= 'Z')
      return "is written in lower case";
  }
  return NULL;
}

static void to_lower(char *text) {
  for (; *text; text++)
    if (*text >= 'A' && *text <= 'Z')
      *text = (char)(*text - 'A' + 'a');
}

/* At most eight bytes behind the word are read. */
static struct ends ends_of(const uint8_t *word, uint32_t length) {
  struct ends ends = {.last = 0};
  memcpy(&ends.first, word, sizeof ends.first);
  if (length < sizeof ends.first)
    ends.first &= ((uint64_t)1 << 8 * length) - 1;
  else
    memcpy(&ends.last, word + length - sizeof ends.last, sizeof ends.last);
  return ends;
}

static size_t place_of(const struct lexer *lexer, struct ends ends, uint32_t length) {
  uint64_t mixed = (ends.first ^ ends.last * 0x9E3779B97F4A7C15u ^ length) * 0xD6E8FEB86659FD93u;
  return (size_t)(mixed >> 32) & (lexer->kept_places - 1);
}

static struct word word_read(struct lexer *lexer, span at, struct ends ends) {
  uint32_t length = at.end - at.begin;
  char *text = arena_text(lexer->arena, (const char *)lexer->source->text + at.begin, length);
  const char *fault = name_fault(text);
  if (fault) {
    diag_error(lexer->diags, DIAG_NAME_FORM, at, "a name %s; this is `%s`", fault, text);
    to_lower(text); /* so that the name, told once, is found */
  }
  return (struct word){
      .text = text, .ends = ends, .length = fault ? 0 : length, .kind = kind_of(text, length)};
}

/* Both ends together are the whole of a word of up to 16 bytes. */
static bool is_word(const struct word *word, struct ends ends, const uint8_t *text,
                    uint32_t length) {
  return word->length == length && word->ends.first == ends.first && word->ends.last == ends.last &&
         (length <= 16 || memcmp(word->text, text, length) == 0);
}

/* The word from begin to end, where it is kept now. */
static struct word *word_find(struct lexer *lexer, uint32_t begin, uint32_t end) {
  const uint8_t *text = lexer->source->text + begin;
  uint32_t length = end - begin;
  struct ends ends = ends_of(text, length);
  struct word *kept = lexer->kept[place_of(lexer, ends, length)];
  if (!is_word(&kept[0], ends, text, length)) {
    struct word found = kept[1];
    span at = {.file = lexer->file, .begin = begin, .end = end};
    kept[1] = kept[0];
    /* A faulty one has no length, and is told each time. */
    kept[0] = is_word(&found, ends, text, length) ? found : word_read(lexer, at, ends);
  }
  return kept;
}

static struct token token_of(const struct lexer *lexer, const struct word *word, uint32_t begin,
                             uint32_t end) {
  return (struct token){.at = {.file = lexer->file, .begin = begin, .end = end},
                        .kind = (int16_t)word->kind,
                        .text = word->text};
}

struct token lexer_word(struct lexer *lexer, uint32_t begin, uint32_t end) {
  return token_of(lexer, word_find(lexer, begin, end), begin, end);
}

/* -- words without capitals ------------------------------------------------------------------ */

/* Whether it stands there, with nothing behind it that would be part of it. */
static bool stands_at(const struct word *word, const uint8_t *text, const uint8_t *limit) {
  uint32_t length = word->length;
  if (length == 0 || length > limit - text || !is_word(word, ends_of(text, length), text, length))
    return false;
  uint8_t behind = text[length];
  return behind == ' ' || !(is_letter_or_digit(behind) || behind == '.');
}

/* Not the one that was expected; NULL: none without capitals.  Apart, so that the usual way saves
 * no registers. */
__attribute__((noinline)) static struct word *other_word(struct lexer *lexer, const uint8_t *text) {
  const uint8_t *behind = name_scan(text), *all = lexer->source->text;
  if (behind == text)
    return NULL;
  struct word *word = word_find(lexer, (uint32_t)(text - all), (uint32_t)(behind - all));
  assert(lexer->last); /* the one before the first, if none */
  lexer->last->next = word;
  return word;
}

struct token lexer_plain_word(struct lexer *lexer, const uint8_t *text) {
  uint32_t begin = (uint32_t)(text - lexer->source->text);
  struct word *word = begin == lexer->last_begin ? lexer->last : lexer->last->next;
  if (!word || !stands_at(word, text, lexer->scanner.limit))
    word = other_word(lexer, text);
  if (!word)
    return (struct token){.kind = 0};
  lexer->last = word;
  lexer->last_begin = begin;
  return token_of(lexer, word, begin, begin + word->length);
}
