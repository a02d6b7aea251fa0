/* The job: the sequence of overlays, and where the part lies. */
#include <string.h>

#include "resolve/build.h"

/* -- sequence ------------------------------------------------------------------- */

static const struct flat_item *property_find(const struct flat *flat, const char *key) {
  for (size_t i = 0; i < flat->item_count; i++)
    if (flat->items[i].key && strcmp(flat->items[i].key->name, key) == 0)
      return &flat->items[i];
  return NULL;
}

static void overlay_add(struct reading *job, struct job *out, struct decl *decl, span at) {
  struct overlay *overlay = NULL;
  const struct overlay *built = build_get(job->r, decl, at);
  if (!built) {
    reading_fail(job);
    return;
  }
  overlay = arena_alloc(job->r->arena, 1, sizeof *overlay);
  *overlay = *built;
  out->sequence =
      list_append(job->r->arena, out->sequence, &out->overlay_count, &overlay, sizeof(overlay));
}

/* The same overlay earlier in the list? */
static bool is_repeated(struct reading *job, struct decl *decl, const struct syn_expr *item) {
  if (!decl->in_sequence) {
    decl->in_sequence = item;
    return false;
  }
  struct diag *diag = diag_error(job->r->diags, DIAG_SEQUENCE, item->at,
                                 "overlay `%s` stands in the sequence twice", item->text);
  diag_note(diag, decl->in_sequence->at, "first here");
  reading_fail(job);
  return true;
}

static void sequence_listed(struct reading *job, struct job *out, const struct flat_item *item) {
  struct syn_expr *value = item->statement->value;
  if (!value || value->kind == SYN_BROKEN) {
    reading_fail(job);
    return;
  }
  bool is_list = value->kind == SYN_LIST;
  struct syn_expr *const *items = is_list ? value->items : &value;
  size_t count = is_list ? value->item_count : 1;
  for (size_t i = 0; i < count; i++) {
    struct decl *decl = NULL;
    if (items[i]->kind == SYN_NAME)
      decl = scope_get(job->r, item->scope, DECL_OVERLAY, items[i]->text, items[i]->at);
    else if (items[i]->kind != SYN_BROKEN)
      diag_help(diag_error(job->r->diags, DIAG_SEQUENCE, items[i]->at,
                           "sequence wants the names of overlays"),
                "write `sequence first_bore, second_bore`");
    if (!decl)
      reading_fail(job);
    else if (!is_repeated(job, decl, items[i]))
      overlay_add(job, out, decl, items[i]->at);
  }
}

static void sequence_read(struct reading *job, struct job *out) {
  const struct flat_item *item = property_find(job->flat, "sequence");
  if (item) {
    sequence_listed(job, out, item);
    return;
  }
  for (size_t i = 0; i < job->r->overlay_count; i++)
    overlay_add(job, out, job->r->overlays[i], job->flat->statement->block->head);
  if (job->r->overlay_count == 0 && !job->r->root->incomplete) {
    struct diag *diag = diag_error(job->r->diags, DIAG_SEQUENCE, job->flat->statement->block->head,
                                   "this job has no overlay");
    diag_help(diag, "declare one: `overlay some_name { ... }`");
    reading_fail(job);
  }
}

/* -- datum ------------------------------------------------------------------------ */

static void datum_instead(struct reading *job, const struct flat *datum, const char *key) {
  if (reading_state(job, key) != KEY_GIVEN)
    return;
  struct diag *diag = diag_error(job->r->diags, DIAG_KEY_CLASH, reading_at(job, key),
                                 "%s and a datum fit exclude each other", key);
  diag_note(diag, datum->statement->block->head, "the datum stands here");
  reading_fail(job);
}

static void datum_refused(struct reading *datum, span at, const struct shape *shape,
                          const char *why, const char *help) {
  struct diag *diag =
      diag_error(datum->r->diags, DIAG_DATUM, at, "shape `%s` %s", shape->name, why);
  diag_note(diag, shape->origin.head, "`%s` is declared here", shape->name);
  diag_help(diag, "%s", help);
  reading_fail(datum);
}

static void datum_shape_check(struct reading *datum, const struct datum_fit *out) {
  const struct shape *shape = out->shape;
  span at = reading_at(datum, "fit");
  if (shape->kind != SHAPE_ROUND && shape->kind != SHAPE_RACETRACK)
    datum_refused(datum, at, shape, "cannot be laid on touches", "fit a round or a racetrack");
  else if (shape->touch_count > 0)
    datum_refused(datum, at, shape, "has touches of its own, and lies where they say",
                  "fit a shape that is given by its dimensions");
  else if (shape->kind == SHAPE_RACETRACK && reading_is_given(datum, "turned"))
    datum_refused(datum, reading_at(datum, "turned"), shape,
                  "is a racetrack, whose turn the touches give", "leave out `turned`");
}

static void datum_read(struct reading *job, struct job *out) {
  const struct flat *flat = inner_get(job->flat, "datum", NULL);
  if (!flat)
    return;
  datum_instead(job, flat, "at");
  datum_instead(job, flat, "turned");
  out->has_datum_fit = true;
  struct reading datum = block_read(job->r, flat, &out->datum, false);
  out->datum.origin = origin_make(job->r, &datum, NULL);
  bool told = flat->is_broken || reading_state(&datum, "touch") == KEY_BROKEN;
  if (touches_read(&datum, &out->datum.touches, &out->datum.touch_count) && out->datum.shape &&
      !told)
    touch_count_suits(&datum, out->datum.shape->kind, out->datum.touch_count,
                      flat->statement->block->head);
  if (out->datum.shape)
    datum_shape_check(&datum, &out->datum);
  if (!datum.is_whole)
    reading_fail(job);
}

/* -- all ---------------------------------------------------------------------------- */

const struct job *job_build(struct resolver *r, const struct decl *decl, const struct flat *flat) {
  struct job *out = arena_alloc(r->arena, 1, sizeof *out);
  struct reading job = block_read(r, flat, out, false);
  out->title_text = decl->statement->block->title.text;
  out->title = quoted_text(r, decl->statement->block->title.at);
  out->origin = origin_make(r, &job, NULL);
  datum_read(&job, out);
  sequence_read(&job, out);
  return job.is_whole ? out : NULL;
}
