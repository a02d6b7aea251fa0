/* finding.h - what the judge has found, check by check. */
#ifndef VERIFY_FINDING_H
#define VERIFY_FINDING_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

/* name, unit of the worst value and the limit */
#define VERIFY_CHECKS(X)                                                                           \
  X(CHECK_MODE, "mode", "")                                                                        \
  X(CHECK_SOURCE, "same-source", "")                                                               \
  X(CHECK_CELL, "same-cell", "")                                                                   \
  X(CHECK_HEADER, "same-header", "")                                                               \
  X(CHECK_ORDER, "order", "")                                                                      \
  X(CHECK_MOVES, "moves", "")                                                                      \
  X(CHECK_SETPOINTS, "setpoints", "")                                                              \
  X(CHECK_TRAVEL, "axis-travel", "")                                                               \
  X(CHECK_SPEED, "axis-speed", "of limit")                                                         \
  X(CHECK_ACCEL, "axis-accel", "of limit")                                                         \
  X(CHECK_JERK, "axis-jerk", "of limit")                                                           \
  X(CHECK_RANGE, "working-range", "mm")                                                            \
  X(CHECK_CLEARANCE, "clearance", "mm")                                                            \
  X(CHECK_TORCH, "torch-clearance", "mm")                                                          \
  X(CHECK_TIP, "tip-path", "mm")                                                                   \
  X(CHECK_ANGLE, "torch-angle", "deg")                                                             \
  X(CHECK_POOL, "travel-speed", "% off")                                                           \
  X(CHECK_ZONES, "arc-zones", "mm")                                                                \
  X(CHECK_COVERAGE, "coverage", "mm bare")                                                         \
  X(CHECK_WIRE_SIDE, "wire-side", "")                                                              \
  X(CHECK_QUALIFIED, "qualified-range", "")                                                        \
  X(CHECK_THICKNESS, "thickness", "mm")                                                            \
  X(CHECK_FLATNESS, "flatness", "mm")                                                              \
  X(CHECK_IRON, "iron", "%")

#define VERIFY_ENUMERATOR(id, name, unit) id,
enum check_id { VERIFY_CHECKS(VERIFY_ENUMERATOR) CHECK_ID_COUNT };
#undef VERIFY_ENUMERATOR

enum { FINDING_NO_ROW = -1, FINDING_TEXT = 200, FINDING_SHOWN = 5 };

#define FINDING_SAME 1e-6 /* of a limit: docs/semantics.md */

struct finding {
  bool judged;
  uint64_t faults;     /* places at which it does not hold */
  bool has_worst;      /* worst and limit are figures in the check's unit */
  double worst, limit; /* the worst is where it is nearest to its limit, or farthest beyond */
  double distance;     /* of the worst from the limit, negative beyond: orders them */
  int64_t worst_row;   /* FINDING_NO_ROW: none */
  /* Of the first faults, those alike in rows that follow on one another as one. */
  size_t shown;
  char text[FINDING_SHOWN][FINDING_TEXT]; /* of the first of them */
  int64_t row[FINDING_SHOWN], row_to[FINDING_SHOWN];
  uint64_t alike[FINDING_SHOWN];
  char worst_text[FINDING_TEXT]; /* of the fault at worst_row, where there is one */
};

struct findings {
  struct finding items[CHECK_ID_COUNT];
  double tick;
};

const char *check_name(enum check_id id);
const char *check_unit(enum check_id id);
/* The check has something to decide. */
void finding_judged(struct findings *findings, enum check_id id);
/* A value that must not be above (below) its limit; rounding: what it may be off, in its unit.
 * True: it holds. */
bool finding_most(struct findings *findings, enum check_id id, int64_t row, double value,
                  double limit, double rounding);
bool finding_least(struct findings *findings, enum check_id id, int64_t row, double value,
                   double limit, double rounding);
/* Neither of these two would keep anything of this value: it holds and is not the worst. */
static inline bool finding_is_calm_at(const struct finding *finding, double distance, double limit,
                                      double rounding) {
  return finding->has_worst && distance >= finding->distance &&
         distance >= -(rounding + FINDING_SAME * (limit < 0 ? -limit : limit));
}
static inline bool finding_is_calm(const struct findings *findings, enum check_id id, double value,
                                   double limit, double rounding) {
  return finding_is_calm_at(&findings->items[id], limit - value, limit, rounding);
}
/* A fault, in words without a full stop. */
void finding_fault(struct findings *findings, enum check_id id, int64_t row, const char *format,
                   ...) __attribute__((format(printf, 4, 5)));
/* Faults of which no text is kept. */
uint64_t finding_untold(const struct finding *finding);
bool findings_hold(const struct findings *findings);

#endif
