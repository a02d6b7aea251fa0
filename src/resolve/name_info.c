/* What names mean, for editors: asked of the scopes, which say nothing of what is wrong.
 *
 * A file may join several scopes, when it is used under several names; the first one answers. */
#include <string.h>

#include "borelay/resolve.h"
#include "resolve/declared.h"

static struct scope *scope_of(const struct resolver *r, uint32_t file) {
  for (size_t i = 0; i < r->scope_count; i++)
    for (size_t k = 0; k < r->scopes[i]->joined_count; k++)
      if (r->scopes[i]->joined[k]->file->file == file)
        return r->scopes[i];
  return NULL;
}

/* DECL_KIND_COUNT: no such kind. */
static enum decl_kind kind_of(const char *noun) {
  int kind = 0;
  while (kind < DECL_KIND_COUNT && strcmp(decl_kind_noun((enum decl_kind)kind), noun) != 0)
    kind++;
  return (enum decl_kind)kind;
}

/* The scope of the last part of a dotted name, and that part; NULL: it leads nowhere. */
static struct scope *walk(struct resolver *r, struct scope *scope, const char **name) {
  for (const char *dot; scope && (dot = strchr(*name, '.')) != NULL; *name = dot + 1) {
    const char *part = arena_text(r->arena, *name, (size_t)(dot - *name));
    const struct child_scope *child = scope_child_find(scope, part);
    scope = child ? child->scope : NULL;
  }
  return scope;
}

/* -- a value in words ---------------------------------------------------------------------- */

static const char *figure(struct resolver *r, const char *unit, double inside) {
  return arena_format(r->arena, "%.9g", declared_written(unit, inside) + 0.0);
}

static const char *value_words(struct resolver *r, struct decl *decl) {
  if (decl->value_progress != PROGRESS_DONE || decl->value->kind == VALUE_BROKEN)
    return NULL;
  if (decl->value->kind == VALUE_STRING)
    return arena_format(r->arena, "\"%s\"", decl->value->raw);
  struct scope *scope = NULL;
  const struct syn_expr *source = declared_param_source(decl, &scope);
  struct declared_value value = declared_value_from(r, scope, source, decl->value, QUANTITY_NUMBER);
  const char *x[3] = {"", "", ""};
  for (int i = 0; i < value.count; i++)
    x[i] = figure(r, value.unit, value.x[i]);
  const char *text = value.kind == DECLARED_RANGE ? arena_format(r->arena, "%s .. %s", x[0], x[1])
                     : value.count == 3 ? arena_format(r->arena, "(%s, %s, %s)", x[0], x[1], x[2])
                     : value.count == 2 ? arena_format(r->arena, "(%s, %s)", x[0], x[1])
                                        : x[0];
  return value.unit ? arena_format(r->arena, "%s %s", text, value.unit) : text;
}

/* -- one name ------------------------------------------------------------------------------ */

static struct name_info info_of(struct resolver *r, struct decl *decl) {
  bool is_value = decl->kind == DECL_VALUE;
  const char *value_kind = decl->statement->kind == SYN_PARAM ? "param" : "let";
  return (struct name_info){.kind = is_value ? value_kind : decl_kind_noun(decl->kind),
                            .name = decl->full_name,
                            .value = is_value ? value_words(r, decl) : NULL,
                            .at = decl_name_place(decl)};
}

/* The file that is reached by a name; where it was read from is the first that joined. */
static bool child_info(const struct scope *scope, const char *name, struct name_info *info) {
  const struct child_scope *child = scope_child_find(scope, name);
  if (!child || !child->scope || child->scope->joined_count == 0)
    return false;
  *info = (struct name_info){
      .kind = "file", .name = name, .at = {.file = child->scope->joined[0]->file->file}};
  return true;
}

bool name_info_find(struct resolver *resolver, uint32_t file, const char *kind, const char *name,
                    struct name_info *info) {
  enum decl_kind wanted = kind_of(kind);
  struct scope *scope = walk(resolver, scope_of(resolver, file), &name);
  if (!scope || wanted == DECL_KIND_COUNT)
    return false;
  struct decl *decl = scope_find(scope, wanted, name);
  if (decl)
    *info = info_of(resolver, decl);
  return decl || (wanted == DECL_VALUE && child_info(scope, name, info));
}

/* -- all of a kind ------------------------------------------------------------------------- */

static const char *listed(const struct scope *scope, enum decl_kind kind, size_t *k) {
  for (size_t i = 0; i < scope->decl_count; i++)
    if (scope->decls[i]->kind == kind && (*k)-- == 0)
      return scope->decls[i]->name;
  return NULL;
}

const char *name_info_list(struct resolver *resolver, uint32_t file, const char *kind, size_t k) {
  const struct scope *scope = scope_of(resolver, file);
  enum decl_kind wanted = kind_of(kind);
  const char *name = scope ? listed(scope, wanted, &k) : NULL;
  for (size_t i = 0; scope && !name && i < scope->child_count; i++) {
    const struct child_scope *child = &scope->children[i];
    const char *inner = child->scope ? listed(child->scope, wanted, &k) : NULL;
    if (inner)
      name = arena_format(resolver->arena, "%s.%s", child->name, inner);
  }
  return name;
}
