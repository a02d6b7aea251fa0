/* Files and their `use` lines.  A file is read and parsed once; it is declared once in
 * each scope that it joins, in the place of its `use` line. */
#include <errno.h>
#include <string.h>

#include "borelay/suggest.h"
#include "resolve/resolver.h"

/* Far above what people write; below what would exhaust the machine. */
enum { DEEPEST_USE = 50, MOST_SCOPES = 2000 };

/* The files on the way from the job file to the one being read. */
struct open_file {
  const struct loaded_file *file;
  span use_at; /* the `use` line that opened it; file 0 for the job file */
  const struct open_file *outer;
  int depth;
};

struct place { /* where declarations go */
  struct scope *scope;
  struct joined *joined;
  const struct open_file *open;
};

static void declare_all(struct resolver *r, struct place place);

static const struct {
  const char *word;
  enum decl_kind kind;
} block_kinds[] = {
    {"cell", DECL_CELL},         {"procedure", DECL_PROCEDURE}, {"shape", DECL_SHAPE},
    {"envelope", DECL_ENVELOPE}, {"overlay", DECL_OVERLAY},     {"job", DECL_JOB},
};
enum { BLOCK_KIND_COUNT = sizeof block_kinds / sizeof *block_kinds };

/* BLOCK_KIND_COUNT where there is no such kind; word may be NULL. */
static size_t kind_index(const char *word) {
  size_t i = 0;
  while (word && i < BLOCK_KIND_COUNT && strcmp(block_kinds[i].word, word) != 0)
    i++;
  return word ? i : BLOCK_KIND_COUNT;
}

/* Gives the kind of block that was probably meant, or NULL. */
static const char *block_unknown(struct resolver *r, const struct syn_statement *statement) {
  struct suggest near = suggest_begin(statement->key);
  for (size_t i = 0; i < BLOCK_KIND_COUNT; i++)
    suggest_offer(&near, block_kinds[i].word);
  struct diag *diag = diag_error(r->diags, DIAG_BLOCK_UNKNOWN, syn_key_at(statement),
                                 "`%s` does not stand at the top level", statement->key);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  else
    diag_help(diag, "here stand use, param, let, cell, procedure, shape, envelope, overlay, job");
  return near.best;
}

/* Declares the name of a block whose kind is misspelt, so that nobody misses it. */
static void declare_lost(struct resolver *r, struct place place,
                         const struct syn_statement *statement, const char *word) {
  size_t i = kind_index(word);
  if (i == BLOCK_KIND_COUNT || block_kinds[i].kind == DECL_JOB || !statement->block->name.text ||
      strchr(statement->block->name.text, '.'))
    return;
  struct decl *decl =
      scope_declare(r, place.scope, block_kinds[i].kind, statement, place.open->file);
  if (decl)
    decl->flat_progress = decl->build_progress = PROGRESS_DONE;
}

static bool head_suits(struct resolver *r, const struct syn_statement *statement,
                       enum decl_kind kind) {
  if (kind == DECL_JOB ? statement->block->title.text == NULL
                       : statement->block->name.text == NULL) {
    struct diag *diag =
        diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->head, "this %s has no %s",
                   decl_kind_noun(kind), kind == DECL_JOB ? "title" : "name");
    diag_help(diag, kind == DECL_JOB ? "write `%s \"title\" {`" : "write `%s some_name {`",
              decl_kind_noun(kind));
    return false;
  }
  if (kind != DECL_JOB && strchr(statement->block->name.text, '.')) {
    diag_error(r->diags, DIAG_BLOCK_FORM, statement->block->name.at,
               "a declaration's name has no dots: what it is reached by is said by `use ... as`");
    return false;
  }
  return true;
}

static void declare_block(struct resolver *r, struct place place,
                          const struct syn_statement *statement) {
  size_t i = kind_index(statement->key);
  if (i == BLOCK_KIND_COUNT) {
    declare_lost(r, place, statement, block_unknown(r, statement));
    return;
  }
  enum decl_kind kind = block_kinds[i].kind;
  if (!head_suits(r, statement, kind))
    return;
  if (kind == DECL_JOB && place.open->outer) {
    struct diag *diag = diag_error(r->diags, DIAG_JOB_PLACE, statement->block->head,
                                   "a job stands only in the file given to the compiler");
    diag_note(diag, place.open->use_at, "this file is used here");
    return;
  }
  scope_declare(r, place.scope, kind, statement, place.open->file);
}

/* -- files ------------------------------------------------------------------ */

static struct loaded_file *file_find(struct resolver *r, struct source_identity wanted) {
  for (size_t i = 0; i < r->file_count; i++)
    if (r->files[i]->identity.device == wanted.device &&
        r->files[i]->identity.inode == wanted.inode)
      return r->files[i];
  return NULL;
}

/* The file at path, read and parsed now or before; NULL with errno set. */
static struct loaded_file *file_load(struct resolver *r, const char *path) {
  struct source_identity identity;
  struct loaded_file *file = NULL;
  if (r->file_count > 0) { /* the first one is not there yet: reading it tells what it is */
    if (!source_identify(r->sources, path, &identity))
      return NULL;
    file = file_find(r, identity);
  }
  if (file)
    return file;
  uint32_t number = source_read(r->sources, path, &identity);
  if (number == 0)
    return NULL;
  file = arena_alloc(r->arena, 1, sizeof *file);
  *file = (struct loaded_file){.file = number, .identity = identity, .path = path};
  r->files = list_append(r->arena, r->files, &r->file_count, &file, sizeof(file));
  file->syntax = file_sift(r, number);
  return file;
}

