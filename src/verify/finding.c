/* finding.c - keeps the worst value of every check, and the first few faults in words. */
#include "verify/finding.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>

static const struct {
  const char *name, *unit;
} CHECKS[] = {
#define CHECK_OF(id, name, unit) [id] = {name, unit},
    VERIFY_CHECKS(CHECK_OF)
#undef CHECK_OF
};

const char *check_name(enum check_id id) {
  return CHECKS[id].name;
}

const char *check_unit(enum check_id id) {
  return CHECKS[id].unit;
}

void finding_judged(struct findings *findings, enum check_id id) {
  findings->items[id].judged = true;
}

static bool keep(struct findings *findings, enum check_id id, int64_t row, double value,
                 double limit, double distance, double rounding) {
  struct finding *finding = &findings->items[id];
  finding->judged = true;
  if (!finding->has_worst || distance < finding->distance) {
    finding->has_worst = true;
    finding->worst = value;
    finding->limit = limit;
    finding->distance = distance;
    finding->worst_row = row;
  }
  return distance >= -(rounding + FINDING_SAME * fabs(limit));
}

bool finding_most(struct findings *findings, enum check_id id, int64_t row, double value,
                  double limit, double rounding) {
  return keep(findings, id, row, value, limit, limit - value, rounding);
}

bool finding_least(struct findings *findings, enum check_id id, int64_t row, double value,
                   double limit, double rounding) {
  return keep(findings, id, row, value, limit, value - limit, rounding);
}

/* Two texts are of one kind where they are the same up to their first figure. */
static bool are_alike(const char *a, const char *b) {
  static const char DIGITS[] = "0123456789";
  size_t length = strcspn(a, DIGITS);
  return length == strcspn(b, DIGITS) && strncmp(a, b, length) == 0;
}

static void show(struct finding *finding, int64_t row, const char *text) {
  for (size_t i = 0; i < finding->shown; i++)
    if (row >= 0 && row >= finding->row[i] && row <= finding->row_to[i] + 1 &&
        are_alike(text, finding->text[i])) {
      finding->row_to[i] = row > finding->row_to[i] ? row : finding->row_to[i];
      finding->alike[i]++;
      return;
    }
  if (finding->shown == FINDING_SHOWN)
    return;
  size_t i = finding->shown++;
  snprintf(finding->text[i], sizeof finding->text[i], "%s", text);
  finding->row[i] = finding->row_to[i] = row;
  finding->alike[i] = 1;
}

void finding_fault(struct findings *findings, enum check_id id, int64_t row, const char *format,
                   ...) {
  struct finding *finding = &findings->items[id];
  finding->judged = true;
  char text[FINDING_TEXT];
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(text, sizeof text, format, arguments);
  va_end(arguments);
  show(finding, row, text);
  if (finding->has_worst && finding->worst_row == row)
    memcpy(finding->worst_text, text, sizeof text);
  finding->faults++;
}

uint64_t finding_untold(const struct finding *finding) {
  uint64_t told = 0;
  for (size_t i = 0; i < finding->shown; i++)
    told += finding->alike[i];
  return finding->faults - told;
}

bool findings_hold(const struct findings *findings) {
  for (int i = 0; i < CHECK_ID_COUNT; i++)
    if (findings->items[i].faults > 0)
      return false;
  return true;
}
