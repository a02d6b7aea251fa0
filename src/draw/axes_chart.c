/* axes_chart.c - speed and acceleration of every axis over time, a panel each. */
#include <math.h>
#include <stdio.h>

#include "borelay/arena.h"
#include "borelay/num.h"
#include "draw/sheet.h"

enum { BUCKETS = 1000, PANELS = 2 * AXIS_COUNT };

/* User units: a bucket wide; panels by em. */
static const double PANEL = 5.0, GAP = 1.5; /* em */
static const double OVER = 1.12;            /* limits lie this far inside the panel's edge */

struct panel {
  const char *name, *unit;
  double limit, unit_size;
  const struct range *ranges;
};

static struct panel panel_of(const struct outcome *outcome, const struct axis_ranges *all, int i) {
  static const char *const names[PANELS] = {"x speed",        "x acceleration",   "y speed",
                                            "y acceleration", "z speed",          "z acceleration",
                                            "head speed",     "head acceleration"};
  int axis = i / 2;
  bool accel = i % 2;
  const struct axis_limits *limits = &outcome->job->cell->axis[axis];
  bool head = axis == AXIS_HEAD;
  return (struct panel){names[i],
                        head    ? (accel ? "deg/s2" : "deg/s")
                        : accel ? "mm/s2"
                                : "mm/s",
                        accel ? limits->accel : limits->speed, head ? NUM_PI / 180 : 1,
                        accel ? all->accel[axis] : all->speed[axis]};
}

static void step_put(struct drawing *drawing, double *at, double y, size_t *run, const char *sign) {
  if (*run > 0)
    pen(drawing, "h%s%zu", sign, *run);
  *run = 0;
  /* What was written, not what was meant: roundings must not add up. */
  double move = floor((y - *at) * 100 + 0.5) / 100;
  pen(drawing, "v%f", move);
  *at += move;
}

static const double FINE = 0.05; /* user units that show nowhere */

/* Along the largest values and back along the least. */
static void band_put(struct drawing *drawing, const struct panel *panel, double middle,
                     double half) {
  double k = half / OVER / panel->limit, at = middle - panel->ranges[0].hi * k;
  size_t run = 0;
  pen(drawing, "<path class=\"span\" d=\"M0 %f", at);
  at = floor(at * 100 + 0.5) / 100;
  for (size_t i = 0; i < BUCKETS; i++) {
    double y = middle - panel->ranges[i].hi * k;
    if (fabs(y - at) > FINE)
      step_put(drawing, &at, y, &run, "");
    run++;
  }
  for (size_t i = BUCKETS; i-- > 0;) {
    double y = middle - panel->ranges[i].lo * k;
    if (i == BUCKETS - 1 || fabs(y - at) > FINE)
      step_put(drawing, &at, y, &run, i == BUCKETS - 1 ? "" : "-");
    run++;
  }
  pen(drawing, "h-%zuz\"/>", run);
}

static double most_of(const struct panel *panel) {
  double most = 0;
  for (size_t i = 0; i < BUCKETS; i++)
    most = fmax(most, fmax(-panel->ranges[i].lo, panel->ranges[i].hi));
  return most;
}

static void panel_put(struct drawing *drawing, const struct panel *panel, double top) {
  double em = drawing->em, half = PANEL * em / 2, middle = top + half, line = half / OVER;
  char most[40], limit[40];
  snprintf(most, sizeof most, "%.5g", most_of(panel) / panel->unit_size);
  snprintf(limit, sizeof limit, "%.5g", panel->limit / panel->unit_size);
  pen(drawing, "<g class=\"panel\" data-name=\"%s\" data-most=\"%s\" data-limit=\"%s\">\n",
      panel->name, most, limit);
  pen(drawing, "<path class=\"grid\" d=\"M0 %fH%d\"/>", middle, BUCKETS);
  band_put(drawing, panel, middle, half);
  pen(drawing, "<path class=\"limit\" d=\"M0 %fH%dM0 %fH%d\"/>", middle - line, BUCKETS,
      middle + line, BUCKETS);
  pen(drawing, "<path class=\"frame\" d=\"M0 %fH%dV%fH0z\"/>\n", top, BUCKETS, top + 2 * half);
  pen(drawing, "<text x=\"0\" y=\"%f\">%s</text>", top - 0.35 * em, panel->name);
  pen(drawing, "<text class=\"small end\" x=\"%d\" y=\"%f\">at most %s of %s %s</text>", BUCKETS,
      top - 0.35 * em, most, limit, panel->unit);
  pen(drawing, "<text class=\"small end\" x=\"%f\" y=\"%f\">%s</text>", -0.4 * em,
      middle - line + 0.3 * em, limit);
  pen(drawing, "<text class=\"small end\" x=\"%f\" y=\"%f\">0</text>", -0.4 * em,
      middle + 0.3 * em);
  pen(drawing, "<text class=\"small end\" x=\"%f\" y=\"%f\">-%s</text></g>\n", -0.4 * em,
      middle + line + 0.3 * em, limit);
}

/* A strip of where the arc is on. */
static void arc_put(struct drawing *drawing, const struct motion *motion, double top) {
  double em = drawing->em, k = BUCKETS / (double)motion->ticks, from = -1, to = -1;
  pen_raw(drawing, "<path class=\"arc-on\" d=\"");
  for (size_t i = 0; i <= motion->phase_count; i++) {
    bool on = i < motion->phase_count && motion->phases[i].arc;
    double t0 = on ? (double)motion->phases[i].tick0 * k : 0;
    if (from >= 0 && (i == motion->phase_count || (on && t0 - to > 0.5))) {
      pen(drawing, "M%f %fH%fv%fH%fz", from, top, to, 0.6 * em, from);
      from = -1;
    }
    if (on) {
      from = from < 0 ? t0 : from;
      to = t0 + (double)motion->phases[i].ticks * k;
    }
  }
  pen(drawing, "\"/><text class=\"small end\" x=\"%f\" y=\"%f\">arc on</text>\n", -0.4 * em,
      top + 0.55 * em);
}

const char *draw_axes(struct arena *arena, const struct outcome *outcome,
                      const struct draw_look *look) {
  if (!outcome->motion)
    return NULL;
  const struct axis_ranges *all = draw_axis_ranges(arena, outcome->motion, BUCKETS);
  struct drawing *drawing = pen_new(arena, "axes", look);
  struct sheet sheet = {
      .class_name = "axes",
      .attributes = "",
      .title = "Axis speed and acceleration over time",
      .text = "A panel for each axis: between its least and largest value in each thousandth of "
              "the time; dashed lines are the limits.",
      .room = {6, 4.4, 2, 3},
      .columns = 76};
  double em = BUCKETS / (sheet.columns - sheet.room.left - sheet.room.right);
  drawing->field = (struct draw_box){0, 0, BUCKETS, (PANELS * (PANEL + GAP) + 1.4) * em};
  sheet_open(drawing, &sheet);
  sheet_title(drawing, sheet.title, drawing->right);
  arc_put(drawing, outcome->motion, 0);
  for (int i = 0; i < PANELS; i++) {
    struct panel panel = panel_of(outcome, all, i);
    panel_put(drawing, &panel, (1.4 + GAP + i * (PANEL + GAP)) * drawing->em);
  }
  double unit = all->duration > 7200 ? 3600 : all->duration > 300 ? 60 : 1;
  ticks_below(drawing,
              (struct tick_scale){BUCKETS / all->duration * unit, 1, 0,
                                  unit > 60  ? "time, h"
                                  : unit > 1 ? "time, min"
                                             : "time, s"},
              false);
  sheet_close(drawing);
  return drawing->text;
}
