/* From a path to a job, on one page: load all files, bind settings, work out names, build
 * every declared block, and hand over the job's own. */
#include "borelay/resolve.h"

#include <assert.h>

#include "resolve/build.h"

static bool is_passed(const struct decl *decl) {
  return decl->scope->decl_count > FEW_DECLARATIONS && decl->kind != DECL_OVERLAY &&
         decl->kind != DECL_JOB && decl->build_progress == PROGRESS_FRESH;
}

static void build_all(struct resolver *r) {
  struct arena *aside = arena_new();
  for (size_t i = 0; i < r->scope_count; i++)
    for (size_t k = 0; k < r->scopes[i]->decl_count; k++) {
      struct decl *decl = r->scopes[i]->decls[k];
      if (decl->kind == DECL_VALUE)
        continue;
      if (is_passed(decl) && decl->statement->block->is_sifted)
        continue; /* it was found sound as it was read */
      if (is_passed(decl))
        build_pass(r, decl, aside);
      else
        build_get(r, decl, decl->statement->block->head);
    }
  arena_free(aside);
}

static void job_missing(struct resolver *r) {
  if (r->root->incomplete)
    return;
  span end = {.file = r->files[0]->file};
  end.begin = end.end = source_get(r->sources, end.file)->length;
  struct diag *diag =
      diag_error(r->diags, DIAG_JOB_PLACE, end, "the file given to the compiler holds no job");
  diag_help(diag, "write `job \"title\" { ... }`");
}

/* What the stream's header tells about files and settings. */
static void sources_list(struct resolver *r, struct job *job, const char **settings,
                         size_t setting_count) {
  job->files = arena_alloc(r->arena, r->file_count, sizeof *job->files);
  job->file_count = r->file_count;
  for (size_t i = 0; i < r->file_count; i++)
    job->files[i] =
        (struct job_file){.file = r->files[i]->file,
                          .base_name = source_get(r->sources, r->files[i]->file)->base_name};
  job->settings = arena_alloc(r->arena, setting_count + 1, sizeof *job->settings);
  job->setting_count = setting_count;
  for (size_t i = 0; i < setting_count; i++)
    job->settings[i] = settings[i];
}

const struct job *job_resolve_kept(struct arena *arena, struct source_set *sources,
                                   struct diag_list *diags, const char *path, const char **settings,
                                   size_t setting_count, const char **unreadable,
                                   struct resolver **kept) {
  struct resolver *r = arena_alloc(arena, 1, sizeof *r);
  *r = (struct resolver){.arena = arena, .lasting = arena, .sources = sources, .diags = diags};
  size_t told_before = diag_error_count(diags);
  *unreadable = NULL;
  *kept = NULL;
  if (!load_job_file(r, path)) {
    *unreadable = path;
    return NULL;
  }
  *kept = r;
  settings_bind(r, settings, setting_count);
  names_evaluate_all(r);
  build_all(r);
  struct decl *decl = scope_find(r->root, DECL_JOB, "");
  if (!decl)
    job_missing(r);
  bool is_refused = diag_error_count(diags) > told_before;
  assert(is_refused || (decl && decl->built)); /* nothing is refused in silence */
  if (is_refused)
    return NULL;
  struct job *job = arena_alloc(arena, 1, sizeof *job);
  *job = *(const struct job *)decl->built;
  sources_list(r, job, settings, setting_count);
  return job;
}

const struct job *job_resolve(struct arena *arena, struct source_set *sources,
                              struct diag_list *diags, const char *path, const char **settings,
                              size_t setting_count, const char **unreadable) {
  struct resolver *kept = NULL;
  return job_resolve_kept(arena, sources, diags, path, settings, setting_count, unreadable, &kept);
}
