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

void finding_fault(struct findings *findings, enum check_id id, int64_t row, const char *format,
                   ...) {
  struct finding *finding = &findings->items[id];
  finding->judged = true;
  char text[FINDING_TEXT];
  va_list arguments;
  va_start(arguments, format);
  vsnprintf(text, sizeof text, format, arguments);
  va_end(arguments);
  if (finding->faults < FINDING_SHOWN) {
    memcpy(finding->text[finding->faults], text, sizeof text);
    finding->row[finding->faults] = row;
  }
  if (finding->has_worst && finding->worst_row == row)
    memcpy(finding->worst_text, text, sizeof text);
  finding->faults++;
}

bool findings_hold(const struct findings *findings) {
  for (int i = 0; i < CHECK_ID_COUNT; i++)
    if (findings->items[i].faults > 0)
      return false;
  return true;
}
