/* reader.h - the state of reading one file, shared by this room and the grammar. */
#ifndef PARSE_READER_H
#define PARSE_READER_H

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "job_parse.h"
#include "parse/tree.h"

/* Far beyond any real program, far below what would fill a stack: the passes behind walk
 * the tree by recursion. */
enum { MOST_NESTED = 200, MOST_OPERATORS = 500 };

struct open_block {
  span head; /* from its first word to before the brace */
  span brace;
  long indent;        /* of the head, as outlook_indent() has it */
  bool is_use;        /* the braces of a `use`: settings */
  bool is_incomplete; /* a statement inside was left out */
};

struct reader {
  struct arena *arena;         /* of the nodes */
  struct arena *aside;         /* of what the reader alone needs, while nodes are made and left */
  const struct syn_sift *sift; /* NULL: none */
  bool is_single;              /* one block is read */
  const struct source_set *sources;
  const struct source *source;
  struct diag_list *diags;
  struct job_pstate *parser; /* NULL: it heard of nothing yet */
  bool parser_is_done;

  /* Of the declaration that is being read, as far as was looked; reader_token() reads on.  The
   * last of the file is YYEOF. */
  struct lexer *lexer;
  struct token *tokens;
  size_t token_count;
  size_t at;            /* the next one to be read */
  struct token kept[2]; /* what `now` and `before` are when their declaration is over */

  /* The statement that is being read. */
  const struct token *first;
  int first_kind;                /* as what it was given to the parser */
  const struct token *now;       /* given to the parser last */
  int now_kind;                  /* as what: a newline, `}` or the end of the file may be END */
  const struct token *before;    /* given before that */
  bool has_fault;                /* the parser found one: the rest is passed over */
  bool is_split;                 /* ... and it is that the next statement begins at `now` */
  bool is_told;                  /* ... and the message was given already */
  bool is_skipped;               /* not for the parser at all */
  const struct token **brackets; /* open ( and [; room for MOST_NESTED, or all that there are */
  size_t bracket_count;
  const struct token *bracket_closed; /* the one that the last ) or ] was met by, or NULL */
  size_t operator_count;

  struct open_block *blocks; /* around the statement, innermost last; room for MOST_NESTED */
  size_t block_count;
  /* The first block, since none was open, behind which lines stand out no farther than
   * itself: if a `}` is missing, then probably its. */
  span suspect;
  uint32_t suspect_end; /* where such a line begins */
  bool has_strays;      /* the statement before stood outside of any block, and that was told */
  bool is_incomplete;   /* a declaration was left out */

  /* Statements whose block is not closed yet, those of inner blocks last. */
  struct syn_statement **statements;
  size_t statement_count, statement_room;
  bool has_body_begun; /* of the block that opens some were read already, from body_begin on */
  size_t body_begin;

  /* What the grammar made. */
  struct syn_statement **declarations; /* NULL where there is none */
  size_t declaration_count;
  struct syn_expr *value;
};

/* tree_statement.c: room for another one. */
void statements_grow(struct reader *reader);
static inline void statement_add(struct reader *reader, struct syn_statement *next) {
  if (reader->statement_count == reader->statement_room)
    statements_grow(reader);
  reader->statements[reader->statement_count++] = next;
}

void reader_read_to(struct reader *reader, size_t index);
/* Stays where it is while the declaration is read. */
static inline const struct token *reader_token(struct reader *reader, size_t index) {
  if (index >= reader->token_count)
    reader_read_to(reader, index);
  return &reader->tokens[index];
}
static inline const struct token *reader_peek(struct reader *reader) { /* the next token */
  return reader_token(reader, reader->at);
}
/* Between declarations: tokens that were read go, so that a long file takes no more memory for
 * them than its longest declaration. */
void reader_forget(struct reader *reader);
void reader_end_file(struct reader *reader);
span token_end(const struct token *token); /* empty, just behind it */
/* Gives the parser a token, as the given kind. */
void reader_push(struct reader *reader, int kind, const struct token *token);
/* A token that the text lacks, just behind the one before the next. */
struct token *reader_make(struct reader *reader, int kind);

/* Reads all tokens as a file, from behind a first one that is there already, or as one value
 * (feed.c). */
void reader_read_file(struct reader *reader);
void reader_read_value(struct reader *reader);

/* Marks the block that is being read, or the file, as incomplete. */
void reader_leave_out(struct reader *reader);

/* Looking ahead in the tokens (outlook.c). */

/* A newline, `;`, `}` or the end of the file. */
bool outlook_ends_statement(const struct token *token);
/* How a statement that begins with a word ends. */
enum ending {
  ENDS_PLAIN,        /* a property, or a `use` without settings */
  ENDS_BRACE,        /* a block */
  ENDS_BRACE_BELOW,  /* a block whose brace stands on a line of its own: a fault */
  ENDS_BRACE_MISSING /* surely meant as a block, without a brace: a fault */
};
/* ... of the one at reader->at. */
enum ending outlook_ending(struct reader *reader);
/* Does a declaration begin at reader->at, or the file end there? */
bool outlook_begins_declaration(struct reader *reader);
/* Bytes before the token on its line if it is the first there, else -1. */
long outlook_indent(const struct reader *reader, const struct token *token);
/* Where a bracket is open at a newline, reader->at: was it forgotten? */
bool outlook_is_bracket_forgotten(struct reader *reader);
/* Is the word a kind of block that stands at the top of a file only? */
bool outlook_is_top_kind(const struct token *word);
/* `use`, `param`, `let` or `job` meant by the misspelt word at reader->at, judged by what
 * follows it, or 0. */
int outlook_meant_keyword(struct reader *reader, enum ending ending);

/* Reads the next statements as far as they have one of the plainest forms, past the grammar
 * (plain.c). */
void plain_read(struct reader *reader);

/* Braces (braces.c). */

/* After a head: its brace, which may be the next token, or one that was made. */
void brace_open(struct reader *reader, const struct token *brace);
void brace_close(struct reader *reader, span at, bool is_incomplete);
/* Does a statement's indent, on a line of its own, tell that a `}` may be missing before it?
 * outer: the indent of the block that it seems to be in. */
bool brace_is_suspected(const struct reader *reader, long outer, long indent);
/* Looks at the first token of a statement for that sign. */
void brace_suspect(struct reader *reader);
/* The next token shows that no block can be open: tells of it and closes all. */
void brace_close_all(struct reader *reader);
/* Tells of a brace that is missing after the head, or below it; then it is the next token. */
void brace_tell(struct reader *reader, enum ending ending);
/* Passes over `{ ... }`, from the brace on. */
void brace_skip_group(struct reader *reader);

/* Messages (faults.c).  wanted[k]: a token of kind k could stand where reader->now stands. */
void reader_tell_fault(struct reader *reader, const bool *wanted);
void reader_tell_nesting(struct reader *reader, span at);
/* The text of a stretch of the source for a message: one line, blanks at its end and
 * what is too long cut. */
const char *reader_text(struct reader *reader, span at);

#endif
