/* identity.c - digests, strings and figures of the header, made anew from the job and compared. */
#include "verify/identity.h"

#include <inttypes.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "borelay/digest.h"
#include "borelay/num.h"

static void judge_digest(struct judge *judge, enum check_id id, const uint8_t *written,
                         const char *made, const char *fault) {
  char text[SHA256_TEXT_SIZE];
  for (size_t i = 0; i < SHA256_TEXT_SIZE / 2; i++)
    snprintf(text + 2 * i, 3, "%02x", written[i]);
  finding_judged(judge->findings, id);
  if (strcmp(text, made) != 0)
    finding_fault(judge->findings, id, FINDING_NO_ROW,
                  "%s (sha256 %.8s.. in the stream, %.8s.. here)", fault, text, made);
}

/* -- lines ------------------------------------------------------------------------------------ */

struct lines {
  const char *at, *end;
};

/* The next line that begins so. */
static bool find_line(struct lines *lines, const char *begin, const char **line, size_t *length) {
  while (lines->at < lines->end) {
    const char *at = lines->at;
    const char *stop = memchr(at, '\n', (size_t)(lines->end - at));
    size_t whole = (size_t)((stop ? stop : lines->end) - at);
    lines->at = at + whole + 1;
    if (whole >= strlen(begin) && memcmp(at, begin, strlen(begin)) == 0) {
      *line = at;
      *length = whole;
      return true;
    }
  }
  return false;
}

static void expect_line(struct judge *judge, struct lines *lines, const char *begin,
                        const char *wanted) {
  const char *line;
  size_t length;
  if (!find_line(lines, begin, &line, &length))
    finding_fault(judge->findings, CHECK_HEADER, FINDING_NO_ROW, "no line `%.120s`", wanted);
  else if (length != strlen(wanted) || memcmp(line, wanted, length) != 0)
    finding_fault(judge->findings, CHECK_HEADER, FINDING_NO_ROW, "`%.*s` should be `%.90s`",
                  length < 90 ? (int)length : 90, line, wanted);
}

/* The next line that begins so is this one. */
__attribute__((format(printf, 4, 5))) static void
expect(struct judge *judge, struct lines *lines, const char *begin, const char *format, ...) {
  char *wanted = NULL;
  va_list arguments;
  va_start(arguments, format);
  bool made = vasprintf(&wanted, format, arguments) >= 0;
  va_end(arguments);
  if (made)
    expect_line(judge, lines, begin, wanted);
  free(made ? wanted : NULL);
}

static void expect_no_more(struct judge *judge, struct lines *lines, const char *begin) {
  const char *line;
  size_t length;
  if (find_line(lines, begin, &line, &length))
    finding_fault(judge->findings, CHECK_HEADER, FINDING_NO_ROW, "`%.*s` is not of this job",
                  length < 90 ? (int)length : 90, line);
}

/* -- figures ---------------------------------------------------------------------------------- */

static void expect_figure(struct judge *judge, const char *what, int64_t millionths, double asked,
                          double give) {
  double written = (double)millionths * 1e-6;
  if (!(fabs(written - asked) <= give + 1e-12 * fabs(asked)))
    finding_fault(judge->findings, CHECK_HEADER, FINDING_NO_ROW,
                  "%s is %.6f, with this job it is %.6f", what, written, asked);
}

static void judge_figures(struct judge *judge, const struct borelay_header *header) {
  const struct cell *cell = judge->job->cell;
  const struct lie *lie = &judge->stack->lie;
  /* a fit of one's own and the programme's agree to far below the last decimal */
  double give = judge->job->has_datum_fit ? 2 * ROUND_MM : 1.01 * ROUND_MM;
  expect_figure(judge, "torch reach_mm", header->reach_nm, cell->reach, give);
  expect_figure(judge, "torch drop_mm", header->drop_nm, cell->drop, give);
  expect_figure(judge, "torch correction_mm", header->correction_nm, cell->correction, give);
  expect_figure(judge, "datum x_mm", header->datum_x_nm, lie->at.x, give);
  expect_figure(judge, "datum y_mm", header->datum_y_nm, lie->at.y, give);
  expect_figure(judge, "datum z_mm", header->datum_z_nm, lie->at.z, give);
  double degrees = lie->turned * (180 / NUM_PI);
  double turns = floor(((double)header->datum_turned_udeg * 1e-6 - degrees) / 360 + 0.5);
  expect_figure(judge, "datum turned_deg", header->datum_turned_udeg, degrees + 360 * turns, give);
  expect_figure(judge, "tick_s", header->tick_us, cell->tick, 1e-9);
}

