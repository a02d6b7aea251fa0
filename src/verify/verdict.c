/* verdict.c - the findings, for people and for programs. */
#include "verify/verdict.h"

#include <inttypes.h>
#include <math.h>
#include <stdlib.h>

#include "borelay/json.h"

static size_t count_failed(const struct findings *findings, size_t *judged) {
  size_t failed = 0;
  *judged = 0;
  for (int i = 0; i < CHECK_ID_COUNT; i++) {
    *judged += findings->items[i].judged;
    failed += findings->items[i].faults > 0;
  }
  return failed;
}

static const char *state_of(const struct finding *finding) {
  return !finding->judged ? "not asked" : finding->faults > 0 ? "FAILED" : "holds";
}

/* What is far below any tolerance is nothing. */
static double shown(double value) {
  return fabs(value) < 1e-9 ? 0 : value;
}

static void print_row(const struct findings *findings, enum check_id id, FILE *to) {
  const struct finding *f = &findings->items[id];
  fprintf(to, "  %-16s %-9s", check_name(id), state_of(f));
  if (f->has_worst)
    fprintf(to, " %11.5g %11.5g %-9s", shown(f->worst), f->limit, check_unit(id));
  else
    fprintf(to, " %11s %11s %-9s", "-", "-", "");
  if (f->has_worst && f->worst_row >= 0)
    fprintf(to, " %11.3f %9" PRId64, (double)f->worst_row * findings->tick, f->worst_row);
  else
    fprintf(to, " %11s %9s", "-", "-");
  fprintf(to, f->faults > 0 ? " %9" PRIu64 "\n" : "\n", f->faults);
}

void verdict_table(const struct findings *findings, const struct verdict_head *head, FILE *to) {
  size_t judged, failed = count_failed(findings, &judged);
  fprintf(to, "%s\nstream %s, mode %s, %" PRIu64 " rows, %.3f s\n", head->job_title, head->stream,
          head->mode, head->rows, head->duration);
  if (failed == 0)
    fprintf(to, "HOLDS: the rows keep all %zu checks that rows can decide\n", judged);
  else
    fprintf(to, "FOUND WRONG: %zu of %zu checks %s not hold\n", failed, judged,
            failed == 1 ? "does" : "do");
  fprintf(to, "\n  %-16s %-9s %11s %11s %-9s %11s %9s %9s\n", "check", "verdict", "worst", "limit",
          "", "t s", "row", "faults");
  for (int i = 0; i < CHECK_ID_COUNT; i++)
    print_row(findings, (enum check_id)i, to);
  fputs("\nJudged from the rows alone, at rows and between them; docs/verify.md says how.\n"
        "wall-in-envelope is no matter of rows: `borelay check` decides it.\n"
        "A stream that holds has not been run on any machine. Dry-run with the arc off; the\n"
        "qualified procedure, local codes and licensed practice decide.\n",
        to);
}

static void print_fault(const struct findings *findings, enum check_id id, const char *stream,
                        int64_t row, const char *text, FILE *to) {
  fprintf(to, "%s: ", stream);
  if (row >= 0)
    fprintf(to, "row %" PRId64 ", t %.6f s: ", row, (double)row * findings->tick);
  fprintf(to, "error: %s: %s\n", check_name(id), text);
}

/* Of a stretch of faults alike the first is told, and up to where it goes. */
enum { STRETCH_TEXT = FINDING_TEXT + 80 };
static void stretch_text(const struct finding *f, size_t k, char text[STRETCH_TEXT]) {
  int length = snprintf(text, STRETCH_TEXT, "%s", f->text[k]);
  if (f->alike[k] > 1)
    snprintf(text + length, STRETCH_TEXT - (size_t)length,
             "; and so on, %" PRIu64 " faults up to row %" PRId64, f->alike[k], f->row_to[k]);
}

/* The worst, where it is not the first of a stretch, which is told anyway. */
static bool has_worst_aside(const struct finding *f) {
  for (size_t k = 0; k < f->shown; k++)
    if (f->row[k] == f->worst_row)
      return false;
  return *f->worst_text != '\0';
}

