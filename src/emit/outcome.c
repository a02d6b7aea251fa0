/* outcome.c - whether a job passed, and how its refusal is told. */
#include "borelay/emit.h"

#include <string.h>

bool outcome_passed(const struct outcome *outcome) {
  return outcome->verdict && outcome->verdict->passed && diag_error_count(outcome->diags) == 0;
}

static enum diag_code code_of_check(const char *name) {
  static const struct {
    const char *name;
    enum diag_code code;
  } CODES[] = {
      {"axis-travel", DIAG_CHECK_AXIS_TRAVEL},
      {"axis-speed", DIAG_CHECK_AXIS_SPEED},
      {"axis-accel", DIAG_CHECK_AXIS_ACCEL},
      {"axis-jerk", DIAG_CHECK_AXIS_JERK},
      {"working-range", DIAG_CHECK_WORKING_RANGE},
      {"clearance", DIAG_CHECK_CLEARANCE},
      {"torch-clearance", DIAG_CHECK_TORCH_CLEARANCE},
      {"wall-in-envelope", DIAG_CHECK_WALL_IN_ENVELOPE},
      {"wire-side", DIAG_CHECK_WIRE_SIDE},
      {"tip-path", DIAG_CHECK_TIP_PATH},
      {"torch-angle", DIAG_CHECK_TORCH_ANGLE},
      {"travel-speed", DIAG_CHECK_TRAVEL_SPEED},
      {"arc-zones", DIAG_CHECK_ARC_ZONES},
      {"coverage", DIAG_CHECK_COVERAGE},
      {"qualified-range", DIAG_CHECK_QUALIFIED_RANGE},
      {"thickness", DIAG_CHECK_THICKNESS},
      {"flatness", DIAG_CHECK_FLATNESS},
      {"iron", DIAG_CHECK_IRON},
  };
  for (size_t i = 0; i < sizeof CODES / sizeof CODES[0]; i++)
    if (strcmp(CODES[i].name, name) == 0)
      return CODES[i].code;
  return DIAG_CHECK_FAILED;
}

static struct diag *tell(struct diag_list *diags, const char *name, double t,
                         const struct check_violation *violation) {
  char instant[48] = "";
  if (t >= 0)
    snprintf(instant, sizeof instant, " at %.3f s", t);
  bool has_detail = violation->detail && *violation->detail;
  return diag_error(diags, code_of_check(name), violation->at,
                    "check %s does not hold: %.6g %s%s, limit %.6g %s%s%s", name, violation->worst,
                    violation->unit, instant, violation->limit, violation->unit,
                    has_detail ? "; " : "", has_detail ? violation->detail : "");
}

void refusal_tell(const struct verdict *verdict, struct diag_list *diags) {
  for (size_t i = 0; i < verdict->result_count; i++) {
    const struct check_result *result = &verdict->results[i];
    if (!result->judged || result->passed)
      continue;
    struct check_violation shown = {result->worst, result->limit, result->unit, result->at,
                                    result->detail};
    struct diag *diag = tell(diags, result->name, result->t, &shown);
    if (result->note)
      diag_note(diag, result->note_at, "%s", result->note);
    if (result->help)
      diag_help(diag, "%s", result->help);
    for (size_t k = 0; k < result->further_count; k++)
      tell(diags, result->name, -1, &result->further[k]);
  }
}