static void expect_overlays(struct judge *judge, struct lines lines) {
  static const char BEGIN[] = "# overlay ";
  const struct job *job = judge->job;
  for (size_t i = 0; i < job->overlay_count; i++) {
    const struct overlay *overlay = job->sequence[i];
    size_t place = 0;
    for (size_t k = 0; k < job->file_count; k++)
      if (job->files[k].file == overlay->origin.head.file)
        place = k + 1;
    expect(judge, &lines, BEGIN, "%s%zu %s file %zu", BEGIN, i + 1, overlay->name, place);
  }
  expect_no_more(judge, &lines, BEGIN);
}

/* As the source would escape it. */
static char *escaped(const char *text) {
  char *made = malloc(2 * strlen(text) + 1), *to = made;
  for (; made && *text; text++) {
    bool is_newline = *text == '\n';
    if (is_newline || *text == '"' || *text == '\\')
      *to++ = '\\';
    *to++ = *text;
    if (is_newline)
      to[-1] = 'n';
  }
  if (made)
    *to = '\0';
  return made;
}

/* The job's own file may lie here under another name: its digest tells that it is the same.  The
 * names of others stand in the sources. */
static void expect_files(struct judge *judge, struct lines lines) {
  static const char BEGIN[] = "# file ", OWN[] = "# file 1 \"";
  const struct job *job = judge->job;
  const char *line;
  size_t length;
  if (!find_line(&lines, OWN, &line, &length))
    finding_fault(judge->findings, CHECK_HEADER, FINDING_NO_ROW, "no line `%s...\"`", OWN);
  for (size_t i = 1; i < job->file_count; i++) {
    char *name = escaped(job->files[i].base_name);
    if (name)
      expect(judge, &lines, BEGIN, "%s%zu \"%s\"", BEGIN, i + 1, name);
    free(name);
  }
  expect_no_more(judge, &lines, BEGIN);
}

static bool is_first_use(const struct lay_stack *stack, size_t index) {
  for (size_t k = 0; k < index; k++)
    if (strcmp(stack->items[k].procedure->name, stack->items[index].procedure->name) == 0)
      return false;
  return true;
}

static void expect_procedures(struct judge *judge, struct lines lines) {
  static const char BEGIN[] = "# procedure ";
  for (size_t i = 0; i < judge->stack->count; i++) {
    const struct procedure *p = judge->stack->items[i].procedure;
    if (is_first_use(judge->stack, i))
      expect(judge, &lines, BEGIN, "%s%s wps \"%s\" filler \"%s\"", BEGIN, p->name, p->wps,
             p->filler);
  }
  expect_no_more(judge, &lines, BEGIN);
}

void identity_judge(struct judge *judge, const struct source_set *sources,
                    const struct borelay_header *header, const char *text, size_t length) {
  static const char *const MODES[] = {"weld", "rehearsal", "resume"};
  const struct job *job = judge->job;
  struct lines all = {text, text + length};
  char digest[SHA256_TEXT_SIZE];
  finding_judged(judge->findings, CHECK_MODE);
  if (header->mode != judge->mode)
    finding_fault(
        judge->findings, CHECK_MODE, FINDING_NO_ROW,
        "this is a stream of mode %s; it was taken for mode %s (--mode %s takes it for one)",
        MODES[header->mode], MODES[judge->mode], MODES[header->mode]);
  digest_source(sources, job, digest);
  judge_digest(judge, CHECK_SOURCE, header->source_sha256, digest,
               "the stream was made from another revision of these files");
  if (digest_cell(job->cell, digest))
    judge_digest(judge, CHECK_CELL, header->cell_sha256, digest,
                 "the stream was made for another cell");
  finding_judged(judge->findings, CHECK_HEADER);
  struct lines lines = all;
  expect(judge, &lines, "# job ", "# job \"%s\" part \"%s\" revision \"%s\"", job->title, job->part,
         job->revision);
  char cell[80];
  const char *line;
  size_t line_length;
  snprintf(cell, sizeof cell, "# cell %.60s ", job->cell->name);
  if (!find_line(&lines, cell, &line, &line_length))
    finding_fault(judge->findings, CHECK_CELL, FINDING_NO_ROW, "the job's cell is %s",
                  job->cell->name);
  judge_figures(judge, header);
  expect_procedures(judge, all);
  expect_overlays(judge, all);
  expect_files(judge, all);
}
