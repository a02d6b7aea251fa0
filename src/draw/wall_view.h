/* wall_view.h - what the files of the unrolled wall share. */
#ifndef DRAW_WALL_VIEW_H
#define DRAW_WALL_VIEW_H

#include "draw/lane.h"
#include "draw/sheet.h"

/* Opens and ends the group in which depths are mm: scaled by the drawing's depth_scale. */
void wall_scaled(struct drawing *drawing, const char *class_name);

/* Boxes that texts have taken; a text that would lie over another is left out. */
struct labels {
  struct arena *arena;
  struct draw_box *boxes;
  size_t count, room;
};
void label_force(struct labels *labels, struct draw_box box); /* taken all the same */
bool label_take(struct labels *labels, struct draw_box box);

#endif
