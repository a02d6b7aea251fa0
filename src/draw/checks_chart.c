/* checks_chart.c - every check as a bar: how much of its limit its worst value takes up. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "borelay/arena.h"
#include "draw/sheet.h"

/* em, which is the user unit here. */
static const double ROW = 1.7, WIDTH = 28, LEFT = 11, RIGHT = 27;
static const double SHARE_MOST = 1.25; /* where the field ends */

/* The axis that the detail begins with; NULL: none. */
static const struct axis_limits *axis_named(const struct cell *cell, const char *detail) {
  static const char *const names[AXIS_COUNT] = {"axis x ", "axis y ", "axis z ", "axis head "};
  for (int axis = 0; axis < AXIS_COUNT; axis++)
    if (detail && strncmp(detail, names[axis], strlen(names[axis])) == 0)
      return &cell->axis[axis];
  return NULL;
}

/* Of a travel: 0 in its middle, 1 at its end. */
static double travel_share(const struct axis_limits *limits, const struct check_result *result) {
  double unit = strcmp(result->unit, "deg") == 0 ? NUM_PI / 180 : 1;
  double half = (limits->travel.hi - limits->travel.lo) / 2;
  double off = fabs(result->worst * unit - (limits->travel.lo + half));
  return half > 0 ? off / half : 1;
}

static double share_of(const struct cell *cell, const struct check_result *result) {
  const struct axis_limits *limits = axis_named(cell, result->detail);
  if (strcmp(result->name, "axis-travel") == 0 && limits && !limits->endless)
    return travel_share(limits, result);
  if (!(result->limit > 0) || !(result->worst > 0))
    return result->passed ? 0 : SHARE_MOST;
  bool is_least = result->passed == (result->worst > result->limit);
  return is_least ? result->limit / result->worst : result->worst / result->limit;
}

static const char *figure(struct arena *arena, double value) {
  char text[40];
  snprintf(text, sizeof text, "%.5g", fabs(value) < 1e-6 ? 0.0 : value);
  return arena_format(arena, "%s", text);
}

static void text_put(struct drawing *drawing, double x, double y, const char *class_name,
                     const char *text) {
  pen(drawing, "<text class=\"%s\" x=\"%f\" y=\"%f\">%s</text>", class_name, x, y, text);
}

static void row_put(struct drawing *drawing, const struct outcome *outcome,
                    const struct check_result *result, double y) {
  struct arena *arena = drawing->arena;
  double base = y + 1.15, limit = WIDTH / SHARE_MOST;
  pen(drawing, "<g data-check=\"%s\" class=\"check\">", result->name);
  text_put(drawing, -0.6, base, result->judged && !result->passed ? "end gap-text" : "end",
           result->name);
  if (!result->judged) {
    text_put(drawing, 0.5, base, "small quiet", "not asked");
    pen_raw(drawing, "</g>\n");
    return;
  }
  double width = fmin(share_of(outcome->job->cell, result), SHARE_MOST) * limit;
  if (width > 0)
    pen(drawing, "<rect class=\"bar%s\" x=\"0\" y=\"%f\" width=\"%f\" height=\"%f\"/>",
        result->passed ? "" : " fails", y + 0.35, width, ROW - 0.7);
  double margin = fabs(result->limit - result->worst);
  text_put(drawing, WIDTH + 6.6, base, "small end", figure(arena, result->worst));
  text_put(drawing, WIDTH + 12.2, base, "small end", figure(arena, result->limit));
  text_put(drawing, WIDTH + 17.8, base, "small end",
           figure(arena, result->passed ? margin : -margin));
  text_put(drawing, WIDTH + 18.6, base, "small", result->unit);
  text_put(drawing, WIDTH + 23, base, result->passed ? "small" : "small head-line gap-text",
           result->passed ? "holds" : "FAILS");
  pen_raw(drawing, "</g>\n");
}

static void columns_put(struct drawing *drawing) {
  double y = drawing->field.y0 - 0.5;
  text_put(drawing, WIDTH / SHARE_MOST, y, "small mid", "limit");
  text_put(drawing, 0, y, "small", "share of the limit taken up");
  text_put(drawing, WIDTH + 6.6, y, "small end", "worst");
  text_put(drawing, WIDTH + 12.2, y, "small end", "limit");
  text_put(drawing, WIDTH + 17.8, y, "small end", "margin");
  text_put(drawing, WIDTH + 18.6, y, "small", "unit");
  pen_raw(drawing, "\n");
}

const char *draw_checks(struct arena *arena, const struct outcome *outcome,
                        const struct draw_look *look) {
  const struct verdict *verdict = outcome->verdict;
  if (!verdict)
    return NULL;
  struct drawing *drawing = pen_new(arena, "checks", look);
  drawing->field = (struct draw_box){0, 0, WIDTH, ROW * (double)verdict->result_count};
  struct sheet sheet = {.class_name = "checks",
                        .attributes = "",
                        .title = "Checks and their margins",
                        .text = "A bar a check: how much of its limit the worst value takes up; a "
                                "bar that reaches the limit's line leaves no margin.",
                        .room = {LEFT, 4.2, RIGHT, 1},
                        .columns = LEFT + WIDTH + RIGHT};
  sheet_open(drawing, &sheet);
  drawing->em = 1;
  sheet_title(drawing, sheet.title, drawing->right);
  columns_put(drawing);
  double limit = WIDTH / SHARE_MOST;
  for (size_t i = 0; i < verdict->result_count; i++)
    row_put(drawing, outcome, &verdict->results[i], ROW * (double)i);
  pen(drawing, "<path class=\"frame\" d=\"M0 0V%f\"/><path class=\"limit\" d=\"M%f 0V%f\"/>\n",
      drawing->field.y1, limit, drawing->field.y1);
  sheet_close(drawing);
  return drawing->text;
}
