/* Scopes: what is declared under which name, and what to say where nothing is. */
#include <assert.h>
#include <string.h>
#include <strings.h>

#include "borelay/suggest.h"
#include "resolve/resolver.h"

static const struct {
  const char *noun, *article;
} kind_words[DECL_KIND_COUNT] = {
    [DECL_VALUE] = {"value", "a value"},
    [DECL_CELL] = {"cell", "a cell"},
    [DECL_PROCEDURE] = {"procedure", "a procedure"},
    [DECL_SHAPE] = {"shape", "a shape"},
    [DECL_ENVELOPE] = {"envelope", "an envelope"},
    [DECL_OVERLAY] = {"overlay", "an overlay"},
    [DECL_JOB] = {"job", "a job"},
};

const char *decl_kind_noun(enum decl_kind kind) {
  return kind_words[kind].noun;
}
const char *decl_kind_article(enum decl_kind kind) {
  return kind_words[kind].article;
}

void *list_append(struct arena *arena, void *items, size_t *count, const void *item, size_t size) {
  size_t n = *count;
  bool full = n == 0 || (n & (n - 1)) == 0; /* room doubles at each power of two */
  char *list = full ? arena_grow(arena, items, n, n ? n * 2 : 1, size) : items;
  memcpy(list + n * size, item, size);
  *count = n + 1;
  return list;
}

uint32_t name_hash(const char *name, uint32_t begin) {
  uint32_t hash = begin + 5381;
  for (; *name; name++)
    hash = hash * 33 + (unsigned char)*name;
  return hash;
}

enum { FIRST_BUCKETS = 16 };

struct scope *scope_alone(struct arena *arena, const char *prefix) {
  struct scope *scope = arena_alloc(arena, 1, sizeof *scope);
  scope->prefix = prefix;
  scope->bucket_count = FIRST_BUCKETS;
  scope->buckets = arena_alloc(arena, FIRST_BUCKETS, sizeof *scope->buckets);
  return scope;
}

struct scope *scope_new(struct resolver *r, const char *prefix) {
  struct scope *scope = scope_alone(r->arena, prefix);
  r->scopes = list_append(r->arena, r->scopes, &r->scope_count, &scope, sizeof(scope));
  return scope;
}

static struct decl **bucket_of(const struct scope *scope, uint32_t hash) {
  return &scope->buckets[hash & (scope->bucket_count - 1)];
}

struct decl *scope_find(const struct scope *scope, enum decl_kind kind, const char *name) {
  uint32_t hash = name_hash(name, (uint32_t)kind);
  struct decl *decl = *bucket_of(scope, hash);
  while (decl && (decl->hash != hash || decl->kind != kind || strcmp(decl->name, name) != 0))
    decl = decl->next_in_bucket;
  return decl;
}

static void bucket_add(struct scope *scope, struct decl *decl) {
  struct decl **bucket = bucket_of(scope, decl->hash);
  decl->next_in_bucket = *bucket;
  *bucket = decl;
}

/* As many buckets as declarations, so that each holds about one. */
static void decl_add(struct resolver *r, struct scope *scope, struct decl *decl) {
  if (scope->decl_count == scope->bucket_count) {
    scope->bucket_count *= 2;
    scope->buckets = arena_alloc(r->arena, scope->bucket_count, sizeof *scope->buckets);
    for (size_t i = 0; i < scope->decl_count; i++)
      bucket_add(scope, scope->decls[i]);
  }
  bucket_add(scope, decl);
  scope->decls = list_append(r->arena, scope->decls, &scope->decl_count, &decl, sizeof(decl));
}

struct child_scope *scope_child_find(const struct scope *scope, const char *name) {
  uint32_t number = name_table_find(&scope->child_numbers, name);
  if (number == 0)
    return NULL;
  assert(scope->children); /* what is numbered is there */
  return &scope->children[number - 1];
}

const char *scope_child_near(struct resolver *r, const struct scope *scope, const char *name) {
  struct suggest near = suggest_begin(name);
  for (size_t i = 0; near_is_sought(r) && i < scope->child_count; i++)
    suggest_offer(&near, scope->children[i].name);
  r->compared += near.work;
  return near.best;
}

static span name_place(enum decl_kind kind, const struct syn_statement *statement) {
  if (kind == DECL_VALUE)
    return syn_key_at(statement);
  return kind == DECL_JOB ? statement->block->head : statement->block->name.at;
}

span decl_name_place(const struct decl *decl) {
  return name_place(decl->kind, decl->statement);
}

