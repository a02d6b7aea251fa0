/* resolve.h - from syntax to the job: files, names, values, tables of keys. */
#ifndef BORELAY_RESOLVE_H
#define BORELAY_RESOLVE_H

#include <stdbool.h>
#include <stddef.h>

#include "borelay/job.h"

struct arena;
struct diag_list;
struct source_set;

/* Reads path and whatever it uses, and resolves it.  settings: the texts "name=value" of
 * --set.  Returns NULL when there was any error (all are in diags); a path that cannot
 * be read at all sets *unreadable to its name and leaves errno. */
const struct job *job_resolve(struct arena *arena, struct source_set *sources,
                              struct diag_list *diags, const char *path, const char **settings,
                              size_t setting_count, const char **unreadable);

/* The same, and keeps what declared_make() reads: *kept is in the arena, NULL where path is
 * unreadable, and there for a job that is refused. */
struct resolver;
const struct job *job_resolve_kept(struct arena *arena, struct source_set *sources,
                                   struct diag_list *diags, const char *path, const char **settings,
                                   size_t setting_count, const char **unreadable,
                                   struct resolver **kept);

/* -- names, for editors -------------------------------------------------------------------- */

/* What a name means in a file of the job. */
struct name_info {
  const char *kind;  /* "shape", "param", "let", ...; "file" of the name of a `use ... as` */
  const char *name;  /* as the job reaches it */
  const char *value; /* of a param or let, in the author's unit; NULL: none, or broken */
  span at;           /* where it is declared: the name; of a file its beginning */
};

/* kind: "shape", "procedure", ..., or "value" for params and lets, where a name may also be that of
 * a used file.  file: by its number; it need not be the job file.  Tells nobody.  False: nothing.
 */
bool name_info_find(struct resolver *resolver, uint32_t file, const char *kind, const char *name,
                    struct name_info *info);
/* Name k, from 0, of a kind, as the file writes it ("w.steady"); NULL behind the last. */
const char *name_info_list(struct resolver *resolver, uint32_t file, const char *kind, size_t k);

/* -- tables, for help and documentation ------------------------------------------------------ */

/* The table of keys, as help and documentation read it. */
struct key_info {
  const char *block; /* "overlay", "layer", "shape round", ... */
  const char *key;
  const char *dimension; /* "length", "speed", "word", "name", ... */
  const char *words;     /* "on off", or NULL */
  const char *required;  /* "required", "optional", or the default as written */
  const char *allowed;   /* the range in words, or "" */
  const char *help;      /* one line */
  const char
      *measures;    /* what a number, and each figure of a point or range, is: "speed"; or NULL */
  const char *unit; /* the usual one of that; NULL: none is written */
  const char *example; /* of a number, "180 mm/min"; or NULL */
  const char *refers;  /* of a name: the kind of block that it names, "shape"; or NULL */
  const char *opens;   /* of a block: its name as `block` above has it; or NULL */
  bool recurs;         /* may stand several times in its block */
  const char *named; /* of a block: what follows its word, "NAME", "N", "\"title\""; "" : nothing */
};
size_t key_info_count(void);
struct key_info key_info_get(size_t index);
/* The key that shops call by that word, as amps; NULL: none. */
const char *key_called(const char *word);

/* The table of units. */
struct unit_info {
  const char *name;     /* "in" */
  const char *words;    /* "inch" */
  const char *measures; /* "length" */
  const char *usual;    /* the usual unit of that */
  double factor;        /* usual = factor * this + offset; as near as a double comes */
  double offset;
};
size_t unit_info_count(void);
struct unit_info unit_info_get(size_t index);

/* Reserved words, and the functions of expressions. */
struct word_info {
  const char *word;
  bool is_function;
  const char *form; /* "sqrt(x)", "param NAME = VALUE" */
  const char *help; /* one line */
};
size_t word_info_count(void);
struct word_info word_info_get(size_t index);

#endif
