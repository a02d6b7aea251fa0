/* plain.h - statements of the plainest forms, past the grammar; between the files that read them.
 */
#ifndef PARSE_PLAIN_H
#define PARSE_PLAIN_H

#include "parse/reader.h"

enum { MOST_PENDING = 4 };

/* A block whose head and statements so far were plain: the grammar has not heard of it. */
struct pending {
  /* name: of a job, its title; of: behind `like`; kind 0: not given */
  struct token kind, name, variant, like, of, brace;
  long indent;  /* as outlook_indent() has it */
  size_t begin; /* of its statements */
};

/* What is being read; the text ends in a NUL, which stops every step here. */
struct stretch {
  struct reader *reader;
  const uint8_t *text;    /* of the file */
  const uint8_t *limit;   /* the NUL behind it */
  const uint8_t *at;      /* the next byte */
  const uint8_t *line;    /* of what stands at `at` if it is the first there, or NULL */
  const uint8_t *read_to; /* behind the last whole statement, head or closing brace */
  struct token last;      /* which ends it */
  struct pending pending[MOST_PENDING]; /* innermost last */
  size_t pending_count;
  struct arena_mark mark; /* before the first of them */
};

static inline const uint8_t *skip_blanks(const uint8_t *at) {
  while (*at == ' ' || *at == '\t')
    at++;
  return at;
}

static inline span span_of(const struct stretch *stretch, const uint8_t *begin,
                           const uint8_t *end) {
  return (span){.file = stretch->last.at.file,
                .begin = (uint32_t)(begin - stretch->text),
                .end = (uint32_t)(end - stretch->text)};
}

/* The word at stretch->at, which goes on behind it; kind 0: there is none. */
static inline struct token plain_word(struct stretch *stretch) {
  struct token word = lexer_plain_word(stretch->reader->lexer, stretch->at);
  if (word.kind != 0)
    stretch->at += word.at.end - word.at.begin;
  return word;
}

/* Takes a string without escapes from stretch->at on; kind 0: there is none. */
struct token plain_string(struct stretch *stretch);
/* Takes a value from stretch->at on; NULL: it is not plain (plain_value.c). */
struct syn_expr *plain_value(struct stretch *stretch);

#endif
