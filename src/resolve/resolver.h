/* resolver.h - the state of one run: files, scopes, declarations.
 *
 * A scope is what one set of names lives in: the job file with every file that joins it,
 * and for each `use ... as NAME` a scope of its own, reached through that name. */
#ifndef RESOLVE_RESOLVER_H
#define RESOLVE_RESOLVER_H

#include <stdint.h>
#include <sys/types.h>

#include "borelay/arena.h"
#include "borelay/diag.h"
#include "borelay/job.h"
#include "borelay/source.h"
#include "borelay/syntax.h"
#include "resolve/name_table.h"
#include "resolve/value.h"

/* One file on disk, read and parsed once however often it is used. */
struct loaded_file {
  uint32_t file;
  struct source_identity identity;
  const char *path;
  struct syn_file *syntax;
};

enum decl_kind {
  DECL_VALUE, /* let or param */
  DECL_CELL,
  DECL_PROCEDURE,
  DECL_SHAPE,
  DECL_ENVELOPE,
  DECL_OVERLAY,
  DECL_JOB,
  DECL_KIND_COUNT
};

enum progress { PROGRESS_FRESH, PROGRESS_BUSY, PROGRESS_DONE };

/* A value given to a param from outside. */
struct setting {
  const struct syn_expr *value;
  struct scope *scope; /* whose names the value uses */
  span at;             /* the setting's name, or the --set text */
  struct setting *next;
};

struct flat;

struct decl {
  enum decl_kind kind;
  const char *name;
  const char *full_name; /* as the job reaches it: "hw.first" */
  const struct syn_statement *statement;
  struct scope *scope;
  const struct loaded_file *file;
  struct decl *next_in_bucket;
  uint32_t hash; /* of kind and name */

  enum progress value_progress; /* DECL_VALUE */
  const struct value *value;    /* broken until it is worked out */
  struct setting *settings;     /* from `use`, in order */
  struct setting *settings_last;
  struct setting *command_line; /* from --set; goes before */

  enum progress flat_progress; /* blocks: with `like` worked in */
  struct flat *flat;
  enum progress build_progress;
  const void *built;                  /* struct cell, procedure, ...; NULL where it had errors */
  const struct syn_expr *in_sequence; /* DECL_OVERLAY: where the job's sequence names it first */
};

/* A file that joins a scope, with its own joined files, for the reach of settings. */
struct joined {
  const struct loaded_file *file;
  struct joined **uses;
  size_t use_count;
  bool mark;
};

/* A `use` line with settings, to be bound once all declarations are known. */
struct use_settings {
  const struct syn_statement *statement;
  struct scope *using_scope;
  struct scope *target;
  struct joined *joined;
};

struct child_scope {
  const char *name;
  span at;
  struct scope *scope; /* NULL: its file could not be read, which was told */
};

struct scope {
  const char *prefix;    /* "" for the job file's, otherwise "hw." */
  struct decl **buckets; /* by hash; as many as a power of two */
  size_t bucket_count;
  struct decl **decls; /* in order of appearance */
  size_t decl_count, decl_room;
  struct child_scope *children;
  size_t child_count;
  struct name_table child_numbers; /* counted from 1 */
  struct joined **joined;
  size_t joined_count;
  bool incomplete; /* declarations of it are missing and that was told: so are no names */
};

/* What is being worked out, for the notes of a cycle. */
struct busy {
  struct decl *decl;
  span wanted_at;
  struct busy *outer;
  int depth;
};

/* Keys and units that were looked up lately, by the addresses of their names: places for as many as
 * so long a source may have. */
struct block_kind;
struct key;
struct unit;
struct known_key { /* keys.c */
  const struct block_kind *kind;
  const char *name;
  const struct key *key;
  size_t place; /* of the key among those of the block */
};
struct known_unit { /* units.c */
  const char *name;
  const struct unit *unit;
};
struct known {
  int key_bits, unit_bits; /* of the number of a place */
  struct known_key *keys;
  struct known_unit *units;
};

