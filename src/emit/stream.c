/* stream.c - the text stream: header, rows, end line.
 *
 * Rows go from the motion into the buffer one by one; how many there are is known beforehand, so
 * the header needs no second pass. */
#include "borelay/emit.h"

#include <errno.h>
#include <inttypes.h>
#include <string.h>

#include "borelay/num.h"
#include "emit/digest.h"
#include "emit/digits.h"
#include "emit/text_row.h"

static void put_number(struct outfile *to, double value, int decimals) {
  char *start = outfile_room(to, DIGITS_ROOM);
  char *end = digits_put(start, digits_scale(value, decimals), decimals);
  outfile_took(to, (size_t)(end - start));
}

/* " key 12.500000" */
static void put_value(struct outfile *to, const char *key, double value) {
  outfile_format(to, " %s ", key);
  put_number(to, value, 6);
}

static void put_whole(struct outfile *to, int64_t value) {
  outfile_format(to, "%" PRId64, value);
}

/* A string as it stands in the source between its quotes, escapes kept. */
static void put_string(struct outfile *to, const char *key, const char *written) {
  outfile_format(to, " %s \"", key);
  outfile_text(to, written);
  outfile_text(to, "\"");
}

/* A file's name is no source text: escape it as the source would. */
static void put_escaped(struct outfile *to, const char *text) {
  for (; *text; text++) {
    if (*text == '\n')
      outfile_text(to, "\\n");
    else if (*text == '"' || *text == '\\')
      outfile_format(to, "\\%c", *text);
    else
      outfile_put(to, text, 1);
  }
}

static void put_identity(struct outfile *to, const struct outcome *outcome) {
  const struct job *job = outcome->job;
  char digest[SHA256_TEXT_SIZE];
  outfile_format(to, "# borelay setpoints 1\n# mode %s\n# job \"",
                 mode_name(outcome->motion->mode));
  outfile_text(to, job->title);
  outfile_text(to, "\"");
  put_string(to, "part", job->part);
  put_string(to, "revision", job->revision);
  digest_source(outcome->sources, job, digest);
  outfile_format(to, "\n# source sha256 %s\n# cell ", digest);
  outfile_text(to, job->cell->name);
  if (!digest_cell(job->cell, digest) && !to->error)
    to->error = ENOMEM;
  outfile_format(to, " sha256 %s\n", digest);
}

static void put_frame(struct outfile *to, const struct outcome *outcome) {
  const struct cell *cell = outcome->job->cell;
  const struct placement *placement = &outcome->plan->placement;
  outfile_text(to, "# torch");
  put_value(to, "reach_mm", cell->reach);
  put_value(to, "drop_mm", cell->drop);
  put_value(to, "correction_mm", cell->correction);
  outfile_text(to, "\n# datum");
  put_value(to, "x_mm", placement->at.x);
  put_value(to, "y_mm", placement->at.y);
  put_value(to, "z_mm", placement->at.z);
  put_value(to, "turned_deg", placement->turned * (180.0 / NUM_PI));
  outfile_text(to, "\n");
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

static void put_procedures(struct outfile *to, const struct plan *plan) {
  for (size_t i = 0; i < plan->overlay_count; i++)
    for (size_t k = 0; k < plan->overlays[i].layer_count; k++) {
      if (!is_first_use(plan, i, k))
        continue;
      const struct procedure *procedure = plan->overlays[i].layers[k].procedure;
      outfile_text(to, "# procedure ");
      outfile_text(to, procedure->name);
      put_string(to, "wps", procedure->wps);
      put_string(to, "filler", procedure->filler);
      outfile_text(to, "\n");
    }
}

static void put_extent(struct outfile *to, const struct motion *motion) {
  int64_t tick_us = motion->plan->job->cell->tick_us;
  char text[DIGITS_ROOM];
  char *end = digits_put(text, tick_us, 6);
  outfile_format(to, "# tick_s %.*s\n# rows %" PRId64 "\n", (int)(end - text), text,
                 motion->ticks + 1);
  end = digits_put(text, motion->ticks * tick_us, 6);
  outfile_format(to, "# duration_s %.*s\n#", (int)(end - text), text);
  put_value(to, "head_end_deg", motion->head_end * (180.0 / NUM_PI));
  outfile_text(to, "\n# verdict passed\n");
}

static size_t file_place(const struct job *job, uint32_t file) {
  for (size_t i = 0; i < job->file_count; i++)
    if (job->files[i].file == file)
      return i + 1;
  return 0;
}

static void put_overlays_and_files(struct outfile *to, const struct outcome *outcome) {
  const struct plan *plan = outcome->plan;
  for (size_t i = 0; i < plan->overlay_count; i++) {
    const struct overlay *overlay = plan->overlays[i].overlay;
    outfile_format(to, "# overlay %zu ", i + 1);
    outfile_text(to, overlay->name);
    outfile_format(to, " file %zu\n", file_place(outcome->job, overlay->origin.head.file));
  }
  for (size_t i = 0; i < outcome->job->file_count; i++) {
    outfile_format(to, "# file %zu \"", i + 1);
    put_escaped(to, outcome->job->files[i].base_name);
    outfile_text(to, "\"\n");
  }
}

static void put_header(struct outfile *to, const struct outcome *outcome) {
  put_identity(to, outcome);
  put_frame(to, outcome);
  put_procedures(to, outcome->plan);
  put_extent(to, outcome->motion);
  put_overlays_and_files(to, outcome);
  outfile_text(to, TEXT_ROW_HEAD);
}

enum { PROGRESS_ROWS = 1 << 16 };

static void show_progress(FILE *progress, int64_t row, int64_t rows) {
  if (progress && row % PROGRESS_ROWS == 0) {
    fprintf(progress, "\rwriting rows: %3d %%", (int)(100.0 * (double)row / (double)rows));
    fflush(progress);
  }
}

static void put_rows(struct outfile *to, const struct motion *motion, FILE *progress) {
  struct tick_cursor cursor;
  struct tick_values values;
  struct text_row row;
  text_row_begin(&row, motion->plan->job->cell->tick_us);
  tick_cursor_begin(&cursor, motion);
  while (!to->error && tick_cursor_next(&cursor, &values)) {
    char *start = outfile_room(to, TEXT_ROW_ROOM);
    outfile_took(to, (size_t)(text_row_put(&row, &values, start) - start));
    show_progress(progress, values.tick, motion->ticks + 1);
  }
  tick_cursor_end(&cursor);
  if (progress)
    fputs("\r                   \r", progress);
}

void stream_write_text(const struct outcome *outcome, struct outfile *to, FILE *progress) {
  put_header(to, outcome);
  put_rows(to, outcome->motion, progress);
  uint32_t crc = outfile_crc32c(to);
  outfile_text(to, "# end rows ");
  put_whole(to, outcome->motion->ticks + 1);
  outfile_format(to, " crc32c %08" PRIx32 "\n", crc);
}
