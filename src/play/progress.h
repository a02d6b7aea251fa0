/* progress.h - where a play is: one line, drawn again and again on a terminal. */
#ifndef PLAY_PROGRESS_H
#define PLAY_PROGRESS_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "borelay_reader.h"

enum { PROGRESS_ROOM = 160 };

struct progress {
  FILE *to; /* NULL: nowhere */
  double drawn_s;
  int width; /* of what stands there */
};

void progress_begin(struct progress *progress, bool quiet);
/* `[####----]  48 %  weld  seal_bore layer 1 lap 3  0:12:34 left`; what: why it stands, or "". */
void progress_text(char text[PROGRESS_ROOM], const struct borelay_header *header,
                   const struct borelay_row *row, const char *overlay, double times,
                   const char *what);
/* Whether the line is old enough to be drawn anew. */
bool progress_is_due(const struct progress *progress, double now_s);
void progress_draw(struct progress *progress, double now_s, const char *text);
/* Takes the line away, before a message and at the end. */
void progress_clear(struct progress *progress);

/* The word that the stream has for a phase. */
const char *progress_phase(uint8_t phase);

#endif
