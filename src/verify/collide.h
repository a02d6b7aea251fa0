/* collide.h - the head beside the metal, at rows and between them. */
#ifndef VERIFY_COLLIDE_H
#define VERIFY_COLLIDE_H

#include "verify/finding.h"
#include "verify/head.h"
#include "verify/lay.h"

struct collide;
struct collide *collide_new(struct arena *arena, const struct job *job,
                            const struct lay_stack *stack, struct findings *findings, bool resumes);
/* Every row in order. */
void collide_row(struct collide *collide, const struct borelay_row *row, const struct head *head);

#endif
