/* Settings from outside: `use ... { param = value }` and --set NAME=VALUE find their
 * params once every file is declared. */
#include <string.h>

#include "borelay/suggest.h"
#include "resolve/resolver.h"

/* Is the file one that `joined` brought in?  Files joined twice are looked at once. */
static bool brings(struct joined *joined, const struct loaded_file *file) {
  if (joined->file == file)
    return true;
  joined->mark = true;
  bool found = false;
  for (size_t i = 0; i < joined->use_count && !found; i++)
    found = !joined->uses[i]->mark && brings(joined->uses[i], file);
  return found;
}

static bool reaches(const struct use_settings *use, const struct loaded_file *file) {
  for (size_t i = 0; i < use->target->joined_count; i++)
    use->target->joined[i]->mark = false;
  return brings(use->joined, file);
}

/* Every param that may be set there, as far as one reads them; "": there is none. */
static const char *params_text(struct resolver *r, const struct scope *scope,
                               const struct use_settings *use) {
  enum { MOST = 8 };
  const char *text = "";
  size_t count = 0;
  for (size_t i = 0; i < scope->decl_count && count <= MOST; i++) {
    const struct decl *decl = scope->decls[i];
    if (decl->kind != DECL_VALUE || decl->statement->kind != SYN_PARAM ||
        (use && !reaches(use, decl->file)))
      continue;
    text = count == MOST
               ? arena_format(r->arena, "%s, ...", text)
               : arena_format(r->arena, "%s%s`%s`", text, count > 0 ? ", " : "", decl->name);
    count++;
  }
  return text;
}

static void setting_unknown(struct resolver *r, const struct scope *scope, const char *name,
                            span at, const struct use_settings *use) {
  struct suggest near = suggest_begin(name);
  for (size_t i = 0; near_is_sought(r) && i < scope->decl_count; i++) {
    const struct decl *decl = scope->decls[i];
    r->compared += 1 + (use ? scope->joined_count : 0); /* reaches() goes through them */
    if (decl->kind == DECL_VALUE && decl->statement->kind == SYN_PARAM &&
        (!use || reaches(use, decl->file)))
      suggest_offer(&near, decl->name);
  }
  r->compared += near.work;
  struct diag *diag =
      diag_error(r->diags, DIAG_SETTING_UNKNOWN, at, "there is no param `%s` to set", name);
  const char *params = near.best ? "" : params_text(r, scope, use);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  else if (*params)
    diag_help(diag, "params: %s", params);
  else
    diag_help(diag,
              "no param is declared; one is written `param %s = VALUE`, and its name where "
              "the value stood",
              name);
}

static bool is_param(struct resolver *r, const struct decl *decl, span at) {
  if (decl->statement->kind == SYN_PARAM)
    return true;
  struct diag *diag = diag_error(r->diags, DIAG_SETTING_UNKNOWN, at,
                                 "`%s` is a let; only a param is set from outside", decl->name);
  diag_note(diag, syn_key_at(decl->statement), "declared here");
  return false;
}

static struct setting *setting_new(struct resolver *r, struct setting setting) {
  struct setting *made = arena_alloc(r->arena, 1, sizeof *made);
  *made = setting;
  return made;
}

static void setting_add(struct decl *decl, struct setting *setting) {
  if (decl->settings_last)
    decl->settings_last->next = setting;
  else
    decl->settings = setting;
  decl->settings_last = setting;
}

/* True when an earlier setting of the same `use` has that name; they are numbered from 1. */
static bool is_repeated(struct resolver *r, const struct syn_statement *use, size_t index,
                        struct name_table *numbers) {
  const struct syn_statement *item = use->block->items[index];
  uint32_t number = name_table_find(numbers, item->key);
  if (number == 0) {
    name_table_add(r->arena, numbers, item->key, (uint32_t)index + 1);
    return false;
  }
  struct diag *diag =
      diag_error(r->diags, DIAG_KEY_TWICE, syn_key_at(item), "%s is set twice", item->key);
  diag_note(diag, syn_key_at(use->block->items[number - 1]), "first set here");
  return true;
}

