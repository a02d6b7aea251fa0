/* layout.h - from the words of a file to the lines of its layout. */
#ifndef TIDY_LAYOUT_H
#define TIDY_LAYOUT_H

#include "tidy/lines.h"
#include "tidy/words.h"

/* lines->source is that of the words. */
void layout_make(const struct words *words, struct lines *lines);

#endif
