/* plan_view.h - what the files of the plan share. */
#ifndef DRAW_PLAN_VIEW_H
#define DRAW_PLAN_VIEW_H

#include "draw/pen.h"

/* Of the section: the middle of the band of all layers. */
double plan_section_depth(const struct plan_overlay *overlay);

#endif