static void use_bind(struct resolver *r, const struct use_settings *use) {
  struct name_table numbers = {.count = 0};
  for (size_t i = 0; i < use->statement->block->item_count; i++) {
    const struct syn_statement *item = use->statement->block->items[i];
    if (item->kind != SYN_SETTING || is_repeated(r, use->statement, i, &numbers))
      continue;
    struct decl *decl = scope_find(use->target, DECL_VALUE, item->key);
    if (!decl || !reaches(use, decl->file)) {
      if (!use->target->incomplete)
        setting_unknown(r, use->target, item->key, syn_key_at(item), use);
      continue;
    }
    if (is_param(r, decl, syn_key_at(item)))
      setting_add(decl, setting_new(r, (struct setting){.value = item->value,
                                                        .scope = use->using_scope,
                                                        .at = syn_key_at(item)}));
  }
}

/* -- --set ------------------------------------------------------------------ */

static bool is_dotted_name(const char *name, size_t length) {
  bool starts = true;
  for (size_t i = 0; i < length; i++) {
    char c = name[i];
    bool letter = c >= 'a' && c <= 'z';
    bool later = (c >= '0' && c <= '9') || c == '_';
    if (c == '.' ? starts : !(letter || (later && !starts)))
      return false;
    starts = c == '.';
  }
  return !starts;
}

static struct decl *set_param(struct resolver *r, const char *name, span at) {
  const char *last = strrchr(name, '.');
  struct scope *scope = r->root;
  for (const char *dot; (dot = strchr(name, '.')) != NULL; name = dot + 1) {
    const char *part = arena_text(r->arena, name, (size_t)(dot - name));
    const struct child_scope *child = scope_child_find(scope, part);
    if (child && !child->scope)
      return NULL;
    if (!child) {
      struct diag *diag =
          diag_error(r->diags, DIAG_SETTING_UNKNOWN, at, "no file is used as `%s`", part);
      const char *near = scope_child_near(r, scope, part);
      if (near)
        diag_help(diag, "did you mean `%s%s`?", near, last);
      return NULL;
    }
    scope = child->scope;
  }
  struct decl *decl = scope_find(scope, DECL_VALUE, name);
  if (!decl && !scope->incomplete)
    setting_unknown(r, scope, name, at, NULL);
  return decl && is_param(r, decl, at) ? decl : NULL;
}

static void command_line_bind(struct resolver *r, const char *text) {
  const char *equals = strchr(text, '=');
  bool is_formed = equals && is_dotted_name(text, (size_t)(equals - text)) && equals[1] != '\0';
  const char *shown = arena_format(r->arena, "--set %s", text);
  const char *value = is_formed ? equals + 1 : text;
  uint32_t file = source_add_text(r->sources, shown, value, strlen(value));
  span at = {.file = file, .begin = 0, .end = (uint32_t)strlen(value)};
  if (!is_formed) {
    struct diag *diag =
        diag_error(r->diags, DIAG_SETTING_FORM, at, "a setting is written NAME=VALUE");
    diag_help(diag, "write `--set bore=152.4mm`, or `--set left.bore=152.4mm` for a param of a "
                    "file used as `left`");
    return;
  }
  size_t told = diag_error_count(r->diags);
  const struct syn_expr *expr = syntax_parse_value(r->arena, r->sources, file, r->diags);
  if (!expr && diag_error_count(r->diags) == told)
    diag_error(r->diags, DIAG_SETTING_FORM, at, "this is not a value");
  struct decl *decl = set_param(r, arena_text(r->arena, text, (size_t)(equals - text)), at);
  if (!decl || !expr)
    return;
  if (decl->command_line) {
    struct diag *diag =
        diag_error(r->diags, DIAG_KEY_TWICE, at, "%s is set twice", decl->full_name);
    diag_note(diag, decl->command_line->at, "first set here");
    return;
  }
  decl->command_line = setting_new(r, (struct setting){.value = expr, .scope = r->root, .at = at});
}

void settings_bind(struct resolver *r, const char **settings, size_t count) {
  for (size_t i = 0; i < r->use_count; i++)
    use_bind(r, &r->uses[i]);
  for (size_t i = 0; i < count; i++)
    command_line_bind(r, settings[i]);
}
