/* What a key comes to that is not given, from the words of its table: a fixed value, a share of
 * another key, a list of all there is, or a rule that only the stages behind can follow. */
#include <string.h>

#include "resolve/declared.h"
#include "resolve/units.h"

/* "(0, 0, 0) mm", "10 %": as if the author had written it. */
static bool written_default(struct resolver *r, const struct key *key, const char *text,
                            struct declared_value *value) {
  struct source_set *aside = source_set_new(r->arena);
  struct diag_list *diags = diag_list_new(r->arena, aside);
  uint32_t file = source_add_text(aside, "default", text, strlen(text));
  const struct syn_expr *expr = syntax_parse_value(r->arena, aside, file, diags);
  if (!expr || diag_error_count(diags) > 0)
    return false;
  struct resolver alone = {.arena = r->arena,
                           .lasting = r->arena,
                           .sources = aside,
                           .diags = diags,
                           .known = known_get(r)};
  struct scope *nothing = scope_new(&alone, "");
  struct value found = expr_value(&alone, nothing, expr);
  if (found.kind == VALUE_BROKEN)
    return false;
  *value = declared_value_from(&alone, nothing, expr, &found, key->quantity);
  return true;
}

static const struct declared_key *key_of(const struct declared_block *block, const char *name) {
  for (size_t i = 0; i < block->key_count; i++)
    if (strcmp(block->keys[i].name, name) == 0)
      return &block->keys[i];
  return NULL;
}

/* "10 % of current" */
static bool share_default(struct resolver *r, const struct key *key,
                          const struct declared_block *block, struct declared_value *value) {
  const char *of = strstr(key->need, " of ");
  const struct declared_key *whole = of ? key_of(block, of + 4) : NULL;
  if (!whole || whole->value.kind != DECLARED_NUMBER)
    return false;
  struct declared_value share;
  if (!written_default(r, key, arena_text(r->arena, key->need, (size_t)(of - key->need)), &share))
    return false;
  *value = whole->value;
  value->x[0] *= share.x[0];
  return true;
}

/* "0 mm; stepped: step_length": the rule behind the semicolon holds where the block has that word
 * among its keys. */
static bool usual_default(struct resolver *r, const struct key *key,
                          const struct declared_block *block, struct declared_value *value) {
  const char *end = strstr(key->need, "; "), *colon = end ? strchr(end, ':') : NULL;
  if (!colon)
    return false;
  const char *word = arena_text(r->arena, end + 2, (size_t)(colon - end - 2));
  for (size_t i = 0; i < block->key_count; i++)
    if (block->keys[i].value.kind == DECLARED_WORD && strcmp(block->keys[i].value.text, word) == 0)
      return false;
  return written_default(r, key, arena_text(r->arena, key->need, (size_t)(end - key->need)), value);
}

static struct declared_value all_names(struct resolver *r) {
  const char **names = arena_alloc(r->arena, r->overlay_count + 1, sizeof *names);
  for (size_t i = 0; i < r->overlay_count; i++)
    names[i] = r->overlays[i]->full_name;
  return (struct declared_value){
      .kind = DECLARED_NAMES, .names = names, .name_count = r->overlay_count};
}

bool declared_default(struct resolver *r, const struct key *key, const struct declared_block *block,
                      struct declared_value *value) {
  if (!key->need || strncmp(key->need, "required", 8) == 0 || strcmp(key->need, "optional") == 0)
    return false;
  if (key->type == KEY_STRING) {
    *value = (struct declared_value){.kind = DECLARED_STRING, .text = ""};
  } else if (key->has_default_word) {
    *value = (struct declared_value){
        .kind = DECLARED_WORD, .text = word_get(r->arena, key->words, (size_t)key->default_word)};
  } else if (key->default_unit) {
    const struct unit *unit = unit_find(key->default_unit);
    *value = (struct declared_value){
        .kind = DECLARED_NUMBER,
        .count = 1,
        .x = {unit ? unit_to_inside(unit, key->default_number) : key->default_number},
        .is_angle = unit && unit->quantity == QUANTITY_ANGLE,
        .unit = unit ? unit->name : NULL};
  } else if (key->type == KEY_NAMES && key->refers == DECL_OVERLAY) {
    *value = all_names(r);
  } else if (!written_default(r, key, key->need, value) && !share_default(r, key, block, value) &&
             !usual_default(r, key, block, value)) {
    *value = (struct declared_value){.kind = DECLARED_RULE, .text = key->need};
  }
  return true;
}
