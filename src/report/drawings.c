/* drawings.c - the drawings of the job, which have titles of their own, in figures. */
#include "borelay/draw.h"

#include "borelay/arena.h"
#include "report/parts.h"

static const struct draw_look *look_make(const struct page *page, const char *kind, size_t number) {
  struct draw_look *look = arena_alloc(page->arena, 1, sizeof *look);
  look->prefix = arena_format(page->arena, "%s%zu-", kind, number);
  look->embedded = true;
  return look;
}

/* What it is and of which overlay stands in the drawing; a reader of screens says it at the figure
 * too. */
static void put_figure(FILE *to, const char *class_name, const char *label, const char *svg) {
  if (svg)
    fprintf(to, "<figure class=\"%s\" aria-label=\"%s\">\n%s\n</figure>\n", class_name, label, svg);
}

void put_drawing_style(FILE *to, const struct page *page) {
  fputs(draw_style(page->arena), to);
}

void put_drawings(FILE *to, const struct page *page) {
  const struct outcome *outcome = page->outcome;
  for (size_t i = 0; i < outcome->plan->overlay_count; i++) {
    double t = draw_overlay_time(outcome, i);
    fprintf(to, "<div class=\"overlay\" data-overlay=\"%zu\">\n", i + 1);
    put_figure(to, "plan", "Plan",
               draw_plan(page->arena, outcome, i, t, look_make(page, "plan", i + 1)));
    put_figure(to, "wall", "Wall unrolled",
               draw_wall(page->arena, outcome, i, look_make(page, "wall", i + 1)));
    put_figure(to, "wall paper-only", "Thickness on the wall",
               draw_thickness(page->arena, outcome, i, look_make(page, "map", i + 1)));
    fputs("</div>\n", to);
  }
}

void put_section(FILE *to, const struct page *page) {
  static const char *const checks[] = {"clearance", "torch-clearance"};
  double before = -1;
  for (size_t i = 0; i < 2; i++) {
    double t = draw_check_time(page->outcome, checks[i]);
    if (t < 0 || t == before)
      continue;
    fprintf(to, "<figure><figcaption>At the tightest %s.</figcaption>\n%s\n</figure>\n", checks[i],
            draw_section(page->arena, page->outcome, t, look_make(page, "section", i + 1)));
    before = t;
  }
}

void put_charts(FILE *to, const struct page *page) {
  const struct outcome *outcome = page->outcome;
  put_figure(to, "axes", "Axes over time",
             draw_axes(page->arena, outcome, look_make(page, "axes", 1)));
  for (size_t i = 0; i < outcome->plan->overlay_count; i++)
    put_figure(to, "bore", "Thickness along the bore",
               draw_bore(page->arena, outcome, i, look_make(page, "bore", i + 1)));
}