void verdict_faults(const struct findings *findings, const char *stream, FILE *to) {
  char text[STRETCH_TEXT];
  for (int i = 0; i < CHECK_ID_COUNT; i++) {
    const struct finding *f = &findings->items[i];
    enum check_id id = (enum check_id)i;
    for (size_t k = 0; k < f->shown; k++) {
      stretch_text(f, k, text);
      print_fault(findings, id, stream, f->row[k], text, to);
    }
    uint64_t untold = finding_untold(f);
    if (untold > 0)
      fprintf(to, "%s: %s: and %" PRIu64 " more\n", stream, check_name(id), untold);
    if (!has_worst_aside(f))
      continue;
    fprintf(to, "%s: %s: the worst of all:\n", stream, check_name(id));
    print_fault(findings, id, stream, f->worst_row, f->worst_text, to);
  }
}

static void add_fault(enum check_id id, const char *stream, uint64_t row_0, int64_t row,
                      const char *text, struct sarif *sarif) {
  char about[64], name[32];
  snprintf(about, sizeof about, "check %s of a stream", check_name(id));
  snprintf(name, sizeof name, "row %" PRId64, row);
  sarif_add(sarif, &(struct sarif_finding){
                       .rule = check_name(id),
                       .about = about,
                       .message = text,
                       .path = stream,
                       .line = row_0 > 0 && row >= 0 ? row_0 + (uint64_t)row : 0,
                       .name = row >= 0 ? name : NULL,
                   });
}

void verdict_sarif(const struct findings *findings, const char *stream, uint64_t row_0,
                   struct sarif *sarif) {
  char text[STRETCH_TEXT];
  for (int i = 0; i < CHECK_ID_COUNT; i++) {
    const struct finding *f = &findings->items[i];
    enum check_id id = (enum check_id)i;
    for (size_t k = 0; k < f->shown; k++) {
      stretch_text(f, k, text);
      add_fault(id, stream, row_0, f->row[k], text, sarif);
    }
    if (has_worst_aside(f))
      add_fault(id, stream, row_0, f->worst_row, f->worst_text, sarif);
  }
}

/* -- JSON ------------------------------------------------------------------------------------- */

static json_t *figure(bool there, double value) {
  return there && isfinite(value) ? json_real(value) : json_null();
}

static json_t *row_object(int64_t row) {
  return row >= 0 ? json_integer(row) : json_null();
}

static json_t *check_object(const struct findings *findings, enum check_id id) {
  const struct finding *f = &findings->items[id];
  bool has_row = f->has_worst && f->worst_row >= 0;
  json_t *faults = json_array();
  for (size_t k = 0; k < f->shown; k++)
    json_array_append_new(faults, json_pack("{s:o,s:o,s:I,s:s}", "row", row_object(f->row[k]),
                                            "to_row", row_object(f->row_to[k]), "faults",
                                            (json_int_t)f->alike[k], "message", f->text[k]));
  return json_pack("{s:s,s:s,s:o,s:o,s:s,s:o,s:o,s:I,s:o}", "name", check_name(id), "verdict",
                   !f->judged      ? "not asked"
                   : f->faults > 0 ? "failed"
                                   : "passed",
                   "worst", figure(f->has_worst, f->worst), "limit", figure(f->has_worst, f->limit),
                   "unit", check_unit(id), "t_s",
                   figure(has_row, (double)f->worst_row * findings->tick), "row",
                   has_row ? json_integer(f->worst_row) : json_null(), "faults",
                   (json_int_t)f->faults, "first", faults);
}

bool verdict_json(const struct findings *findings, const struct verdict_head *head, FILE *to) {
  json_t *checks = json_array();
  for (int i = 0; i < CHECK_ID_COUNT; i++)
    json_array_append_new(checks, check_object(findings, (enum check_id)i));
  json_t *all =
      json_pack("{s:s,s:o,s:s,s:s,s:s,s:I,s:f,s:o}", "format", "borelay-verify 1", "stream",
                json_text(head->stream), "job", head->job_title, "mode", head->mode, "verdict",
                findings_hold(findings) ? "passed" : "failed", "rows", (json_int_t)head->rows,
                "duration_s", head->duration, "checks", checks);
  char *text = all ? json_dumps(all, JSON_INDENT(2) | JSON_REAL_PRECISION(12)) : NULL;
  json_decref(all);
  if (!text)
    return false;
  fprintf(to, "%s\n", text);
  free(text);
  return true;
}