struct decl *scope_declare(struct resolver *r, struct scope *scope, enum decl_kind kind,
                           const struct syn_statement *statement, const struct loaded_file *file) {
  const char *name = kind == DECL_VALUE ? statement->key
                     : kind == DECL_JOB ? ""
                                        : statement->block->name.text;
  struct decl *other = scope_find(scope, kind, name);
  if (other) {
    struct diag *diag =
        kind == DECL_JOB ? diag_error(r->diags, DIAG_JOB_PLACE, statement->block->head,
                                      "a second job in one program")
                         : diag_error(r->diags, DIAG_NAME_TWICE, name_place(kind, statement),
                                      "there are two %ss named `%s`", decl_kind_noun(kind), name);
    diag_note(diag, name_place(kind, other->statement), "the first one stands here");
    return NULL;
  }
  static const struct value nothing = {.kind = VALUE_BROKEN};
  struct decl *decl = arena_alloc(r->arena, 1, sizeof *decl);
  *decl = (struct decl){
      .kind = kind,
      .name = name,
      .hash = name_hash(name, (uint32_t)kind),
      .full_name = *scope->prefix ? arena_format(r->arena, "%s%s", scope->prefix, name) : name,
      .statement = statement,
      .value = &nothing,
      .scope = scope,
      .file = file};
  decl_add(r, scope, decl);
  if (kind == DECL_OVERLAY)
    r->overlays = list_append(r->arena, r->overlays, &r->overlay_count, &decl, sizeof(decl));
  return decl;
}

static void child_unknown(struct resolver *r, const struct scope *scope, const char *name,
                          span at) {
  const char *near = scope_child_near(r, scope, name);
  struct diag *diag =
      diag_error(r->diags, DIAG_NAME_UNKNOWN, at, "no file is used as `%s` here", name);
  if (near)
    diag_help(diag, "did you mean `%s`?", near);
  else
    diag_help(diag, "write `use \"...\" as %s`", name);
}

/* The scope that holds the last part of a dotted name; NULL once told, or told before. */
static struct scope *walk(struct resolver *r, struct scope *scope, const char **name, span at) {
  const char *dot;
  while ((dot = strchr(*name, '.')) != NULL) {
    const char *part = arena_text(r->arena, *name, (size_t)(dot - *name));
    const struct child_scope *child = scope_child_find(scope, part);
    if (!child) {
      if (!scope->incomplete)
        child_unknown(r, scope, part, at);
      return NULL;
    }
    if (!child->scope)
      return NULL;
    scope = child->scope;
    *name = dot + 1;
  }
  return scope;
}

static const struct decl *same_name_other_kind(const struct scope *scope, const char *name) {
  for (int kind = 0; kind < DECL_JOB; kind++) {
    const struct decl *decl = scope_find(scope, (enum decl_kind)kind, name);
    if (decl)
      return decl;
  }
  return NULL;
}

/* `first` where only `hw.first` is declared. */
static const char *in_child(struct resolver *r, const struct scope *scope, enum decl_kind kind,
                            const char *name) {
  size_t count = near_is_sought(r) ? scope->child_count : 0;
  r->compared += count * strlen(name);
  for (size_t i = 0; i < count; i++)
    if (scope->children[i].scope && scope_find(scope->children[i].scope, kind, name))
      return arena_format(r->arena, "%s.%s", scope->children[i].name, name);
  return NULL;
}

/* A name written in capitals was told where it was read. */
static bool is_told_for_capitals(const struct resolver *r, const char *name, span at) {
  const char *written = (const char *)source_get(r->sources, at.file)->text + at.begin;
  size_t length = strlen(name);
  return at.end - at.begin == length && strncasecmp(written, name, length) == 0 &&
         memcmp(written, name, length) != 0;
}

static const char *decl_near(struct resolver *r, const struct scope *scope, enum decl_kind kind,
                             const char *name) {
  if (!near_is_sought(r))
    return NULL;
  struct suggest near = suggest_begin(name);
  for (size_t i = 0; i < scope->decl_count; i++)
    if (scope->decls[i]->kind == kind)
      suggest_offer(&near, scope->decls[i]->name);
  r->compared += near.work + scope->decl_count;
  return near.best;
}

/* As `sec` of `3 mm/sec`, which is no unit. */
static bool is_behind_slash(const struct resolver *r, span at) {
  return at.begin > 0 && source_get(r->sources, at.file)->text[at.begin - 1] == '/';
}

/* prefix: what stood before the last dot, "" or "hw.". */
static void name_unknown(struct resolver *r, const struct scope *scope, enum decl_kind kind,
                         const char *prefix, const char *name, span at) {
  struct diag *diag = diag_error(r->diags, DIAG_NAME_UNKNOWN, at, "there is no %s named `%s`",
                                 decl_kind_noun(kind), name);
  const struct decl *other = same_name_other_kind(scope, name);
  if (other) {
    diag_note(diag, name_place(other->kind, other->statement), "`%s` is %s", name,
              decl_kind_article(other->kind));
    return;
  }
  const char *meant = in_child(r, scope, kind, name);
  if (!meant)
    meant = decl_near(r, scope, kind, name);
  if (meant)
    diag_help(diag, "did you mean `%s%s`?", prefix, meant);
  else if (kind == DECL_VALUE && is_behind_slash(r, at))
    diag_help(diag, "if a unit is meant: `borelay explain mm/s` tells those of speed");
}

struct decl *scope_get(struct resolver *r, struct scope *scope, enum decl_kind kind,
                       const char *name, span at) {
  const char *last = name;
  scope = walk(r, scope, &last, at);
  if (!scope)
    return NULL;
  struct decl *decl = scope_find(scope, kind, last);
  if (!decl && !scope->incomplete && !is_told_for_capitals(r, name, at))
    name_unknown(r, scope, kind, arena_text(r->arena, name, (size_t)(last - name)), last, at);
  return decl;
}