struct resolver {
  struct arena *arena;   /* where what is being made goes: mostly the lasting one */
  struct arena *lasting; /* of the model */
  struct source_set *sources;
  struct diag_list *diags;
  struct loaded_file **files; /* job file first, then depth first */
  size_t file_count;
  struct scope *root;
  struct scope **scopes;
  size_t scope_count;
  struct use_settings *uses;
  size_t use_count;
  struct decl **overlays; /* of all scopes, in order of appearance */
  size_t overlay_count;
  struct busy *busy;
  size_t compared;            /* work spent on what unknown names may have meant */
  const struct decl *passing; /* what is read for its faults alone, or NULL */
  struct known *known;        /* NULL: nothing yet */
};

/* Whatever is made for decl outlives what is being made now, unless it is that itself.  Returns
 * where things went before; r->arena is to be set to that when it is made. */
static inline struct arena *lasting_begin(struct resolver *r, const struct decl *decl) {
  struct arena *before = r->arena;
  if (decl != r->passing)
    r->arena = r->lasting;
  return before;
}

/* Where something with that address is kept, a number of so many bits: the upper ones of a product
 * with 2^64 over the golden ratio, so that near addresses lie far apart. */
static inline size_t address_place(uintptr_t address, int bits) {
  return (size_t)((uint64_t)address * 0x9E3779B97F4A7C15u >> (64 - bits));
}
struct known *known_make(struct resolver *r); /* keys.c */
static inline struct known *known_get(struct resolver *r) {
  if (!r->known)
    r->known = known_make(r);
  return r->known;
}

/* Most of a long file is a library of which a job wants little.  In a short one it costs more to
 * make things twice than it saves. */
enum { FEW_DECLARATIONS = 200 };

/* Appends a copy of one item; the result may have moved. */
void *list_append(struct arena *arena, void *items, size_t *count, const void *item, size_t size);

/* -- load.c: files and their `use` lines ---------------------------------- */
/* 0 when path cannot be read (errno is left); otherwise all files are loaded and declared. */
bool load_job_file(struct resolver *r, const char *path);

/* sift.c: reads a file; of blocks that are sound whatever the names around them mean, behind the
 * first FEW_DECLARATIONS, statements are kept as text alone. */
struct syn_file *file_sift(struct resolver *r, uint32_t file);

/* -- scope.c: names -------------------------------------------------------- */
struct scope *scope_new(struct resolver *r, const char *prefix);
struct scope *scope_alone(struct arena *arena, const char *prefix); /* none of the run's */
uint32_t name_hash(const char *name, uint32_t begin);
/* NULL where the name is taken, which is told. */
struct decl *scope_declare(struct resolver *r, struct scope *scope, enum decl_kind kind,
                           const struct syn_statement *statement, const struct loaded_file *file);
struct decl *scope_find(const struct scope *scope, enum decl_kind kind, const char *name);
struct child_scope *scope_child_find(const struct scope *scope, const char *name);
/* Follows dots; tells where nothing has that name, and gives NULL. */
struct decl *scope_get(struct resolver *r, struct scope *scope, enum decl_kind kind,
                       const char *name, span at);
span decl_name_place(const struct decl *decl); /* of a job, its head */
/* Of a source with thousands of unknown names each is told, but only for the first ones is looked
 * what was meant: the work of looking is r->compared. */
enum { MOST_COMPARED = 50000000 };
static inline bool near_is_sought(const struct resolver *r) {
  return r->compared < MOST_COMPARED;
}
/* The name of a file used in the scope that is nearest to it, or NULL. */
const char *scope_child_near(struct resolver *r, const struct scope *scope, const char *name);
const char *decl_kind_noun(enum decl_kind kind);    /* "shape" */
const char *decl_kind_article(enum decl_kind kind); /* "a shape" */

/* -- settings.c ------------------------------------------------------------ */
void settings_bind(struct resolver *r, const char **settings, size_t count);

/* -- names.c: lets and params ---------------------------------------------- */
struct value name_value(struct resolver *r, struct scope *scope, const char *name, span at);
void names_evaluate_all(struct resolver *r);
void cycle_tell(struct resolver *r, const struct decl *decl, span wanted_at, const char *what);

/* -- expr.c ----------------------------------------------------------------- */
struct value expr_value(struct resolver *r, struct scope *scope, const struct syn_expr *expr);
/* What stands between the quotes, as written; of a string that was never closed (which was
 * told) anything. */
const char *quoted_text(struct resolver *r, span at);
/* functions.c */
struct value call_value(struct resolver *r, const struct syn_expr *call, const struct value *args);

#endif
