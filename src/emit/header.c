/* header.c - the header lines, which both kinds of stream share. */
#include "emit/header.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/digest.h"
#include "borelay/digits.h"
#include "borelay/num.h"

static void put_number(FILE *to, double value, int decimals) {
  char text[DIGITS_ROOM];
  char *end = digits_put(text, digits_scale(value, decimals), decimals);
  fwrite(text, 1, (size_t)(end - text), to);
}

/* " key 12.500000" */
static void put_value(FILE *to, const char *key, double value) {
  fprintf(to, " %s ", key);
  put_number(to, value, 6);
}

/* A string as it stands in the source between its quotes, escapes kept. */
static void put_string(FILE *to, const char *key, const char *written) {
  fprintf(to, " %s \"", key);
  fputs(written, to);
  fputs("\"", to);
}

/* A file's name is no source text: escape it as the source would. */
static void put_escaped(FILE *to, const char *text) {
  for (; *text; text++) {
    if (*text == '\n')
      fputs("\\n", to);
    else if (*text == '"' || *text == '\\')
      fprintf(to, "\\%c", *text);
    else
      fputc(*text, to);
  }
}

/* False: no memory. */
static bool put_identity(FILE *to, const struct outcome *outcome) {
  const struct job *job = outcome->job;
  char digest[SHA256_TEXT_SIZE];
  fprintf(to, "# borelay setpoints 1\n# mode %s\n# job \"", mode_name(outcome->motion->mode));
  fputs(job->title, to);
  fputs("\"", to);
  put_string(to, "part", job->part);
  put_string(to, "revision", job->revision);
  digest_source(outcome->sources, job, digest);
  fprintf(to, "\n# source sha256 %s\n# cell ", digest);
  fputs(job->cell->name, to);
  bool done = digest_cell(job->cell, digest);
  fprintf(to, " sha256 %s\n", digest);
  return done;
}

static void put_frame(FILE *to, const struct outcome *outcome) {
  const struct cell *cell = outcome->job->cell;
  const struct placement *placement = &outcome->plan->placement;
  fputs("# torch", to);
  put_value(to, "reach_mm", cell->reach);
  put_value(to, "drop_mm", cell->drop);
  put_value(to, "correction_mm", cell->correction);
  fputs("\n# datum", to);
  put_value(to, "x_mm", placement->at.x);
  put_value(to, "y_mm", placement->at.y);
  put_value(to, "z_mm", placement->at.z);
  put_value(to, "turned_deg", placement->turned * (180.0 / NUM_PI));
  fputs("\n", to);
}

/* Layers are few: looking back through them beats a table of what was told. */
static bool is_first_use(const struct plan *plan, size_t overlay, size_t layer) {
  const char *name = plan->overlays[overlay].layers[layer].procedure->name;
  for (size_t i = 0; i <= overlay; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++) {
      if (i == overlay && k == layer)
        return true;
      if (strcmp(plan->overlays[i].layers[k].procedure->name, name) == 0)
        return false;
    }
  return true;
}

static void put_procedures(FILE *to, const struct plan *plan) {
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++) {
      if (!is_first_use(plan, i, k))
        continue;
      const struct procedure *procedure = plan->overlays[i].layers[k].procedure;
      fputs("# procedure ", to);
      fputs(procedure->name, to);
      put_string(to, "wps", procedure->wps);
      put_string(to, "filler", procedure->filler);
      fputs("\n", to);
    }
}

static void put_extent(FILE *to, const struct motion *motion) {
  int64_t tick_us = motion->plan->job->cell->tick_us;
  char text[DIGITS_ROOM];
  char *end = digits_put(text, tick_us, 6);
  fprintf(to, "# tick_s %.*s\n# rows %" PRId64 "\n", (int)(end - text), text, motion->ticks + 1);
  end = digits_put(text, motion->ticks * tick_us, 6);
  fprintf(to, "# duration_s %.*s\n#", (int)(end - text), text);
  put_value(to, "head_end_deg", motion->head_end * (180.0 / NUM_PI));
  fputs("\n# verdict passed\n", to);
}

static size_t file_place(const struct job *job, uint32_t file) {
  for (size_t i = 0; i < job->file_count; i++)
    if (job->files[i].file == file)
      return i + 1;
  return 0;
}

static void put_overlays_and_files(FILE *to, const struct outcome *outcome) {
  const struct plan *plan = outcome->plan;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct overlay *overlay = plan->overlays[i].overlay;
    fprintf(to, "# overlay %zu ", i + 1);
    fputs(overlay->name, to);
    fprintf(to, " file %zu\n", file_place(outcome->job, overlay->origin.head.file));
  }
  for (size_t i = 0; i < outcome->job->file_count; i++) {
    fprintf(to, "# file %zu \"", i + 1);
    put_escaped(to, outcome->job->files[i].base_name);
    fputs("\"\n", to);
  }
}

char *header_text(const struct outcome *outcome, size_t *length) {
  char *text = NULL;
  FILE *to = open_memstream(&text, length);
  if (!to)
    return NULL;
  bool done = put_identity(to, outcome);
  put_frame(to, outcome);
  put_procedures(to, outcome->plan);
  put_extent(to, outcome->motion);
  put_overlays_and_files(to, outcome);
  done = done && !ferror(to);
  if (fclose(to) == 0 && done)
    return text;
  free(text);
  return NULL;
}
