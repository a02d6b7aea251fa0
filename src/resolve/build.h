/* build.h - from declared blocks to the parts of the job. */
#ifndef RESOLVE_BUILD_H
#define RESOLVE_BUILD_H

#include "resolve/read.h"

/* struct cell, procedure, shape, envelope, overlay or job, made once; NULL where it had an
 * error, which was told. */
const void *build_get(struct resolver *r, struct decl *decl, span wanted_at);

/* Tells what is wrong with a declared block that nobody has wanted yet; what it comes to is
 * forgotten with what is in `aside`, and made again for whoever wants it later. */
void build_pass(struct resolver *r, struct decl *decl, struct arena *aside);

/* Whether a block is sound that no scope has yet; tells nothing.  False also where that depends on
 * names.  What is made goes with what is in `aside`. */
bool build_try(struct resolver *r, struct decl *decl, struct diag_list *unheard,
               struct arena *aside);

const struct cell *cell_build(struct resolver *r, const struct decl *decl, const struct flat *flat);
const struct procedure *procedure_build(struct resolver *r, const struct decl *decl,
                                        const struct flat *flat);
const struct shape *shape_build(struct resolver *r, const struct decl *decl,
                                const struct flat *flat);
const struct envelope *envelope_build(struct resolver *r, const struct decl *decl,
                                      const struct flat *flat);
const struct overlay *overlay_build(struct resolver *r, const struct decl *decl,
                                    const struct flat *flat);
const struct job *job_build(struct resolver *r, const struct decl *decl, const struct flat *flat);

/* build_zone.c: the zones of an overlay, in order; what is wrong fails the overlay's reading. */
void zones_read(struct reading *overlay, struct overlay *out);
/* build_sector.c: the sectors of an overlay likewise. */
void sectors_read(struct reading *overlay, struct overlay *out);

/* Where touches of a shape of that kind make sense: their number, told where it is wrong. */
bool touch_count_suits(struct reading *reading, enum shape_kind kind, size_t count, span at);

#endif
