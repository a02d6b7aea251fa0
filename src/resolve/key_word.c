/* Keys whose value is one of a few words, or the name of a block. */
#include "resolve/key_word.h"

#include <string.h>

#include "borelay/suggest.h"
#include "resolve/build.h"
#include "resolve/key_field.h"
#include "resolve/key_wanted.h"

static bool word_unknown(struct resolver *r, const struct key *key, const struct syn_expr *expr) {
  struct diag *diag;
  if (expr->kind == SYN_NAME) {
    diag = diag_error(r->diags, DIAG_WORD_UNKNOWN, expr->at, "%s is not a word for %s", expr->text,
                      key->name);
    struct suggest near = suggest_begin(expr->text);
    for (size_t i = 0; i < word_count(key->words); i++)
      suggest_offer(&near, word_get(r->arena, key->words, i));
    if (near.best) {
      diag_help(diag, "did you mean `%s`?  words: %s", near.best, key->words);
      return false;
    }
  } else {
    diag = diag_error(r->diags, DIAG_VALUE_KIND, expr->at, "%s wants a word", key->name);
  }
  diag_help(diag, "words: %s", key->words);
  return false;
}

bool key_word_is_unknown(const struct flat_item *item) {
  const struct syn_expr *expr = item->statement->value;
  return expr->kind == SYN_NAME && !strchr(expr->text, '.') && !item->scope->incomplete &&
         !scope_find(item->scope, DECL_VALUE, expr->text);
}

bool key_word_or_value_unknown(struct resolver *r, const struct key *key,
                               const struct syn_expr *expr) {
  struct suggest near = suggest_begin(expr->text);
  suggest_offer(&near, key->words);
  struct diag *diag =
      diag_error(r->diags, DIAG_WORD_UNKNOWN, expr->at, "%s wants %s; nothing is named `%s`",
                 key->name, key_wanted(r, key), expr->text);
  if (near.best)
    diag_help(diag, "did you mean `%s`?", near.best);
  return false;
}

void key_word_land(const struct key *key, int place, void *target) {
  if (key->type == KEY_SWITCH)
    land_bool(target, key->at, place == 1);
  else
    *(int *)field(target, key->at) = key->first_word + place;
}

bool key_word_read(struct resolver *r, const struct key *key, const struct syn_expr *expr,
                   void *target) {
  if (expr->kind == SYN_BROKEN)
    return false;
  int place = expr->kind == SYN_NAME ? word_place(key->words, expr->text) : -1;
  if (place < 0)
    return word_unknown(r, key, expr);
  if (target)
    key_word_land(key, place, target);
  return true;
}

bool key_name_read(struct resolver *r, const struct flat_item *item, void *target) {
  const struct syn_expr *expr = item->statement->value;
  if (expr->kind == SYN_BROKEN)
    return false;
  if (expr->kind != SYN_NAME) {
    struct diag *diag = diag_error(r->diags, DIAG_VALUE_KIND, expr->at, "%s wants the name of %s",
                                   item->key->name, decl_kind_article(item->key->refers));
    if (expr->kind == SYN_STRING)
      diag_help(diag, "a name stands without quotes");
    return false;
  }
  struct decl *decl = scope_get(r, item->scope, item->key->refers, expr->text, expr->at);
  const void *built = decl ? build_get(r, decl, expr->at) : NULL;
  if (built && target)
    *(const void **)field(target, item->key->at) = built;
  return built != NULL;
}
