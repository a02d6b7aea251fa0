/* Scopes: what is declared under which name, and what to say where nothing is. */
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

static size_t bucket_of(const char *name, enum decl_kind kind) {
  size_t hash = (size_t)kind + 5381;
  for (; *name; name++)
    hash = hash * 33 + (unsigned char)*name;
  return hash % SCOPE_BUCKETS;
}

struct scope *scope_new(struct resolver *r, const char *prefix) {
  struct scope *scope = arena_alloc(r->arena, 1, sizeof *scope);
  scope->prefix = prefix;
  r->scopes = list_append(r->arena, r->scopes, &r->scope_count, &scope, sizeof(scope));
  return scope;
}

struct decl *scope_find(const struct scope *scope, enum decl_kind kind, const char *name) {
  struct decl *decl = scope->buckets[bucket_of(name, kind)];
  while (decl && (decl->kind != kind || strcmp(decl->name, name) != 0))
    decl = decl->next_in_bucket;
  return decl;
}

struct child_scope *scope_child_find(const struct scope *scope, const char *name) {
  for (size_t i = 0; i < scope->child_count; i++)
    if (strcmp(scope->children[i].name, name) == 0)
      return &scope->children[i];
  return NULL;
}

static span name_place(enum decl_kind kind, const struct syn_statement *statement) {
  if (kind == DECL_VALUE)
    return statement->key.at;
  return kind == DECL_JOB ? statement->head : statement->name.at;
}

span decl_name_place(const struct decl *decl) {
  return name_place(decl->kind, decl->statement);
}

struct decl *scope_declare(struct resolver *r, struct scope *scope, enum decl_kind kind,
                           const struct syn_statement *statement, const struct loaded_file *file) {
  const char *name = kind == DECL_VALUE ? statement->key.text
                     : kind == DECL_JOB ? ""
                                        : statement->name.text;
  struct decl *other = scope_find(scope, kind, name);
  if (other) {
    struct diag *diag =
        kind == DECL_JOB
            ? diag_error(r->diags, DIAG_JOB_PLACE, statement->head, "a second job in one program")
            : diag_error(r->diags, DIAG_NAME_TWICE, name_place(kind, statement),
                         "there are two %ss named `%s`", decl_kind_noun(kind), name);
    diag_note(diag, name_place(kind, other->statement), "the first one stands here");
    return NULL;
  }
  struct decl *decl = arena_alloc(r->arena, 1, sizeof *decl);
  *decl = (struct decl){.kind = kind,
                        .name = name,
                        .full_name = arena_format(r->arena, "%s%s", scope->prefix, name),
                        .statement = statement,
                        .scope = scope,
                        .file = file};
  struct decl **bucket = &scope->buckets[bucket_of(name, kind)];
  decl->next_in_bucket = *bucket;
  *bucket = decl;
  scope->decls = list_append(r->arena, scope->decls, &scope->decl_count, &decl, sizeof(decl));
  if (kind == DECL_OVERLAY)
    r->overlays = list_append(r->arena, r->overlays, &r->overlay_count, &decl, sizeof(decl));
  return decl;
}

static void child_unknown(struct resolver *r, const struct scope *scope, const char *name,
                          span at) {
  struct suggest near = suggest_begin(name);
  for (size_t i = 0; i < scope->child_count; i++)
    suggest_offer(&near, scope->children[i].name);
  struct diag *diag =
      diag_error(r->diags, DIAG_NAME_UNKNOWN, at, "no file is used as `%s` here", name);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
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
  for (size_t i = 0; i < scope->child_count; i++)
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
  struct suggest near = suggest_begin(name);
  for (size_t i = 0; i < scope->decl_count; i++)
    if (scope->decls[i]->kind == kind)
      suggest_offer(&near, scope->decls[i]->name);
  const char *inner = in_child(r, scope, kind, name);
  if (inner)
    diag_help(diag, "did you mean `%s%s`?", prefix, inner);
  else if (near.best)
    diag_help(diag, "did you mean `%s%s`?", prefix, near.best);
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
