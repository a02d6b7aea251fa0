/* collide.h - the head beside the metal, at rows and between them. */
#ifndef VERIFY_COLLIDE_H
#define VERIFY_COLLIDE_H

#include "verify/block.h"
#include "verify/finding.h"
#include "verify/lay.h"

struct collide;
struct collide *collide_new(struct arena *arena, const struct job *job,
                            const struct lay_stack *stack, struct findings *findings, bool resumes);
/* All rows in order; fills in what the block's first row has moved since the one before. */
void collide_block(struct collide *collide, struct block *block);

#endif
