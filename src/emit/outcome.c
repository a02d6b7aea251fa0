/* outcome.c - whether a job passed, and how its refusal is told. */
#include "borelay/emit.h"

#include <string.h>

#include "emit/choice.h"

bool outcome_passed(const struct outcome *outcome) {
  return outcome->verdict && outcome->verdict->passed && diag_error_count(outcome->diags) == 0;
}

static const struct check_info CHECKS[] = {
    {"axis-travel", DIAG_CHECK_AXIS_TRAVEL, "x, y, z and head stay inside their travel"},
    {"axis-speed", DIAG_CHECK_AXIS_SPEED, "no axis is faster than its speed"},
    {"axis-accel", DIAG_CHECK_AXIS_ACCEL, "no axis accelerates more than its accel"},
    {"axis-jerk", DIAG_CHECK_AXIS_JERK, "no axis jerks more than its jerk"},
    {"working-range", DIAG_CHECK_WORKING_RANGE,
     "the head's reference point stays inside the shell of working_range and outside every "
     "keep_out box"},
    {"clearance", DIAG_CHECK_CLEARANCE,
     "the head's bodies keep `clearance` from metal, for every shift within `correction`"},
    {"torch-clearance", DIAG_CHECK_TORCH_CLEARANCE,
     "torch body and guards keep `torch_clearance` from metal, for every shift within "
     "`correction`; the bare electrode keeps arc_length less 0.1 mm"},
    {"wall-in-envelope", DIAG_CHECK_WALL_IN_ENVELOPE,
     "over the band, outside off zones, the wall is the envelope's own face"},
    {"wire-side", DIAG_CHECK_WIRE_SIDE,
     "the wire comes from the side that the procedure wants, in the overlay's direction of travel"},
    {"tip-path", DIAG_CHECK_TIP_PATH, "the tip stays on its locus while the arc is on"},
    {"torch-angle", DIAG_CHECK_TORCH_ANGLE,
     "the torch stays within angle_tolerance of the wall's normal while the arc is on"},
    {"travel-speed", DIAG_CHECK_TRAVEL_SPEED,
     "the pool's mean speed over any 0.5 mm is within 1 % of travel_speed, outside run-up and "
     "run-down"},
    {"arc-zones", DIAG_CHECK_ARC_ZONES,
     "the arc is out in every off zone with its margin, and outside all on zones where there are "
     "any"},
    {"coverage", DIAG_CHECK_COVERAGE,
     "laps lie across the whole band with the overlap asked for, and a bead lies all along each of "
     "them but where a zone keeps it out"},
    {"qualified-range", DIAG_CHECK_QUALIFIED_RANGE, "every value is inside its `limit`"},
    {"thickness", DIAG_CHECK_THICKNESS, "the overlay is as thick as `require` says"},
    {"flatness", DIAG_CHECK_FLATNESS,
     "ridges stand no higher over the valleys than `require` says"},
    {"iron", DIAG_CHECK_IRON, "the last layer holds no more iron than `require` says"},
};
enum { CHECK_COUNT = sizeof CHECKS / sizeof CHECKS[0] };

size_t check_info_count(void) {
  return CHECK_COUNT;
}
struct check_info check_info_get(size_t index) {
  return CHECKS[index];
}

static enum diag_code code_of_check(const char *name) {
  for (size_t i = 0; i < CHECK_COUNT; i++)
    if (strcmp(CHECKS[i].name, name) == 0)
      return CHECKS[i].code;
  return DIAG_CHECK_FAILED;
}

/* "0.3 mm at 2.440 s, limit 2 mm" */
static void figures_text(const struct check_violation *violation, double t, char text[200]) {
  char instant[48] = "";
  if (t >= 0)
    snprintf(instant, sizeof instant, " at %.3f s", t);
  snprintf(text, 200, "%.6g %s%s, limit %.6g %s", violation->worst, violation->unit, instant,
           violation->limit, violation->unit);
}

static struct diag *tell(struct diag_list *diags, const char *name, const char *words,
                         const struct check_violation *violation) {
  bool has_detail = violation->detail && *violation->detail;
  return diag_error(diags, code_of_check(name), violation->at, "check %s does not hold: %s%s%s",
                    name, words, has_detail ? "; " : "", has_detail ? violation->detail : "");
}

void refusal_tell(const struct verdict *verdict, const struct plan *plan, struct diag_list *diags) {
  for (size_t i = 0; i < verdict->result_count; i++) {
    const struct check_result *result = &verdict->results[i];
    if (!result->judged || result->passed)
      continue;
    struct check_violation shown = {result->worst, result->limit, result->unit, result->at,
                                    result->detail};
    char figures[200];
    figures_text(&shown, result->t, figures);
    struct diag *diag = tell(diags, result->name, result->told ? result->told : figures, &shown);
    if (result->note)
      diag_note(diag, result->note_at, "%s", result->note);
    if (plan)
      choice_note(plan, result, diag);
    if (result->help)
      diag_help(diag, "%s", result->help);
    for (size_t k = 0; k < result->further_count; k++) {
      figures_text(&result->further[k], -1, figures);
      tell(diags, result->name, figures, &result->further[k]);
    }
  }
}
