/* sequence.h - all phases of the job in their order. */
#ifndef BORELAY_MOTION_SEQUENCE_H
#define BORELAY_MOTION_SEQUENCE_H

#include "motion/build.h"

/* Fills builder->phases; false when refused (told). */
bool sequence_build(struct builder *builder);

#endif
