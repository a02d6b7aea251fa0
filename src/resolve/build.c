/* Each declared block is built once, when first wanted, whether or not the job uses it:
 * an error in a library shows wherever the library is read. */
#include "resolve/build.h"

static const void *decl_build(struct resolver *r, struct decl *decl, const struct flat *flat) {
  switch (decl->kind) {
  case DECL_CELL:
    return cell_build(r, decl, flat);
  case DECL_PROCEDURE:
    return procedure_build(r, decl, flat);
  case DECL_SHAPE:
    return shape_build(r, decl, flat);
  case DECL_ENVELOPE:
    return envelope_build(r, decl, flat);
  case DECL_OVERLAY:
    return overlay_build(r, decl, flat);
  case DECL_JOB:
    return job_build(r, decl, flat);
  case DECL_VALUE:
  case DECL_KIND_COUNT:
    break;
  }
  return NULL;
}

const void *build_get(struct resolver *r, struct decl *decl, span wanted_at) {
  if (decl->build_progress == PROGRESS_FRESH) {
    decl->build_progress = PROGRESS_DONE; /* names of other blocks never lead back */
    struct arena *before = lasting_begin(r, decl);
    const struct flat *flat = flat_get(r, decl, wanted_at);
    decl->built = flat ? decl_build(r, decl, flat) : NULL;
    r->arena = before;
  }
  return decl->built;
}

/* Judged for its faults alone: what is made of it is in memory that is soon cleared. */
static bool is_sound_aside(struct resolver *r, struct decl *decl, struct arena *aside) {
  r->passing = decl;
  r->arena = aside;
  bool is_sound = build_get(r, decl, decl->statement->block->head) != NULL;
  r->arena = r->lasting;
  r->passing = NULL;
  return is_sound;
}

bool build_try(struct resolver *r, struct decl *decl, struct diag_list *unheard,
               struct arena *aside) {
  struct diag_list *diags = r->diags;
  size_t told = diag_count(unheard), compared = r->compared;
  r->diags = unheard;
  bool is_sound = is_sound_aside(r, decl, aside);
  r->diags = diags;
  r->compared = compared;
  arena_clear(aside);
  return is_sound && diag_count(unheard) == told;
}

void build_pass(struct resolver *r, struct decl *decl, struct arena *aside) {
  bool was_wanted = decl->flat_progress != PROGRESS_FRESH;
  bool is_sound = is_sound_aside(r, decl, aside);
  decl->built = NULL;
  if (is_sound)
    decl->build_progress = PROGRESS_FRESH; /* else it is not told again */
  if (!was_wanted) {
    decl->flat = NULL;
    decl->flat_progress = PROGRESS_FRESH;
  }
  arena_clear(aside);
}