/* A used file's path is relative to the file that uses it. */
static const char *beside(struct resolver *r, const char *using, const char *path) {
  const char *slash = strrchr(using, '/');
  if (path[0] == '/' || !slash)
    return path;
  return arena_format(r->arena, "%.*s/%s", (int)(slash - using), using, path);
}

static bool is_open(const struct open_file *open, const struct loaded_file *file) {
  for (; open; open = open->outer)
    if (open->file == file)
      return true;
  return false;
}

static void cycle_of_use(struct resolver *r, const struct open_file *open,
                         const struct loaded_file *file, span at) {
  struct diag *diag = diag_error(r->diags, DIAG_CYCLE, at,
                                 "this file is in use already: `use` goes round in a circle");
  for (; open && open->file != file; open = open->outer)
    diag_note(diag, open->use_at, "by way of this line");
}

/* -- use -------------------------------------------------------------------- */

static struct joined *joined_find(const struct scope *scope, const struct loaded_file *file) {
  for (size_t i = 0; i < scope->joined_count; i++)
    if (scope->joined[i]->file == file)
      return scope->joined[i];
  return NULL;
}

static struct joined *join(struct resolver *r, struct scope *scope, const struct loaded_file *file,
                           const struct open_file *open) {
  struct joined *joined = arena_alloc(r->arena, 1, sizeof *joined);
  joined->file = file;
  scope->joined =
      list_append(r->arena, scope->joined, &scope->joined_count, &joined, sizeof(joined));
  declare_all(r, (struct place){.scope = scope, .joined = joined, .open = open});
  return joined;
}

/* False when the name is taken. */
static bool child_declare(struct resolver *r, struct scope *scope,
                          const struct syn_statement *use) {
  const struct child_scope *other = scope_child_find(scope, use->block->name.text);
  if (other) {
    struct diag *diag = diag_error(r->diags, DIAG_NAME_TWICE, use->block->name.at,
                                   "two files are used as `%s`", use->block->name.text);
    diag_note(diag, other->at, "the first one stands here");
    return false;
  }
  struct child_scope child = {.name = use->block->name.text, .at = use->block->name.at};
  scope->children =
      list_append(r->arena, scope->children, &scope->child_count, &child, sizeof child);
  name_table_add(r->arena, &scope->child_numbers, child.name, (uint32_t)scope->child_count);
  return true;
}

static struct scope *child_open(struct resolver *r, struct scope *scope, const char *name) {
  struct scope *inner = scope_new(r, arena_format(r->arena, "%s%s.", scope->prefix, name));
  scope_child_find(scope, name)->scope = inner;
  return inner;
}

static struct loaded_file *used_file(struct resolver *r, struct place place,
                                     const struct syn_statement *use) {
  struct loaded_file *file =
      file_load(r, beside(r, place.open->file->path, use->block->title.text));
  if (!file) {
    diag_error(r->diags, DIAG_FILE_UNREADABLE, use->block->title.at, "cannot read `%s`: %s",
               use->block->title.text, strerror(errno));
    return NULL;
  }
  if (is_open(place.open, file)) {
    cycle_of_use(r, place.open, file, use->block->title.at);
    return NULL;
  }
  if (place.open->depth >= DEEPEST_USE || r->scope_count >= MOST_SCOPES) {
    diag_error(r->diags, DIAG_USE_TOO_DEEP, use->block->title.at,
               "files use one another more than %d deep, or under more than %d names",
               (int)DEEPEST_USE, (int)MOST_SCOPES);
    return NULL;
  }
  return file;
}

static void use_file(struct resolver *r, struct place place, const struct syn_statement *use) {
  if (!use->block->title.text)
    return;
  bool is_named = use->block->name.text != NULL;
  if (is_named && !child_declare(r, place.scope, use))
    return;
  const struct loaded_file *file = used_file(r, place, use);
  if (!file) {
    place.scope->incomplete = place.scope->incomplete || !is_named;
    return;
  }
  struct scope *target = is_named ? child_open(r, place.scope, use->block->name.text) : place.scope;
  struct open_file open = {.file = file,
                           .use_at = use->block->title.at,
                           .outer = place.open,
                           .depth = place.open->depth + 1};
  struct joined *joined = joined_find(target, file);
  if (!joined)
    joined = join(r, target, file, &open);
  if (!is_named)
    place.joined->uses = list_append(r->arena, place.joined->uses, &place.joined->use_count,
                                     &joined, sizeof(joined));
  struct use_settings settings = {
      .statement = use, .using_scope = place.scope, .target = target, .joined = joined};
  r->uses = list_append(r->arena, r->uses, &r->use_count, &settings, sizeof settings);
}

static void declare_all(struct resolver *r, struct place place) {
  const struct syn_file *syntax = place.open->file->syntax;
  place.scope->incomplete = place.scope->incomplete || syntax->is_incomplete;
  for (size_t i = 0; i < syntax->item_count; i++) {
    const struct syn_statement *statement = syntax->items[i];
    switch (statement->kind) {
    case SYN_USE:
      use_file(r, place, statement);
      break;
    case SYN_BLOCK:
      declare_block(r, place, statement);
      break;
    case SYN_PARAM:
    case SYN_LET:
      scope_declare(r, place.scope, DECL_VALUE, statement, place.open->file);
      break;
    case SYN_PROPERTY:
    case SYN_SETTING:
      block_unknown(r, statement);
      break;
    }
  }
}

bool load_job_file(struct resolver *r, const char *path) {
  const struct loaded_file *file = file_load(r, path);
  if (!file)
    return false;
  r->root = scope_new(r, "");
  struct open_file open = {.file = file};
  join(r, r->root, file, &open);
  return true;
}
