/* parts.h - the blocks of data on the page, and how texts are made harmless in it. */
#ifndef REPORT_PARTS_H
#define REPORT_PARTS_H

#include <stdio.h>

#include "borelay/emit.h"

/* What a page is made from. */
struct page {
  struct arena *arena;
  const struct outcome *outcome;
};

/* Text between tags or in a quoted attribute. */
void put_html(FILE *to, const char *text);
/* JSON inside a script element, which ends at the first `</script`: every `<` is written \u003c. */
void put_json(FILE *to, const char *json);

/* One JSON object each; what they hold stands at their definition and in docs/report.md. */
void put_summary_data(FILE *to, const struct outcome *outcome);
void put_motion_data(FILE *to, const struct motion *motion);
void put_scene_data(FILE *to, const struct page *page);
void put_strain_data(FILE *to, const struct motion *motion);

/* Lines through the values of a phase's rows: [[tick, current, voltage, wire, wire current, voltage
 * control]...]; from each to the next current, voltage and wire run evenly, at the last they stay.
 */
void put_phase_values(FILE *to, const struct motion *motion, const struct phase *phase);

/* Drawings, each in a figure of its own; for the screen, and what stands still on paper. */
void put_drawing_style(FILE *to, const struct page *page);
void put_drawings(FILE *to, const struct page *page);
void put_section(FILE *to, const struct page *page);
void put_charts(FILE *to, const struct page *page);

/* Ends the process when the machine has no memory left. */
void *report_alloc(size_t count, size_t size);
void *report_grow(void *old, size_t count, size_t size);
_Noreturn void report_no_memory(void);

#endif
